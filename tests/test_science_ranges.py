"""Each model of the science warns far outside what it was checked on, or says that it holds everywhere.

Each call below was made far beyond the range in the notes of its function.
"""

from __future__ import annotations

import importlib.util
import sys
from pathlib import Path

import numpy as np
import pytest

from advisor.science import (
    acid,
    acid_bands,
    altitude,
    batch,
    brine,
    conditions,
    conduction,
    convection,
    enzyme,
    faces,
    freezing,
    growth,
    ice,
    lethality,
    properties,
    rates,
    reach,
    salt,
    serving,
    shapes,
    soak,
    softening,
    solids,
    steam,
    tenderness,
    texture,
)
from advisor.science.band import Band, certain
from advisor.science.validity import OutsideRange

HOUR, YEAR = 3600.0, 365 * 24 * 3600.0
BODY = conduction.ThermalBody(0.02, 0.0, 1.3e-7, 0.48)
ICY = ice.FrozenBody(0.02, 0.0, 1.3e-7, 0.48, 1.4, 1050.0, 0.66)
BLOCK = solids.block((0.02, 0.04), 1.3e-7, 0.48)
GERM = growth.GrowthCurve(5.0, 40.0, 46.0, 2.3, 5.0, 46.0, 0.0, measured_c=(10.0, 42.0))
LOSS = serving.CookLossModel(5.0, 35.0, 61.0, 6.0, HOUR, 16.0, 50.0, 7.0, 14 * HOUR, 45.0)
FAST, SLOW = texture.HalfTime(660.0, 58.0, 520.0), texture.HalfTime(12 * HOUR, 60.0, 75.0)
PASTE = reach.Source(100.0, 1e-11)
LONG = [0.0, YEAR]
HOT = [0.0, 60.0], [150.0, 150.0]
TO_KILL = {"d_ref_s": 30.0, "ref_c": 60.0, "z_c": 6.0, "floor_c": 54.4, "measured_c": (55.0, 65.0)}
STIFF = {
    "collagen_share": certain(0.3),
    "hardening": certain(1.0),
    "remaining": certain(1.0),
    "enzyme_factor": certain(1.0),
    "mechanical_factor": certain(1.0),
}
STILL = (1e-6, 0.7, 3e-3)  # of a fluid: viscosity, Prandtl number, expansion


def slowly(temps):
    return np.full_like(np.asarray(temps, dtype=np.float64), 1e-6)


def by_depth(work, hours, temp_c):
    temps = np.full((2, 2), temp_c)
    return work([0.0, hours * HOUR], temps, [0.0, 0.001], PASTE, np.ones_like, slowly, protection_factor=1.0)


FAR = {
    "acid.ph_after": lambda: acid.ph_after(5.6, acid.CITRIC, 0.1, 0.05),
    "acid.ph_after_strong": lambda: acid.ph_after_strong(5.6, 0.5, 0.05),
    "acid.retarded_diffusivity": lambda: acid.retarded_diffusivity(4e-10, 0.5, 5.0, 0.05),
    "acid.sour_depth_m": lambda: acid.sour_depth_m(1e-10, YEAR),
    "acid_bands.soda_band": lambda: acid_bands.soda_band(10.0, low=0.3, high=0.6, soapy_above=0.8),
    "altitude.standard_pressure_kpa": lambda: altitude.standard_pressure_kpa(20000.0),
    "altitude.boiling_point_c": lambda: altitude.boiling_point_c(1e5),
    "altitude.boils_lower_by_c": lambda: altitude.boils_lower_by_c(20000.0),
    "batch.batch_leg": lambda: batch.batch_leg(
        batch.Batch(*(np.array([value]) for value in (0.02, 1.3e-7, 0.48))),
        np.full((1, 40), 5.0),
        [200.0],
        [1000.0],
        [HOUR],
    ),
    "brine.equilibrium_brine_salt_kg": lambda: brine.equilibrium_brine_salt_kg(1.0, 0.01, 0.1),
    "brine.brine_final_fraction": lambda: brine.brine_final_fraction(1.0, 0.1, 0.1),
    "brine.injection_brine_fraction": lambda: brine.injection_brine_fraction(0.05, 0.1, 0.8),
    "brine.pump_salt_kg": lambda: brine.pump_salt_kg(1.0, 0.1, 0.5, 0.8),
    "conditions.dose_strength": lambda: conditions.dose_strength(50.0, 1.0, 1.0),
    "conditions.ph_factor": lambda: conditions.ph_factor(2.0, (5.0, 7.0), (4.0, 8.0)),
    "conditions.ph_factor_beside": lambda: conditions.ph_factor_beside(2.0, 5.6, (5.0, 7.0), (4.0, 8.0)),
    "conditions.salt_factor": lambda: conditions.salt_factor(50.0, 18.0, 0.03),
    "conduction.warn_no_ice_no_boiling": lambda: conduction.warn_no_ice_no_boiling(
        200.0, np.array([4.0]), np.array([150.0])
    ),
    "conduction.leg": lambda: conduction.leg(BODY, np.full(40, -20.0), 60.0, 95.0, [HOUR]),
    "convection.nusselt_vertical_plate": lambda: convection.nusselt_vertical_plate(1e15, 0.7),
    "convection.still_fluid_coefficient": lambda: convection.still_fluid_coefficient(50.0, 80.0, 0.6, *STILL),
    "convection.nusselt_flat_plate": lambda: convection.nusselt_flat_plate(1.0, 0.7),
    "convection.stream_coefficient": lambda: convection.stream_coefficient(1e-4, 1e-3, 0.6, 1e-6, 7.0),
    "convection.radiation_coefficient": lambda: convection.radiation_coefficient(500.0, 20.0),
    "enzyme.relative_activity": lambda: enzyme.relative_activity(150.0, 45.0, 55.0),
    "enzyme.shear_factor": lambda: enzyme.shear_factor(1000.0, 4.3, 0.4),
    "enzyme.reached_fraction": lambda: enzyme.reached_fraction(1e-11, YEAR, 0.02),
    "faces.leg_by_faces": lambda: faces.leg_by_faces(BODY, np.full(80, 5.0), (300.0, 300.0), (1000.0, 1000.0), [HOUR]),
    "freezing.frozen_leg": lambda: freezing.frozen_leg(ICY, np.full(24, -60.0), 4.0, 8.0, [HOUR]),
    "freezing.time_to_thaw": lambda: freezing.time_to_thaw(ICY, np.full(24, -60.0), 20.0, 95.0),
    "freezing.time_to_freeze": lambda: freezing.time_to_freeze(ICY, np.full(24, 4.0), -80.0, 95.0, -10.0),
    "growth.cardinal_rate": lambda: growth.cardinal_rate(44.0, 5.0, 40.0, 46.0, 2.3, measured_c=(10.0, 42.0)),
    "growth.log_growth": lambda: growth.log_growth(LONG, [37.0, 37.0], GERM),
    "growth.grown_by_end": lambda: growth.grown_by_end(LONG, [37.0, 37.0], [GERM]),
    "ice.ice_fraction": lambda: ice.ice_fraction(ICY, -80.0),
    "ice.heat_content": lambda: ice.heat_content(ICY, -80.0),
    "lethality.kill_rate": lambda: lethality.kill_rate(90.0, **TO_KILL),
    "lethality.log_kill": lambda: lethality.log_kill([0.0, 60.0], [90.0, 90.0], **TO_KILL),
    "lethality.carried_in_log": lambda: lethality.carried_in_log(0.9),
    "properties.lean_with_fat": lambda: properties.lean_with_fat(0.9),
    "properties.density": lambda: properties.density(properties.LEAN, 300.0),
    "properties.specific_heat": lambda: properties.specific_heat(properties.LEAN, 300.0),
    "properties.conductivity": lambda: properties.conductivity(properties.LEAN, 300.0),
    "properties.diffusivity": lambda: properties.diffusivity(properties.LEAN, 300.0),
    "rates.within_measured": lambda: rates.within_measured("a rate", 90.0, (50.0, 60.0)),
    "rates.arrhenius_loss_rate": lambda: rates.arrhenius_loss_rate(90.0, 1e40, 300.0, measured_c=(55.0, 67.0)),
    "rates.eyring_loss_rate": lambda: rates.eyring_loss_rate(20.0, 150.0, 100.0, measured_c=(60.0, 90.0)),
    "rates.reference_loss_rate": lambda: rates.reference_loss_rate(20.0, 3e-5, 55.0, 200.0, measured_c=(45.0, 65.0)),
    "rates.equivalent_time_s": lambda: rates.equivalent_time_s(HOUR, 4.0, 150.0, 45.0),
    "reach.film_thickness_m": lambda: reach.film_thickness_m(0.9, 0.02),
    "reach.concentration": lambda: reach.concentration(YEAR, 0.001, PASTE),
    "salt.salt_diffusivity": lambda: salt.salt_diffusivity(90.0, 4e-10, 5.0, 20.0),
    "salt.hours_to_even": lambda: salt.hours_to_even(1.0, 4e-10, 0.9),
    "salt.penetration_depth_m": lambda: salt.penetration_depth_m(4e-10, YEAR),
    "serving.slice_fibre_length_m": lambda: serving.slice_fibre_length_m(0.1, 90.0, 0.2),
    "serving.chew_index": lambda: serving.chew_index(50.0, 0.01, 4.4, 0.01, 0.5),
    "serving.cook_loss_pct": lambda: serving.cook_loss_pct(95.0, HOUR, LOSS),
    "serving.myoglobin_denatured": lambda: serving.myoglobin_denatured(*HOT, 1e40, 300.0),
    "shapes.series_temperature": lambda: shapes.series_temperature(0.0, 1e-6, 10.0, shapes.Shape.SLAB),
    "soak.brined_meat_fraction": lambda: soak.brined_meat_fraction(0.5, 0.4, 1.0, 0.75),
    "soak.carried_salt_kg": lambda: soak.carried_salt_kg(0.05, 0.02, 1000.0, 0.1),
    "softening.work_by_depth": lambda: by_depth(softening.work_by_depth, 200.0, 4.0),
    "softening.work_on_walls": lambda: by_depth(softening.work_on_walls, 1.0, 80.0),
    "softening.shear_factors": lambda: softening.shear_factors([0.0, 1000.0], 4.3, 0.4),
    "solids.solid_leg": lambda: solids.solid_leg(BLOCK, solids.uniform_solid(BLOCK, -20.0), 60.0, 95.0, [HOUR]),
    "steam.film_condensation_coefficient": lambda: steam.film_condensation_coefficient(
        30.0, 50.0, 960.0, 0.68, 2.8e-4, 2.255e6
    ),
    "steam.saturation_pressure_kpa": lambda: steam.saturation_pressure_kpa(300.0),
    "steam.wet_bulb_c": lambda: steam.wet_bulb_c(500.0, 0.0),
    "tenderness.tenderness_band": lambda: tenderness.tenderness_band(Band(30.0, 40.0, 50.0), **STIFF),
    "tenderness.chew_band": lambda: tenderness.chew_band(
        Band(30.0, 40.0, 50.0),
        slice_m=certain(0.003),
        angle_deg=certain(90.0),
        piece_length_m=0.2,
        reference_shear_kgf=4.4,
        reference_length_m=0.01,
        exponent=0.5,
    ),
    "tenderness.loss_band": lambda: tenderness.loss_band(certain(95.0), HOUR, LOSS, 6.0),
    "tenderness.yield_range": lambda: tenderness.yield_range(1.0, certain(80.0), certain(0.0)),
    "tenderness.raw_weight_kg": lambda: tenderness.raw_weight_kg(1.0, certain(80.0), certain(0.0)),
    "texture.collagen_fast": lambda: texture.collagen_fast(*HOT, 660.0, 58.0, 520.0),
    "texture.collagen_remaining": lambda: texture.collagen_remaining(*HOT, FAST, SLOW),
    "texture.collagen_left": lambda: texture.collagen_left(*HOT, FAST, [SLOW]),
    "texture.fibre_hardening_long": lambda: texture.fibre_hardening_long(90.0, 57.0, 63.0, 0.07),
    "texture.fibre_hardening_short": lambda: texture.fibre_hardening_short(110.0, 60.0, 80.0, 0.02),
    "texture.tenderness_index": lambda: texture.tenderness_index(
        40.0, collagen_share=0.3, hardening=1.0, remaining=1.0, enzyme_factor=1.0, mechanical_factor=1.0
    ),
}


# What has no range of its own, and what it is used by, which checks it.
CHECKED_BY = {
    "acid.Buffer": "acid.ph_after",
    "batch.Batch": "batch.batch_leg",
    "conduction.ThermalBody": "conduction.leg",
    "enzyme.remaining_activity": "rates.arrhenius_loss_rate",
    "enzyme.enzyme_work": "enzyme.relative_activity",
    "growth.GrowthCurve": "growth.log_growth",
    "holds.Hold": "enzyme.relative_activity",
    "holds.held_work": "enzyme.relative_activity",
    "holds.most_work": "enzyme.relative_activity",
    "holds.time_for_work_s": "enzyme.relative_activity",
    "holds.equivalent_hold_s": "enzyme.relative_activity",
    "ice.FrozenBody": "freezing.frozen_leg",
    "ice.frozen_body": "properties.conductivity",
    "reach.Source": "reach.concentration",
    "serving.CookLossModel": "serving.cook_loss_pct",
    "solids.Solid": "solids.solid_leg",
    "texture.HalfTime": "texture.collagen_fast",
}


def documented():
    """Give the module beside this one, which knows every public function and its docstring."""
    name = "test_science_documented"
    if name not in sys.modules:
        spec = importlib.util.spec_from_file_location(name, Path(__file__).with_name(f"{name}.py"))
        sys.modules[name] = importlib.util.module_from_spec(spec)
        spec.loader.exec_module(sys.modules[name])
    return sys.modules[name]


@pytest.mark.parametrize("name", FAR)
def test_far_outside_its_range_it_warns(name):
    assert name in documented().PUBLIC
    with pytest.warns(OutsideRange):
        FAR[name]()


def test_whatever_never_warns_says_that_it_holds_everywhere():
    known = documented()
    silent = [
        name
        for name, thing in known.PUBLIC.items()
        if name not in FAR
        and CHECKED_BY.get(name) not in FAR
        and "Notes" in known.wanted(name, thing)
        and "olds everywhere" not in known.sections(thing).get("Notes", "")
    ]
    assert silent == []
