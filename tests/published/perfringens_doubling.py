"""How fast C. perfringens doubles in beef, measured by others than those whose curve is shipped."""

from __future__ import annotations

import math

from published._shipped import INFINITE, data, doubling_hours
from published.row import Row, share_of

GROWTH = data("growth_on_meat.yaml")
(ENTRY,) = (entry for entry in GROWTH["doubling_times"] if entry["organism"] == "clostridium_perfringens")
CHICKEN = GROWTH["roasted_chicken_curve"]
SOURCE = f"{ENTRY['source']}; {CHICKEN['source']}"
NOTE = (
    "Abstracts read. The shipped curve was measured in braised beef by another laboratory; nothing was tuned here. In "
    "roasted chicken the same laboratory found it a little faster at its best temperature."
)


def rows():
    """Give three doubling times in ground beef, and the fastest in chicken."""
    reason = "another beef, another strain, another laboratory; 46 °C lies past the optimum of the shipped curve"
    for temp_c, printed, _ in ENTRY["rows"]:
        ours = doubling_hours("c_perfringens", temp_c) * 60
        held = share_of(printed, ENTRY["worst_relative_difference"])
        what = f"doubling in ground beef at {temp_c} °C"
        yield Row(what, printed, ours, "min", "read in part", (-0.05, 0.05), held, reason)
    fastest = math.log(2) / CHICKEN["mu_opt_per_h"] * 60
    ours = doubling_hours("c_perfringens", CHICKEN["t_opt_c"]) * 60
    reason = "the shipped curve is the one of beef, whose optimum lies 3 degrees lower"
    what = f"doubling in roasted chicken at {CHICKEN['t_opt_c']} °C"
    yield Row(what, fastest, ours, "min", "read in part", (-INFINITE, 0.05), (-INFINITE, 1.0), reason)
