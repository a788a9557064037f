"""For the chef: who has mastered what, what is believed with confidence and wrong, how the questions do."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from advisor.quiz.spacing import SURE
from advisor.quiz.standing import believed, current, item_standings, subject_standing
from advisor.show.page import Page

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rich.console import Console

    from advisor.knowledge.rulebase import Rulebase
    from advisor.quiz.store import Answer


def report_record(
    answers: Sequence[tuple[str, Answer]], learners: Sequence[str], askable: Sequence[str], rulebase: Rulebase
) -> dict[str, Any]:
    """Everything the report says, as plain data."""
    valid = current((answer for _, answer in answers), rulebase)
    kept = {id(answer) for answer in valid}
    named = [(name, answer) for name, answer in answers if id(answer) in kept]
    people: dict[str, Any] = {}
    for name in learners:
        mine = [answer for who, answer in named if who == name]
        subjects = [subject_standing(subject, askable, mine, rulebase) for subject in rulebase.quiz.subjects]
        people[name] = {
            "answers": len(mine),
            "mastered": [one.subject for one in subjects if one.mastered],
            "must_know_open": [one.subject for one in subjects if one.must_know and one.rules and not one.mastered],
            "subjects": {one.subject: {"held": one.held, "seen": one.seen, "rules": one.rules} for one in subjects},
        }
    confident: dict[str, int] = {}
    for answer in valid:
        if not answer.is_right and answer.sure == SURE:
            confident[answer.rule] = confident.get(answer.rule, 0) + 1
    return {
        "learners": people,
        "confident_and_wrong": dict(sorted(confident.items(), key=lambda one: (-one[1], one[0]))),
        "beliefs": [
            {"name": b.name, "chosen": b.chosen, "offered": b.offered, "sure": b.confident} for b in believed(valid)
        ],
        "items": [
            {
                "rule": one.rule,
                "kind": one.kind,
                "asked": one.asked,
                "right": one.right,
                "interval": [round(one.low, 3), round(one.high, 3)],
                "apart": one.upper_less_lower,
                "idle": list(one.idle),
            }
            for one in item_standings(named, rulebase)
        ],
        "of_changed_rules": len(answers) - len(valid),
    }


def show_report(record: dict[str, Any], rulebase: Rulebase, console: Console) -> None:
    """Print the report."""
    page, book = Page(console, rulebase), rulebase.quiz
    if not record["learners"]:
        page.line("Nobody has sat a quiz here yet. Begin with: advisor quiz --learner NAME")
        return
    page.heading("Who has mastered what")
    for name, one in record["learners"].items():
        mastered = ", ".join(book.subjects[s].title for s in one["mastered"]) or "nothing yet"
        page.line(f"{name}: {mastered}. {one['answers']} {'answer' if one['answers'] == 1 else 'answers'}.", 2)
        if one["must_know_open"]:
            still = ", ".join(
                f"{book.subjects[s].title} ({one['subjects'][s]['held']} of {one['subjects'][s]['rules']} rules)"
                for s in one["must_know_open"]
            )
            page.line(f"Must still be known: {still}.", 4)
    page.heading("Sure and wrong, by rule")
    for rule, count in record["confident_and_wrong"].items():
        page.line(f"{count}  {rule}", 2)
    if not record["confident_and_wrong"]:
        page.line("none", 2)
    page.heading("What is believed")
    for one in record["beliefs"]:
        belief = book.misconceptions[one["name"]].believes if one["name"] in book.misconceptions else one["name"]
        page.line(f"{one['chosen']} of {one['offered']} times offered, {one['sure']} of them sure: {belief}", 2)
    _show_items(record, page, rulebase)
    if record["of_changed_rules"]:
        page.line(f"{record['of_changed_rules']} answers are about rules that have changed since; they count no more.")


def _show_items(record: dict[str, Any], page: Page, rulebase: Rulebase) -> None:
    """Print how the items of each rule do: counts and an interval, and a judgement only where there are enough."""
    page.heading("How the questions do")
    few = rulebase.quiz.settings.few_answers if rulebase.quiz.settings is not None else 0
    for one in record["items"]:
        low, high = (round(100 * end) for end in one["interval"])
        text = f"{one['rule']} ({one['kind']}): {one['right']} of {one['asked']} right, likely {low} to {high} %"
        if one["asked"] < few:
            text += "; too few to judge"
        elif one["apart"] is not None:
            text += f"; best less weakest {round(100 * one['apart'])} points"
        if one["idle"]:
            text += f"; hardly chosen: {', '.join(one['idle'])}"
        page.line(f"{text}.", 2)
