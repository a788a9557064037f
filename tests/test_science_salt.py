"""Salt: balances weighed out, diffusion against its equation stepped in time; the rest in ``published/``."""

import math
from pathlib import Path

import numpy as np
import pytest
from ruamel.yaml import YAML

from advisor.science.salt import (
    brine_final_fraction,
    centre_share_bath,
    centre_share_dry,
    dry_salt_kg,
    equilibrium_brine_salt_kg,
    hours_to_even,
    injection_brine_fraction,
    penetration_depth_m,
    pump_salt_kg,
    salt_diffusivity,
    sodium_to_salt,
)

PUBLISHED = YAML(typ="safe").load(Path(__file__).parent / "published" / "salt_in_meat.yaml")


@pytest.mark.parametrize("water_kg", [0.0, 0.4, 1.0, 3.0])
@pytest.mark.parametrize("target", [0.0, 0.005, 0.012, 0.02, 0.05])
def test_the_equilibrium_brine_balances(water_kg, target):
    """Weigh it all together: salt over everything in the tub is the target; p(m + w) is too low."""
    meat_kg = 1.5
    salt_kg = equilibrium_brine_salt_kg(meat_kg, water_kg, target)
    assert salt_kg / (meat_kg + water_kg + salt_kg) == pytest.approx(target)
    assert brine_final_fraction(meat_kg, water_kg, salt_kg) == pytest.approx(target)
    assert salt_kg >= target * (meat_kg + water_kg)


def test_injected_salt_balances():
    row = PUBLISHED["arithmetic"]["injection"]
    target, pump, kept = row["target_percent"] / 100, row["pump_percent"] / 100, row["retained"]
    brine = injection_brine_fraction(target, pump, kept)
    salt_kg = pump_salt_kg(8.0, pump, brine, kept)
    assert salt_kg / (8.0 + 8.0 * pump * kept) == pytest.approx(target)


def test_salt_is_2_54_times_its_sodium():
    assert sodium_to_salt(0.001) == pytest.approx(0.00254, abs=5e-6)  # 58.44 / 22.99


def stepped_centre(fourier, constant_surface):
    """Half a slab in 120 cells, stepped explicitly: salt as a surface film, or the surface held at one."""
    count = 120
    size = 1 / count
    salt = np.zeros(count)
    if not constant_surface:
        salt[-1] = count  # mean one
    steps = math.ceil(fourier / (0.2 * size**2))
    step = fourier / steps / size**2
    for _ in range(steps):
        padded = np.concatenate([salt[:1], salt, [2 - salt[-1] if constant_surface else salt[-1]]])
        salt = salt + step * (padded[2:] - 2 * salt + padded[:-2])
    return salt[0]


@pytest.mark.parametrize("fourier", [0.05, 0.15, 0.25, 0.6])
def test_centre_shares_agree_with_a_stepped_slab(fourier):
    """The film of the stepped slab is half a cell deep, which costs it at most 0.002."""
    assert centre_share_dry(fourier) == pytest.approx(stepped_centre(fourier, constant_surface=False), abs=0.004)
    assert centre_share_bath(fourier) == pytest.approx(stepped_centre(fourier, constant_surface=True), abs=0.004)


@pytest.mark.parametrize("share", [centre_share_dry, centre_share_bath])
def test_the_two_forms_of_a_series_meet_and_end_right(share):
    assert share(0.2 - 1e-12) == pytest.approx(share(0.2), abs=1e-10)
    assert share(0.0) == 0.0
    assert share(1e-6) == pytest.approx(0.0, abs=1e-12)
    assert share(20.0) == pytest.approx(1.0)


def test_one_salted_face_takes_four_times_as_long():
    both = hours_to_even(0.020, 4e-10, 0.9)
    assert hours_to_even(0.020, 4e-10, 0.9, salted_faces=1) == pytest.approx(4 * both)


def test_impossible_input_is_refused():
    with pytest.raises(ValueError, match="meat_kg"):
        dry_salt_kg(0.0, 0.01)
    with pytest.raises(ValueError, match="mass fraction"):
        dry_salt_kg(1.0, 1.5)
    with pytest.raises(ValueError, match="water_kg"):
        equilibrium_brine_salt_kg(1.0, -1.0, 0.01)
    with pytest.raises(ValueError, match="pure salt"):
        injection_brine_fraction(0.02, 0.01, 0.5)
    with pytest.raises(ValueError, match="retained_fraction"):
        injection_brine_fraction(0.012, 0.1, 1.2)
    with pytest.raises(ValueError, match="brine_fraction"):
        pump_salt_kg(1.0, 0.1, 16.0, 0.8)
    with pytest.raises(ValueError, match="sodium_kg"):
        sodium_to_salt(-1.0)
    with pytest.raises(ValueError, match="d_ref_m2_s"):
        salt_diffusivity(5.0, 0.0, 5.0, 20.0)
    with pytest.raises(ValueError, match="fourier"):
        centre_share_dry(-0.1)
    with pytest.raises(ValueError, match="share"):
        hours_to_even(0.02, 4e-10, 1.0)
    with pytest.raises(ValueError, match="salted_faces"):
        hours_to_even(0.02, 4e-10, 0.9, salted_faces=3)
    with pytest.raises(ValueError, match="time_s"):
        penetration_depth_m(4e-10, -1.0)
