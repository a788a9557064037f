"""C. perfringens in roast beef that was cooled at a steady rate, beside the shipped curve."""

from __future__ import annotations

from published._shipped import INFINITE, data, grown_log10
from published.row import Row

ENTRY = data("growth_on_meat.yaml")["roast_beef_cooled"]
SOURCE = str(ENTRY["source"])
NOTE = (
    f"{str(ENTRY['how_known']).capitalize()}: {ENTRY['finding']}. Nothing was tuned to it. The one independent check "
    "of the lag we have: the model finds more growth than was measured."
)


def rows():
    """Give each rate from 60 to 10 °C; beside a finding of more than 1 log stands that 1 log."""
    for rate, least, most in ENTRY["rows"]:
        ours = grown_log10("c_perfringens", [0, 50 / rate], [60.0, 10.0], cooked=True)
        if most is None:
            what, published, aim, held, reason = (
                "more than",
                least,
                (0.0, INFINITE),
                None,
                "exponential growth was seen",
            )
        else:
            what, published, aim, held = "at most", most, (least - most - 0.1, 0.1), (least - most, 2.0)
            reason = "the lag is set short, to be safe: the model finds up to 2 powers of ten more than was measured"
        yield Row(f"{rate} °C an hour, {what}", float(published), ours, "log10", "read in part", aim, held, reason)
