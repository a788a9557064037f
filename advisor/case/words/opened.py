"""Opening a step, and giving it the figures that waited for one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from advisor.case.words.bare import place_bare
from advisor.case.words.draft import COOKS, Draft

if TYPE_CHECKING:
    from advisor.case.words.build import Builder
    from advisor.case.words.scopes import Item


def open_step(builder: Builder, action: str, item: Item, *, implied: bool = False) -> Draft:
    """Begin a step, and give it what waited for it."""
    draft = Draft(action, implied=implied, clause=item.clause, start=item.start)
    if builder.insert_at is not None:
        builder.plan.drafts.insert(builder.insert_at, draft)
        builder.insert_at += 1
    else:
        served = builder.plan.drafts[-1:] if builder.plan.drafts and builder.plan.drafts[-1].action == "serve" else []
        early = bool(served) and len(builder.plan.drafts) == 1
        builder.plan.drafts.insert(0 if early else len(builder.plan.drafts), draft)
    builder.current = draft
    if builder.waiting and action not in COOKS:
        draft.given.update(builder.waiting)
        builder.waiting = {}
    flush(builder)
    return draft


def was_cooked(builder: Builder, draft: Draft) -> bool:
    """Whether a step that cooks stands before it."""
    drafts = builder.plan.drafts
    return any(one.action in COOKS for one in drafts[: drafts.index(draft)])


def flush(builder: Builder) -> None:
    """Give the current step what waited for one."""
    waiting, builder.pending = builder.pending, []
    for fact, item in waiting:
        if builder.current is not None:
            put_on(builder, builder.current, fact, item)


def put_on(builder: Builder, draft: Draft, fact: str, item: Item) -> None:
    """Put a figure on a step."""
    phrase = item.phrase
    if phrase is None:
        return
    if phrase.name == "bare":
        place_bare(builder.plan, draft, fact, phrase)
        return
    if fact == "humidity" and draft.action != "oven":
        builder.plan.lose(item.start, item.end, "how damp is what? Only an oven has it here.")
        return
    entry = builder.plan.rulebase.vocabulary["step"][fact]
    builder.plan.put(draft.given, entry, fact, phrase, action=draft.action)


def action_of(item: Item) -> str:
    """The action that a word stands for."""
    value = item.token.value
    return str(value[0] if isinstance(value, tuple) else value)


def pair_of(item: Item) -> tuple[str, str]:
    """The action and the place that a word stands for."""
    value = item.token.value
    if isinstance(value, tuple):
        return str(value[0]), str(value[1])
    return str(value), ""
