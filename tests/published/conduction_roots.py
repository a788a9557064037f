"""First eigenvalues and amplitudes of the conduction series."""

from __future__ import annotations

from pathlib import Path

from published.row import Row
from ruamel.yaml import YAML

from advisor.science.shapes import Shape, biot_roots, series_amplitudes

DATA = YAML(typ="safe").load(Path(__file__).with_name("one_term_conduction.yaml"))
SOURCE = str(DATA["source"])
NOTE = "Nothing was tuned."


def rows():
    """Give root and amplitude of each shape at each Biot number."""
    half_a_digit = (-5.1e-5, 5.1e-5)
    for biot, *printed in DATA["rows"]:
        for shape, (root, amplitude) in zip(Shape, zip(printed[::2], printed[1::2], strict=True), strict=True):
            found = biot_roots(biot, shape, 1)
            for name, published, ours in (
                ("root", root, float(found[0])),
                ("amplitude", amplitude, float(series_amplitudes(found, shape)[0])),
            ):
                what = f"{shape}, Bi {biot:g}, first {name}"
                yield Row(what, published, ours, "", "read", half_a_digit, None, "printed to four decimals")
