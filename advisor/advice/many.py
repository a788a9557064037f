"""Many plans in one go, as a week's work has them: each down the same road, one line of verdict each."""

from __future__ import annotations

from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from multiprocessing import get_context
from typing import TYPE_CHECKING

from advisor.errors import AdvisorError, InputError

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence
    from datetime import datetime

    from advisor.knowledge.records import Verdict
    from advisor.knowledge.rulebase import Rulebase

PARTS = "---"
UNREADABLE = "unreadable"


@dataclass(frozen=True, slots=True)
class Checked:
    """What one plan of many comes to.

    Attributes
    ----------
    name : str
        File and line, or title.
    verdict : str
        As for one plan, or ``unreadable``.
    serve : str
        When it is served, in words; empty when nobody said.
    why : str
        The worst finding, or what could not be read.
    change : str
        The smallest change; empty when there is none, or none is needed.
    """

    name: str
    verdict: Verdict | str
    serve: str
    why: str
    change: str


def plans_in(text: str, name: str) -> Iterator[tuple[str, str]]:
    """Each plan of a file, which parts them by lines of three dashes, with its name.

    Lines keep their numbers, so that an error names the line of the file.
    """
    begin = 0
    lines = text.splitlines()
    marks = [*(i for i, line in enumerate(lines) if line.strip() == PARTS), len(lines)]
    for mark in marks:
        body = lines[begin:mark]
        if any(line.strip() and not line.lstrip().startswith("#") for line in body):
            yield "\n" * begin + "\n".join(body) + "\n", name
        begin = mark + 1


def plans_of(files: Sequence[str], read: Callable[[str], tuple[str, str]]) -> list[tuple[str, str] | Checked]:
    """Every plan of every file; of several files one that cannot be read, or is empty, keeps its line and says so.

    Raises
    ------
    InputError
        The only file cannot be read.
    """
    plans: list[tuple[str, str] | Checked] = []
    for file in files:
        try:
            text, name = read(file)
        except InputError as error:
            if len(files) == 1:
                raise
            plans.append(Checked(file, UNREADABLE, "", f"{error.what} {error.hint}".strip(), ""))
            continue
        found = list(plans_in(text, name))
        if not found and len(files) > 1:
            plans.append(Checked(name, UNREADABLE, "", "There is nothing in it.", ""))
        plans += found
    return plans


def check_many(
    plans: Sequence[tuple[str, str] | Checked], rulebase: Rulebase, now: datetime, *, jobs: int = 1
) -> tuple[Checked, ...]:
    """Check every plan, in the order given.

    Parameters
    ----------
    plans : sequence of (text, name), or Checked
        Plans; what could not be read stands among them as it is.
    rulebase : Rulebase
        As this kitchen has it.
    now : datetime
        For days of the week.
    jobs : int, optional
        How many processes share the work; the answer is the same.
    """
    todo = [plan for plan in plans if not isinstance(plan, Checked)]
    workers = min(jobs, len(todo))
    if workers <= 1:
        done = iter([_checked(text, name, rulebase, now) for text, name in todo])
    else:
        context = get_context("spawn")
        with ProcessPoolExecutor(workers, mp_context=context, initializer=_begin, initargs=(rulebase, now)) as pool:
            done = iter(list(pool.map(_in_worker, todo)))
    return tuple(plan if isinstance(plan, Checked) else next(done) for plan in plans)


_SHARED: dict[str, tuple[Rulebase, datetime]] = {}


def _begin(rulebase: Rulebase, now: datetime) -> None:
    _SHARED["all"] = (rulebase, now)


def _in_worker(plan: tuple[str, str]) -> Checked:
    rulebase, now = _SHARED["all"]
    return _checked(*plan, rulebase, now)


def _checked(text: str, name: str, rulebase: Rulebase, now: datetime) -> Checked:
    from advisor.advice.mends import find_mends
    from advisor.advice.report import examine
    from advisor.case.words.either import read_either
    from advisor.units import write_moment

    try:
        case = read_either(text, rulebase, now, name)
    except AdvisorError as error:
        return Checked(name, UNREADABLE, "", str(error).splitlines()[0], "")
    report = examine(case, rulebase)
    mends = find_mends(report, rulebase) if report.verdict != "go" else ()
    return Checked(
        case.title or name,
        report.verdict,
        write_moment(case.serve) if case.serve is not None else "",
        report.problems[0].says if report.problems else "",
        mends[0].change if mends else "",
    )
