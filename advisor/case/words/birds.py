"""Several whole birds: the plan is for one of them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from advisor.case.model import Given
from advisor.case.words import english
from advisor.units import write_quantity

if TYPE_CHECKING:
    from collections.abc import Sequence

    from advisor.case.words.draft import Plan
    from advisor.case.words.scopes import Item


def bird_by_bird(plan: Plan, items: Sequence[Item]) -> None:
    """Of several whole birds the plan is for one, so a weight of all of them is shared out."""
    cut = plan.rulebase.cuts.get(str(plan.piece["cut"].value)) if "cut" in plan.piece else None
    weight = plan.piece.get("weight")
    of_one = any(item.token.key in english.OF_ONE for item in items if item.phrase is None)
    if plan.count <= 1 or cut is None or not cut.whole_bird or weight is None or weight.value is None or of_one:
        return
    shared = write_quantity(weight.number / plan.count, "mass", "metric")
    plan.piece["weight"] = Given(weight.number / plan.count, "written", weight.as_written, f"shared out: {shared} each")
    plan.remark(f"'{weight.as_written}' is shared out among {plan.count} birds, {shared} each; the plan is for one")
