"""Roots of a sheet in a stirred bath of limited volume."""

from __future__ import annotations

from pathlib import Path

from published.row import Row
from ruamel.yaml import YAML

from advisor.science.limited_bath import stirred_bath_roots

DATA = YAML(typ="safe").load(Path(__file__).with_name("limited_brine.yaml"))
SOURCE = str(DATA["source"])
NOTE = "Written down from memory before there was code. Nothing was tuned."


def rows():
    """Give both roots at each ratio of volumes."""
    for alpha, *printed in DATA["roots"]:
        for name, published, ours in zip(("first", "second"), printed, stirred_bath_roots(alpha, 2), strict=True):
            # Ratios such as 2.3333 are themselves cut short.
            what = f"{name} root, volume ratio {alpha:g}"
            reason = "printed to four decimals, the ratio too"
            yield Row(what, published, float(ours), "", "from memory", (-1.01e-4, 1.01e-4), None, reason)
