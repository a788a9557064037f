"""The plan or verdict on the screen: verdict first, then the smallest change, then why; steps, assumptions, sources."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from advisor.advice.mends import no_mend_lines
from advisor.advice.schedule import checks, late_by, schedule
from advisor.knowledge.checks import PLACEHOLDER
from advisor.knowledge.strictest import STRICTEST
from advisor.show.law import law_line, standing_line
from advisor.show.table_law import table_line
from advisor.show.words import ends_line, piece_line, record_lines, step_line
from advisor.units import write_moment, write_quantity, write_range, write_span

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import datetime

    from rich.console import Console

    from advisor.advice.build import Built
    from advisor.advice.mends import Mended
    from advisor.advice.report import Report
    from advisor.advice.schedule import Check
    from advisor.infer.proof import Finding
    from advisor.knowledge.records import Cite
    from advisor.knowledge.rulebase import Rulebase
    from advisor.units import System

WIDEST = 100
CLOCK_WIDTH = 13


def _limits_told(finding: Finding) -> list[str]:
    """Name the limits that a finding is held against: those its sentence names, else all that its rule reads.

    A rule may read a limit only to see that it is to be asked at all, as whether the meat is still warm.
    """
    read = list(dict.fromkeys(judged.condition.limit for judged in finding.figures if judged.condition.limit))
    named = {match[1].partition("|")[0] for match in PLACEHOLDER.finditer(finding.rule.rule.says)}
    return [limit for limit in read if limit in named] or read


def _read(step: int, readings: Iterable[Check]) -> list[str]:
    """Readings to take in a step, each with what to do if it is not met."""
    told: list[str] = []
    for reading in readings:
        if reading.step == step:
            when = f"after {write_span(reading.after_min)}" if reading.after_min else "at the end"
            told.append(f"Check {when}: {reading.limit}. If not: {reading.otherwise}.")
    return told


class Page:
    """Prints reports to one console.

    Parameters
    ----------
    console : Console
        Where to print; its width and its lack of colour are respected.
    rulebase : Rulebase
        For names, limits and sources.
    """

    def __init__(self, console: Console, rulebase: Rulebase) -> None:
        self.console, self.rulebase = console, rulebase
        # A moment a week or more from it is told with its date.
        self.now: datetime | None = None

    def line(self, text: str = "", indent: int = 0, *, bold: bool = False) -> None:
        """Print one paragraph, wrapped, with a hanging indent."""
        body = Text(text, style="bold" if bold else "")
        self.console.print(Padding(body, (0, 0, 0, indent)), width=min(self.console.width, WIDEST), highlight=False)

    def row(self, clock: str, number: str, text: str, *, bold: bool = False, width: int = CLOCK_WIDTH) -> None:
        """Print one line of the schedule: clock, number of the step, text with a hanging indent."""
        grid = Table.grid(padding=(0, 1))
        grid.add_column(width=width, no_wrap=True)
        grid.add_column(width=3, justify="right", no_wrap=True)
        grid.add_column(overflow="fold")
        style = "bold" if bold else ""
        grid.add_row(Text(clock, style), Text(number, style), Text(text, style))
        self.console.print(grid, width=min(self.console.width, WIDEST), highlight=False)

    def heading(self, text: str) -> None:
        """Print a heading."""
        self.line()
        self.line(text, bold=True)

    def report(
        self,
        report: Report,
        mends: Iterable[Mended],
        now: datetime,
        *,
        built: Built | None = None,
        if_true: tuple[str, ...] = (),
    ) -> None:
        """Print a whole report; ``if_true`` is what was not said, and would bring the plan to go."""
        offered = tuple(mends)
        self.now = now
        if built is not None:
            from advisor.show.planned import conflict_line, keeps_line

            for line in filter(None, (conflict_line(built, now), keeps_line(built, now))):
                self.line(line, bold=True)
        self.verdict(report, offered, if_true, planned=built is not None)
        if built is None:
            self.late(report, now)
        self.board(report, built)
        self.recorded(report)
        self.problems(report)
        self.steps(report, built)
        if built is not None:
            self.beside_steps(report, built)
        self.course(report)
        self.forecast(report)
        self.notes(report)
        self.assumed(report)
        self.sources(report)
        self.closing(report)

    def beside_steps(self, report: Report, built: Built) -> None:
        """Print what a built plan has beside its steps: the clock, quantities, slicing, and other ways."""
        from advisor.show import planned

        for text in planned.clock_lines(report, self.rulebase, self.now):
            self.line(text, 2)
        for title, lines in (
            ("For this weight", planned.quantity_lines(report, self.rulebase)),
            ("How to slice it", planned.knife_lines(report, self.rulebase)),
            ("Ways we worked out", planned.other_lines(built, self.rulebase)),
        ):
            if lines:
                self.heading(title)
            for text in lines:
                self.line(text, 2)

    def verdict(
        self, report: Report, mends: tuple[Mended, ...], if_true: tuple[str, ...] = (), *, planned: bool = False
    ) -> None:
        """Print the verdict, the smallest change, and the reason in a sentence or two."""
        told = report.verdict if report.case.log is None or report.verdict == "go" else "happened"
        self.line(f"{report.verdict.upper()}. {self.rulebase.local_lines[told]}", bold=True)
        if self.rulebase.code == STRICTEST:
            # Nobody said which code holds; the verdict must not be read as that of the cook's own.
            self.line(standing_line(self.rulebase))
        if report.verdict == "go":
            return
        if if_true:
            self.line(self.rulebase.local_lines["if_true"])
            for words in if_true:
                self.line(f"- {words}", 2)
        if mends:
            self.line(f"Smallest change: {mends[0].change}. Then: {mends[0].verdict}.")
            for mend in mends[1:]:
                self.line(f"Or: {mend.change}. Then: {mend.verdict}.")
            if any(mend.only_if for mend in mends):
                self.line("A change that rests on someone's word counts only if you have it.")
        for sentence in no_mend_lines(report, mends, self.rulebase, planned=planned):
            self.line(sentence)
        for finding in report.problems[:2]:
            self.line(f"Why: {finding.says}")

    def late(self, report: Report, now: datetime) -> None:
        """Say at the top when the plan would have had to begin already."""
        late = late_by(schedule(report, self.rulebase), now)
        if late is not None:
            span = write_span(late.total_seconds() / 60, rounding="up")
            self.line(f"TOO LATE for the service named: it would have had to begin {span} ago.", bold=True)

    def board(self, report: Report, built: Built | None) -> None:
        """Print what is on the board, and what was changed while the plan was built."""
        self.line()
        if report.case.title:
            self.line(report.case.title, bold=True)
        self.line(piece_line(report, self.rulebase))
        if report.case.serve is not None:
            self.line(f"Served {write_moment(report.case.serve, now=self.now)}.")
        if built is not None:
            for mend, rule in built.made:
                self.line(f"While planning we changed: {mend.change} [{rule}].")
            for technique in built.ruled_out:
                name, rule = technique.name.replace("_", " "), technique.rule.rule.id
                self.line(f"Ruled out, {name}: {technique.says} [{rule}]")

    def recorded(self, report: Report) -> None:
        """Print what a probe's record holds, and every reading of it that was not used."""
        log = report.case.log
        if log is None:
            return
        self.heading(f"What the probe recorded: {log.name}")
        for text in record_lines(log, report.case.system, self.rulebase):
            self.line(text, 2)
        self.line("Each reading counts against the cook by the probe's own error, up or down.", 2)

    def problems(self, report: Report) -> None:
        """Print every problem with its caution, its figures and its rule."""
        if not report.problems:
            return
        self.heading("What is wrong, worst first")
        told: dict[str, str] = {}
        tables: set[str] = set()
        for finding in report.problems:
            table = table_line(finding, report, self.rulebase)
            self.finding(finding, report.case.system, told=told, table="" if table in tables else table)
            tables.add(table)

    def finding(
        self, finding: Finding, system: System, indent: int = 2, *, told: dict[str, str] | None = None, table: str = ""
    ) -> None:
        """Print one finding: signal word, hazard, consequence, what to do; figures; why; rule and source.

        ``told`` holds each doubt that was printed before with its rule, which is named instead of saying it again.
        ``table`` is what the strictest table elsewhere asks.
        """
        where = f"step {finding.step + 1}: " if finding.step is not None else ""
        if finding.caution is not None:
            hazard, consequence, instead = finding.caution
            self.line(f"{finding.signal} {hazard} {consequence} {instead}", indent)
            self.line(f"{where}{finding.says}", indent + 2)
        else:
            self.line(f"{finding.signal} {where}{finding.says}", indent)
        self.line(f"Why: {finding.because}", indent + 2)
        for limit in _limits_told(finding):
            law = law_line(limit, self.rulebase, system)
            if law:
                self.line(f"Law: {law}", indent + 2)
        if table:
            self.line(f"Law: {table}", indent + 2)
        self.doubts(finding, indent + 2, {} if told is None else told)
        self.line(f"[{finding.rule.rule.id}] {self.cites(finding.sources)}; {finding.rule.rule.basis}", indent + 2)

    def doubts(self, finding: Finding, indent: int, told: dict[str, str]) -> None:
        """Print why a finding is less sure than others, what was said before by the rule it stands under."""
        before = dict.fromkeys(told[doubt] for doubt in finding.doubts if doubt in told)
        for doubt in finding.doubts:
            if doubt not in told:
                self.line(f"Less sure: {doubt}.", indent)
                told[doubt] = finding.rule.rule.id
        if before:
            self.line(f"Less sure: as under {', '.join(f'[{rule}]' for rule in before)}.", indent)

    def cites(self, cites: Iterable[Cite]) -> str:
        """Ids of sources, as they stand in the list below, with their sections."""
        return "; ".join(f"{c.id}{' ' + c.section if c.section else ''}" for c in cites)

    def steps(self, report: Report, built: Built | None = None) -> None:
        """Print the steps with clock times counted back from service, the caution before the action."""
        from advisor.show.planned import done_early, poured, until_lines

        slots = schedule(report, self.rulebase)
        if not slots:
            return
        self.heading("Steps" if report.verdict == "go" else "Steps as planned (not yet to be followed)")
        readings = checks(report, self.rulebase)
        pours = poured(report, self.rulebase) if built is not None else {}
        soon = done_early(report, self.rulebase, self.now) if built is not None else {}
        clocks = [
            write_moment(slot.begins, now=self.now) if slot.begins is not None else f"+{write_span(slot.start)}"
            for slot in slots
        ]
        width = max(CLOCK_WIDTH, *map(len, clocks))
        for text in until_lines(report, self.now, self.rulebase) if built is not None and self.now is not None else ():
            self.line(text, 2)
        for slot, clock in zip(slots, clocks, strict=True):
            told = report.of_step(slot.step)
            for finding in told:
                if finding.caution is not None or finding.verdict != "go" or finding.signal in ("DANGER", "WARNING"):
                    text = " ".join(finding.caution) if finding.caution is not None else finding.says
                    self.row("", "", f"{finding.signal} {text} [{finding.rule.rule.id}]", width=width)
            self.row(clock, f"{slot.step + 1}.", step_line(report, slot.step, self.rulebase), bold=True, width=width)
            for finding in told:
                if finding.beside:
                    self.row("", "", f"{finding.beside} [{finding.rule.rule.id}]", width=width)
            for text in (*pours.get(slot.step, ()), *_read(slot.step, readings), *soon.get(slot.step, ())):
                self.row("", "", text, width=width)
        busy = sum(slot.busy for slot in slots)
        self.line(f"In all {write_span(slots[-1].end)}, of which hands on about {write_span(busy)}.", 2)

    def course(self, report: Report) -> None:
        """Print how warm the meat is inside at the end of every step that waits, heats or cools."""
        course = report.computed.course
        legs = course.slow.legs if course is not None else ()
        told = [leg for leg in legs if report.computed.roles[leg.step] != "work" and leg.minutes > 0]
        if not told:
            return
        system = report.case.system
        depth = write_quantity(self.rulebase.limit("marinade_depth"), "length", system, both=False)
        self.heading(f"Inside the meat at the end of each step: outside, {depth} deep, middle")
        for leg in told:
            facts = report.inference.facts.steps[leg.step]
            spans = [facts[name] for name in ("surface_end", "depth_end", "core_end") if name in facts]
            shown = ", ".join(
                write_range(round(span.low, 1), round(span.high, 1), "temperature", system)
                for span in spans
                if span.low is not None and span.high is not None
            )
            self.line(f"{leg.step + 1}. {shown}", 2)
        self.line(ends_line(self.rulebase, system), 2)

    def forecast(self, report: Report) -> None:
        """Print how it should eat, as bands with their low confidence."""
        facts = report.computed.facts.course
        low, high = facts.get("tender_low"), facts.get("tender_high")
        if low is None or high is None or not isinstance(low.value, float) or not isinstance(high.value, float):
            return
        system, limit = report.case.system, self.rulebase.parameter("tender_below_kgf")
        word = "tender" if high.value < limit else "tough" if low.value > limit else "between tender and chewy"
        self.heading("What to expect")
        band = f"shear {low.value:.1f} to {high.value:.1f} kgf; under {limit:.1f} is sold as tender"
        sure = facts["tender_confidence"].value if "tender_confidence" in facts else "low"
        self.line(f"Bite: {word} ({band}). A rough forecast, {sure} confidence.", 2)
        least, most = facts.get("chew_low"), facts.get("chew_high")
        if least is not None and most is not None:
            ends = f"{self._number('chew_low', report):.1f} to {self._number('chew_high', report):.1f}"
            self.line(f"Sliced as planned it chews {ends} times as hard as just tender meat in one piece.", 2)
        lost = f"{self._number('loss_low', report):.0f} to {self._number('loss_high', report):.0f} %"
        salt = write_range(report.computed.salt.low_pct, report.computed.salt.pct, "percent", system)
        each = "; ".join(
            f"{source.name} {write_range(source.least, source.most, 'percent', system)}"
            for source in report.computed.salt.sources
        )
        self.line(
            f"Weight lost in cooking: {lost}. Salt from all sources: {salt} of the meat's weight ({each or 'none'}).", 2
        )
        core = write_quantity(self._number("core_peak", report), "temperature", system)
        self.line(f"The middle gets to {core} before the heat ends, reckoned slow.", 2)

    @staticmethod
    def _number(name: str, report: Report) -> float:
        fact = report.computed.facts.course.get(name)
        return fact.value if fact is not None and isinstance(fact.value, float) else 0.0

    def notes(self, report: Report) -> None:
        """Print what is good to know: findings that stand in no one's way."""
        notes = [f for f in report.notes if f.step is None or f.caution is None]
        if not notes:
            return
        self.heading("Good to know")
        for finding in notes:
            where = f"Step {finding.step + 1}. " if finding.step is not None else ""
            self.line(f"{finding.signal} {where}{finding.says} {finding.because} [{finding.rule.rule.id}]", 2)

    def assumed(self, report: Report) -> None:
        """Print what was not used of the input, and what was assumed."""
        if report.case.not_understood:
            self.heading("Not used")
            for part in report.case.not_understood:
                self.line(f"- {part}", 2)
        if report.assumed:
            self.heading("What we assumed - change it if it is wrong")
            for sentence in report.assumed:
                self.line(f"- {sentence}", 2)

    def sources(self, report: Report) -> None:
        """Print every source that a shown finding rests on, with edition, sections and how it is known."""
        sections: dict[str, list[str]] = {}
        for finding in report.inference.findings:
            for cite in finding.sources:
                sections.setdefault(cite.id, []).append(cite.section)
        self.heading("Sources")
        for name, cited in sections.items():
            source = self.rulebase.sources[name]
            shown = ", ".join(dict.fromkeys(section for section in cited if section))
            if source.standing in ("common_practice", "estimate"):
                self.line(f"- {name}: {source.title}.", 2)
            else:
                standing, known = source.standing.replace("_", " "), source.known.replace("_", " ")
                self.line(
                    f"- {name}: {source.title}, {source.edition}{': ' + shown if shown else ''} ({standing}, {known}).",
                    2,
                )

    def closing(self, report: Report) -> None:
        """Print the local-authority line, the limits, the engine, and the verdict once more."""
        lines = self.rulebase.local_lines
        self.line()
        self.line(lines[report.computed.case.word("guests", "setting", "work")])
        code = self.rulebase.codes.get(self.rulebase.code)
        if code is not None and not code.default:
            self.line(code.local_line)
        self.line(lines["special"])
        self.line(lines["limits"])
        self.line(standing_line(self.rulebase))
        self.line(
            f"Answered by {report.inference.engine}; rulebase {self.rulebase.version}, state {self.rulebase.digest}."
        )
        self.line(f"{report.verdict.upper()}.", bold=True)
