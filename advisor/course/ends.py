"""The ends of what nobody knows exactly: how fast heat moves, how thick the piece is, what the probe reads.

A plan is walked at the slow end, in the middle and at the fast end. Every time computed from it is printed with
its range, and safety rests on whichever end is worse.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

from advisor.case.complete import bird_height_mm, cut_of, is_whole_bird
from advisor.course.roles import first_cook

if TYPE_CHECKING:
    from advisor.case.model import Case, PlanStep
    from advisor.knowledge.records import Medium
    from advisor.knowledge.rulebase import Rulebase

End = Literal["slow", "typical", "fast"]
COLD_MEAT_C = 20.0
LEAST_SIDE_MM = 0.5
MILLIMETRES = 1000.0


@dataclass(frozen=True, slots=True)
class Ends:
    """One set of what is not known exactly.

    Attributes
    ----------
    end : {"slow", "typical", "fast"}
        How heat moves.
    diffusivity : float
        Thermal diffusivity of the meat [m2/s].
    sides_mm : tuple of float
        Thickness, and the other sides where they count, thinnest first [mm].
    thicker_mm : float
        What a reading of a length may be short by [mm]; below zero it is long.
    colder_c : float
        What is taken off the start temperature [K].
    probe_c : float
        What is added to a temperature that a step waits for: above zero the probe reads low and the step is long.
    altitude_m : float
        How high above the sea the kitchen stands [m]; there where nobody said it.
    """

    end: End
    diffusivity: float
    sides_mm: tuple[float, ...]
    thicker_mm: float
    colder_c: float
    probe_c: float
    altitude_m: float = 0.0

    def surface_h(self, medium: Medium) -> float:
        """Surface coefficient of a medium at this end [W/m2 K]."""
        return {"slow": medium.surface_h_low, "typical": medium.surface_h_w_m2k, "fast": medium.surface_h_high}[
            self.end
        ]


def ends(case: Case, rulebase: Rulebase) -> tuple[Ends, Ends, Ends]:
    """Slow end, middle and fast end for a completed case."""
    if counts_as_hollow(case, rulebase):
        return hollow_ends(case, rulebase)
    slowed = 1.0
    if has_bone(case):
        slowed *= rulebase.parameter("bone_in_slower")
    if shape(case) == "rolled":
        slowed *= rulebase.parameter("rolled_slower")
    return _solid_ends(case, rulebase, slowed)


def _solid_ends(case: Case, rulebase: Rulebase, slowed: float) -> tuple[Ends, Ends, Ends]:
    """Ends of a piece that is meat all through, at the slow end as many times slower."""
    p = rulebase.parameter
    slow, middle, fast = p("diffusivity_slow"), p("diffusivity_typical"), p("diffusivity_fast")
    if case.given("piece", "fat") is not None:
        from advisor.science.properties import diffusivity, lean_with_fat

        # The composition route is good to a tenth; it may lower the slow end, never raise it.
        middle = float(diffusivity(lean_with_fat(case.number("piece", "fat") / 100.0), COLD_MEAT_C))
        slow, fast = min(slow, middle), max(fast, middle)
    off, high = p("thickness_reading_mm"), altitude_m(case)
    colder, probe = p("start_reading_c"), p("probe_reading_c")
    touching = p("touching_thicker") if any(map(one_faced, case.steps)) else 1.0
    longest = sides(case, off, rulebase)
    if touching > 1:
        # Heat comes through one face, as into one thicker slab; no other side is counted.
        longest = (longest[0] * touching,)
    return (
        Ends("slow", slow * slowed, longest, off, colder, probe, high),
        Ends("typical", middle, sides(case, 0.0, rulebase), 0.0, 0.0, 0.0, high),
        Ends("fast", fast, sides(case, -off, rulebase), -off, -colder, -probe, high),
    )


def counts_as_hollow(case: Case, rulebase: Rulebase) -> bool:
    """Whether it is surely a whole bird with nothing in it, of a known weight, that is never heated with ice in it.

    One that came frozen must be thawed first, and its thaw is held against the official times as well. All of it must
    have been said: what nobody said, or nobody knows, is reckoned as a solid piece as thick as the bird, which is
    slower. A piece lighter than such a bird is sold may be a part of one.
    """
    if not is_whole_bird(case, rulebase) or case.word("piece", "bone") != "yes" or shape(case) == "rolled":
        return False
    if case.piece["bone"].origin == "not known":
        return False
    return (
        said(case, "stuffing")
        and said(case, "weight")
        and case.word("piece", "stuffing") in ("none", "apart")
        and case.number("piece", "weight") >= float(min(cut_of(case, rulebase).weight_g))
        and (not ever_frozen(case, rulebase) or _thawed_first(case, rulebase))
        and not any(map(one_faced, case.steps))
    )


def _thawed_first(case: Case, rulebase: Rulebase) -> bool:
    """Whether what came frozen is thawed before its first heat, and is not frozen again."""
    freezing = rulebase.parameter("freezing_point_c")
    thaws = any(step.action == "thaw" for step in case.steps[: first_cook(case)])
    return thaws and not any(step.number("temperature") < freezing for step in case.steps)


def if_hollow(case: Case, rulebase: Rulebase) -> tuple[Ends, ...]:
    """Ends of a whole bird that may be hollow and is not reckoned so: it counts at the worse of both."""
    may_be = is_whole_bird(case, rulebase) and case.word("piece", "bone") != "no" and not ever_frozen(case, rulebase)
    return hollow_ends(case, rulebase) if may_be and not counts_as_hollow(case, rulebase) else ()


def hollow_ends(case: Case, rulebase: Rulebase) -> tuple[Ends, Ends, Ends]:
    """Ends of a whole bird with nothing in it: its thickest meat is a share of its height.

    The share was set on birds with their bones in, so no bone slows it more. At the slow end and in the middle a bird
    is no lower than is usual for its weight, so that a thickness read at one breast is not taken for that of all.
    """
    share, usual_share = rulebase.meat["hollow_bird_share"], rulebase.parameter("hollow_bird_share")
    shares = (share.high or usual_share, usual_share, share.low or usual_share)
    usual = bird_height_mm(case.number("piece", "weight"), rulebase)
    made = []
    for at, part in zip(_solid_ends(case, rulebase, 1.0), shares, strict=True):
        height = at.sides_mm[0] - at.thicker_mm
        if at.end != "fast" and said(case, "weight"):
            height = max(height, usual)
        made.append(replace(at, sides_mm=(max(height * part + at.thicker_mm, LEAST_SIDE_MM),)))
    return made[0], made[1], made[2]


def ever_frozen(case: Case, rulebase: Rulebase) -> bool:
    """Whether ice is in the meat at the start, or may form in a step."""
    freezing = rulebase.parameter("freezing_point_c")
    return (
        case.word("piece", "start_state") == "frozen"
        or case.number("piece", "start_temperature") < freezing
        or any(step.number("temperature") < freezing for step in case.steps)
    )


def altitude_m(case: Case) -> float:
    """How high above the sea the kitchen stands [m]; at the sea where nobody said it."""
    return case.number("guests", "altitude") / MILLIMETRES


def sides(case: Case, thicker_mm: float, rulebase: Rulebase) -> tuple[float, ...]:
    """Sides through which heat is counted, thinnest first [mm].

    A round or flat piece has its thickness alone, as has one with a bone or rolled up; only a plain piece whose
    other sides were measured is a block. A thickness nobody measured is the thickest that is usual, or at the
    fast end the thinnest.
    """
    given = case.piece["thickness"]
    if unmeasured(case):
        thinnest = float(min(cut_of(case, rulebase).thickness_mm))
        read = [min(given.number, thinnest) if thicker_mm < 0 else given.number]
    else:
        read = [given.number]
        if shape(case) == "flat" and not has_bone(case):
            read += [case.number("piece", name) for name in ("width", "length") if case.number("piece", name) > 0]
    return tuple(sorted(max(side + thicker_mm, LEAST_SIDE_MM) for side in read))


def unmeasured(case: Case) -> bool:
    """Whether the thickness of a completed case was assumed."""
    return case.piece["thickness"].origin.startswith("assumed")


def said(case: Case, name: str) -> bool:
    """Whether somebody told a fact of the piece of a completed case."""
    given = case.given("piece", name)
    return given is not None and given.value is not None and not given.origin.startswith("assumed")


def shape(case: Case) -> str:
    """Shape of the piece; flat when nobody was asked, rolled when nobody knows."""
    given = case.given("piece", "shape")
    if given is None:
        return "flat"
    return str(given.value) if given.value is not None else "rolled"


def has_bone(case: Case) -> bool:
    """Whether there is a bone in the piece; none when nobody was asked, one when nobody knows."""
    given = case.given("piece", "bone")
    return given is not None and given.value != "no"


def one_faced(step: PlanStep) -> bool:
    """Whether the bag takes heat through one face only, because bags touch or float."""
    given = step.given.get("bags")
    return given is not None and given.value != "apart"
