"""Weight lost in cooking: the model's own table, the measured rows it was set by, and rows it misses."""

from __future__ import annotations

from pathlib import Path

from published.row import Row
from ruamel.yaml import YAML

from advisor.knowledge import load_rulebase
from advisor.science.serving import CookLossModel, cook_loss_pct

DATA = YAML(typ="safe").load(Path(__file__).with_name("texture_of_cooked_meat.yaml"))["cook_loss"]
SOURCE = f"{DATA['source']}; spiced semitendinosus roasts, Hansen et al. 1995 (second hand)"
NOTE = (
    "The constants were set by hand on the six measured rows (marked: tuned), ends of a range taken in the middle. "
    "They are those the rulebase ships. The spiced roasts were not used."
)
TUNED = "the model was set by this row; two animals of one cut differ by as much"
MISSED = "spiced and salted roasts kept far more; salt holds water, and one study in a heap of others"


def model():
    """Give the shipped constants."""
    value = load_rulebase().parameter
    return CookLossModel(
        value("cook_loss_base_pct"),
        value("cook_loss_span_pct"),
        value("cook_loss_middle_c"),
        value("cook_loss_width_c"),
        value("cook_loss_fast_time_h") * 3600,
        value("cook_loss_slow_pct"),
        value("cook_loss_slow_from_c"),
        value("cook_loss_slow_over_c"),
        value("cook_loss_slow_time_h") * 3600,
        value("cook_loss_most_pct"),
    )


def rows():
    """Give the table, the measured rows and the missed."""
    shipped = model()
    for temp_c, printed_row in DATA["rows_pct"].items():
        for hours, printed in zip(DATA["hours"], printed_row, strict=True):
            ours = cook_loss_pct(temp_c, hours * 3600.0, shipped)
            odd = (temp_c, hours) == (55, 48)
            yield Row(
                f"table: {temp_c} °C for {hours} h",
                printed,
                ours,
                "%",
                "exact",
                (-0.5, 0.5),
                (-0.54, 0.5) if odd else None,
                "the table has 26 where its own constants give 25.47: rounded up by hand" if odd else "whole points",
            )
    for temp_c, hours, printed, _ in DATA["measured"]:
        ours = cook_loss_pct(temp_c, hours * 3600.0, shipped)
        what = f"measured (tuned): {temp_c} °C for {hours:g} h"
        yield Row(what, printed, ours, "%", "read in part", (-3.0, 3.0), None, TUNED)
    for temp_c, hours, printed in DATA["missed"]:
        ours = cook_loss_pct(temp_c, hours * 3600.0, shipped)
        what = f"spiced roasts: {temp_c} °C for {hours:g} h"
        yield Row(what, printed, ours, "%", "read in part", (-6.0, 6.0), (-6.0, 17.7), MISSED)
