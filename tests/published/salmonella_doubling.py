"""How fast Salmonella doubles on beef, beside the shipped curve."""

from __future__ import annotations

from published._shipped import INFINITE, data, doubling_hours, grown_log10
from published.row import Row, share_of

GROWTH = data("growth_on_meat.yaml")
(ENTRY,) = (entry for entry in GROWTH["doubling_times"] if entry["organism"] == "salmonella")
SOURCE = str(ENTRY["source"])
NOTE = (
    "Abstract read. The shipped curve was fitted to these three times, so they are no independent check; that it "
    "grows a little at 7 and 8 °C, where none was seen, is on the safe side."
)


def rows():
    """Give doubling times, then growth in a day where none was found."""
    for temp_c, printed, _ in ENTRY["rows"]:
        ours = doubling_hours("salmonella", temp_c)
        missed = abs(ours - printed) > 0.05
        reason = "one smooth curve through three measured times" if missed else "printed to a tenth of an hour"
        held = share_of(printed, ENTRY["worst_relative_difference"]) if missed else None
        yield Row(f"doubling at {temp_c} °C", printed, ours, "h", "read in part", (-0.05, 0.05), held, reason)
    for temp_c in (7, 8):
        ours = grown_log10("salmonella", [0, 24], [temp_c, temp_c], cooked=False)
        reason = "the floor of growth is 5.2 °C, from a table of limits for any food; the model errs to the safe side"
        what = f"growth in a day at {temp_c} °C"
        yield Row(what, 0.0, ours, "log10", "read in part", (0.0, 0.0), (0.0, INFINITE), reason)
