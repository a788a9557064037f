"""What surrounds the meat in a step: the temperature its surface feels, and how fast heat comes."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from advisor.case.model import PlanStep
    from advisor.course.ends import End, Ends
    from advisor.knowledge.records import Medium
    from advisor.knowledge.rulebase import Rulebase

PERCENT = 100.0


def surroundings(
    step: PlanStep, rulebase: Rulebase, end: End = "typical", altitude_m: float = 0.0
) -> tuple[float, Medium]:
    """Temperature that a wet surface feels in a step [°C], and what surrounds it.

    In air that may be dry the surface stays nearer the wet bulb at the slow end: unknown humidity counts as none.
    High up a bath is no hotter than water boils there, and a wet surface boils cooler: the cap comes down by as much as
    the boiling point does, in a pressure cooker by a little more than it would. The cap of an oven lies below boiling
    already. Where an oven goes on until the probe reads what is wanted, it comes down only where water boils below it:
    the outside dries and the middle gets there, and no time of such a step is credited with kill.
    """
    medium = rulebase.media[step.word("place", "counter")]
    temperature = _set_temperature(step, medium)
    if medium.surface_cap_c is not None:
        felt = min(temperature, _cap(medium.surface_cap_c, step, medium, altitude_m))
        if medium.dries and end == "slow" and temperature > 0:
            from advisor.science.altitude import standard_pressure_kpa
            from advisor.science.steam import wet_bulb_c

            air = standard_pressure_kpa(altitude_m)
            wet = wet_bulb_c(temperature, step.number("humidity") / PERCENT, air)
            felt = min(felt, wet + rulebase.parameter("dry_felt_share") * (temperature - wet))
        temperature = felt
    elif medium.boils and altitude_m > 0:
        from advisor.science.altitude import boiling_point_c, standard_pressure_kpa

        temperature = min(temperature, boiling_point_c(standard_pressure_kpa(altitude_m)))
    return temperature, medium


def _cap(at_sea_c: float, step: PlanStep, medium: Medium, altitude_m: float) -> float:
    if altitude_m <= 0:
        return at_sea_c
    from advisor.science.altitude import boiling_point_c, boils_lower_by_c, standard_pressure_kpa

    if medium.dries and "until_core" in step.given:
        return min(at_sea_c, boiling_point_c(standard_pressure_kpa(altitude_m)))
    return at_sea_c - boils_lower_by_c(altitude_m)


def surface_h(at: Ends, step: PlanStep, rulebase: Rulebase) -> float:
    r"""Surface coefficient of a step at one end [W/m2 K], towards the temperature that the surface feels.

    An oven gives heat by how much hotter its air and walls are than the outside of the meat, though that outside
    stays under the cap. The same heat, told against the cap, is

    .. math:: h_{felt} = h \max\left(1, s\,\frac{T_{oven} - T_{out}}{T_{cap} - T_{out}}\right)

    with :math:`T_{out}` the outside midway through the roast and :math:`s` the share that drying leaves. Both are
    ours, held by ``tests/published/roasting_chart.py`` to the times of an official chart. The cap is that at the sea:
    high up the oven gives no more heat for being told against a lower one.
    """
    medium = rulebase.media[step.word("place", "counter")]
    plain = at.surface_h(medium)
    if not medium.dries or medium.surface_cap_c is None:
        return plain
    outside, least = rulebase.parameter("oven_outside_c"), rulebase.meat["oven_heat_share"].low
    share = least if at.end == "slow" and least is not None else rulebase.parameter("oven_heat_share")
    drive = (_set_temperature(step, medium) - outside) / (medium.surface_cap_c - outside)
    return plain * max(1.0, share * drive)


def _set_temperature(step: PlanStep, medium: Medium) -> float:
    return step.number("temperature", medium.usual_c if medium.usual_c is not None else 0.0)
