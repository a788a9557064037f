"""Salt by depth: the profile holds the dose, limited brines balance, against a stepped slab and the law of the root."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.science.brine import brine_final_fraction, injection_brine_fraction, label_salt_pct
from advisor.science.limited_bath import stirred_bath_profile, stirred_bath_roots, stirred_bath_uptake
from advisor.science.profile import bath_profile, bath_uptake, dose_profile, scaled_erfc, surface_source_share
from advisor.science.salt import centre_share_bath, centre_share_dry, hours_to_even, salt_diffusivity
from advisor.science.soak import (
    brine_to_meat,
    brined_meat_fraction,
    carried_salt_kg,
    fourier_number,
    salt_profile,
    soaked_share,
    travelled_to_even_m2,
)
from advisor.science.validity import OutsideRange

MIDDLES = (np.arange(4000) + 0.5) / 4000
FOURIER = st.floats(1e-4, 3.0)
ALPHA = st.floats(0.02, 50.0)


def stepped(fourier, alpha):
    """Half a slab of 100 cells beside a mixed bath of volume alpha, stepped explicitly; bath 1 at the start."""
    count = 100
    size = 1 / count
    cells, bath = np.zeros(count), 1.0
    steps = math.ceil(fourier / (0.2 * size**2))
    step = fourier / steps
    for _ in range(steps):
        inward = (bath - cells[0]) / (size / 2)
        flow = -np.diff(cells) / size
        cells += step / size * (np.concatenate([[inward], flow]) - np.concatenate([flow, [0.0]]))
        bath -= step * inward / alpha
    return (np.arange(count) + 0.5) * size, cells


@pytest.mark.parametrize("alpha", [0.2, 1.0, 5.0])
@pytest.mark.parametrize("fourier", [0.008, 0.05, 0.4])
def test_a_limited_brine_agrees_with_a_stepped_slab(alpha, fourier):
    depths, cells = stepped(fourier, alpha)
    ours = stirred_bath_profile(depths, fourier, alpha) * alpha / (1 + alpha)
    np.testing.assert_allclose(ours, cells, atol=3e-3)


@settings(max_examples=60, deadline=None)
@given(FOURIER, ALPHA)
def test_no_salt_is_made_or_lost(fourier, alpha):
    assert dose_profile(MIDDLES, fourier).mean() == pytest.approx(1.0, abs=1e-6)
    assert bath_profile(MIDDLES, fourier).mean() == pytest.approx(float(bath_uptake(fourier)), abs=1e-5)
    inside = stirred_bath_profile(MIDDLES, fourier, alpha).mean()
    assert inside == pytest.approx(float(stirred_bath_uptake(fourier, alpha)), abs=1e-4 * max(1.0, 1 / alpha))
    # What the bath has lost, by the strength of the face, is in the meat.
    bath = float(stirred_bath_profile(0.0, fourier, alpha)) * alpha / (1 + alpha)
    assert alpha * (1 - bath) == pytest.approx(inside * alpha / (1 + alpha), abs=1e-3)


@settings(max_examples=60, deadline=None)
@given(FOURIER, st.floats(1.0, 3.0), ALPHA)
def test_uptake_and_the_middle_only_rise_with_time(fourier, times, alpha):
    later = fourier * times
    assert soaked_share(later) >= soaked_share(fourier) - 1e-12
    assert soaked_share(later, alpha) >= soaked_share(fourier, alpha) - 1e-9
    for profile in (dose_profile, bath_profile):
        assert profile(1.0, later) >= profile(1.0, fourier) - 1e-12
    assert stirred_bath_profile(1.0, later, alpha) >= stirred_bath_profile(1.0, fourier, alpha) - 1e-9
    assert dose_profile(0.0, later) <= dose_profile(0.0, fourier) + 1e-12


@settings(max_examples=40, deadline=None)
@given(FOURIER)
def test_salt_falls_from_the_face_to_the_middle(fourier):
    depths = np.linspace(0, 1, 50)
    for values in (dose_profile(depths, fourier), bath_profile(depths, fourier)):
        assert np.all(np.diff(values) <= 1e-12)
    assert np.all(np.diff(stirred_bath_profile(depths, fourier, 1.5)) <= 1e-9)


@pytest.mark.parametrize("fourier", [0.01, 0.1, 0.3, 1.0])
def test_the_middle_is_that_of_the_centre_shares(fourier):
    assert dose_profile(1.0, fourier) == pytest.approx(centre_share_dry(fourier), abs=1e-12)
    assert bath_profile(1.0, fourier) == pytest.approx(centre_share_bath(fourier), abs=1e-12)


@pytest.mark.parametrize("fourier", [1e-4, 0.01, 0.1, 0.19])
def test_the_law_of_the_root_holds_to_one_percent_up_to_half_full(fourier):
    assert float(bath_uptake(fourier)) == pytest.approx(2 * math.sqrt(fourier / math.pi), rel=0.01)


def test_early_and_late_forms_meet():
    for profile, at in ((dose_profile, 0.2), (bath_profile, 0.2)):
        np.testing.assert_allclose(profile(MIDDLES, at - 1e-12), profile(MIDDLES, at), atol=1e-9)
    for alpha in (0.05, 1.0, 20.0):
        np.testing.assert_allclose(
            stirred_bath_profile(MIDDLES, 0.01 - 1e-13, alpha), stirred_bath_profile(MIDDLES, 0.01, alpha), atol=1e-8
        )
        early, late = (float(stirred_bath_uptake(at, alpha)) for at in (0.01 - 1e-13, 0.01))
        assert early == pytest.approx(late, abs=1e-8)


def test_a_limited_bath_without_limit_is_a_large_one():
    np.testing.assert_allclose(stirred_bath_profile(MIDDLES, 0.1, 1e7), bath_profile(MIDDLES, 0.1), atol=1e-6)
    assert soaked_share(0.1, 1e7) == pytest.approx(soaked_share(0.1), abs=1e-6)


@pytest.mark.parametrize("alpha", [0.1, 1.0, 10.0])
def test_roots_solve_their_equation(alpha):
    roots = stirred_bath_roots(alpha, 20)
    np.testing.assert_allclose(np.sin(roots) + alpha * roots * np.cos(roots), 0, atol=1e-10)
    assert np.all((roots > (np.arange(20) + 0.5) * np.pi) & (roots < (np.arange(20) + 1) * np.pi))


def test_the_start_and_the_end():
    assert dose_profile([0.0, 0.5], 0.0).tolist() == [math.inf, 0.0]
    assert bath_profile([0.0, 0.5], 0.0).tolist() == [1.0, 0.0]
    assert stirred_bath_profile([0.0, 0.5], 0.0, 2.0).tolist() == [1.5, 0.0]
    assert dose_profile([0.0, 1.0], 50.0).tolist() == [1.0, 1.0]
    assert surface_source_share([0.0, 1.0], 0.0).tolist() == [1.0, 0.0]


def test_scaled_erfc_against_a_reference_library():
    special = pytest.importorskip("scipy.special")
    values = np.geomspace(1e-4, 1e4, 3000)
    np.testing.assert_allclose(scaled_erfc(values), special.erfcx(values), rtol=1e-7)


def test_even_means_every_place_within_the_share():
    travelled = travelled_to_even_m2(0.025, 0.1)
    assert travelled / 4e-10 / 3600 == pytest.approx(hours_to_even(0.025, 4e-10, 0.9), rel=1e-3)
    assert travelled_to_even_m2(0.025, 0.1, faces=1) == pytest.approx(4 * travelled, rel=1e-6)
    for alpha in (None, 1.0, math.inf):
        fourier = fourier_number(travelled_to_even_m2(0.025, 0.05, alpha=alpha), 0.025)
        assert np.abs(salt_profile(np.linspace(0, 1, 50), fourier, 1.0, alpha=alpha) - 1).max() == pytest.approx(0.05)
    # A brine of the meat's own size is even sooner than a large one of constant strength.
    assert travelled_to_even_m2(0.025, 0.1, alpha=1.0) < travelled_to_even_m2(0.025, 0.1, alpha=math.inf)


def test_salt_at_rest_balances_by_water():
    meat, water, salt = 2.0, 3.0, 0.090
    fraction = brined_meat_fraction(water, salt, meat, 0.75, own_fraction=0.0016)
    in_meat = fraction * meat
    in_brine = salt + 0.0016 * meat - in_meat
    assert in_meat / (0.75 * meat) == pytest.approx(in_brine / water)
    assert fraction < brine_final_fraction(meat, water, salt)
    assert brine_to_meat(water, meat, 0.75) == pytest.approx(2.0)


def test_a_short_brine_takes_a_share_of_what_it_would_in_the_end():
    """A chop of 25 mm in a bucket of 6 % brine for 4 h, by hand: Fo 0.0369, a fifth of what it would take."""
    fourier = fourier_number(4e-10 * 4 * 3600, 0.025)
    assert fourier == pytest.approx(0.03686, abs=1e-5)
    share = soaked_share(fourier)
    assert share == pytest.approx(2 * math.sqrt(0.03686 / math.pi), rel=1e-3)
    assert 0.75 * 0.06 * share == pytest.approx(0.00975, abs=5e-5)


def test_a_label_gives_its_salt():
    assert label_salt_pct(920.0, 15.0) == pytest.approx(0.920 * 58.44 / 22.99 / 15 * 100, rel=1e-3)
    # A salt's own label, 560 mg in 1.4 g by rounding, is salt and no more.
    assert label_salt_pct(560.0, 1.4) == 100.0
    with pytest.raises(ValueError, match="more salt than product"):
        label_salt_pct(920.0, 2.0)
    with pytest.raises(ValueError, match="serving_g"):
        label_salt_pct(920.0, 0.0)


def test_what_clings_carries_its_salt():
    assert carried_salt_kg(0.05, 2e-4, 1000.0, 0.1) == pytest.approx(0.001)


def test_models_warn_beyond_their_range():
    with pytest.warns(OutsideRange, match="salt moving in meat"):
        salt_diffusivity(60.0, 4e-10, 5.0, 20.0)
    with pytest.warns(OutsideRange, match="salt moving in meat"):
        hours_to_even(0.4, 4e-10, 0.9)
    with pytest.warns(OutsideRange, match="strength of a brine"):
        injection_brine_fraction(0.02, 0.05, 0.75)
    with pytest.warns(OutsideRange, match="strength of the brine"):
        brined_meat_fraction(1.0, 0.3, 1.0, 0.75)
    with pytest.warns(OutsideRange, match="thickness of the film"):
        carried_salt_kg(0.05, 0.01, 1000.0, 0.1)
    with pytest.warns(OutsideRange, match="density"):
        carried_salt_kg(0.05, 1e-4, 2000.0, 0.1)


def test_impossible_input_is_refused():
    with pytest.raises(ValueError, match="depth_share"):
        dose_profile(1.5, 0.1)
    with pytest.raises(ValueError, match="fourier"):
        bath_profile(0.5, -0.1)
    with pytest.raises(ValueError, match="alpha"):
        stirred_bath_profile(0.5, 0.1, 0.0)
    with pytest.raises(ValueError, match="count"):
        stirred_bath_roots(1.0, 0)
    with pytest.raises(ValueError, match="zero or above"):
        scaled_erfc(-1.0)
    with pytest.raises(ValueError, match="depth_m"):
        surface_source_share(-1.0, 0.1)
    with pytest.raises(ValueError, match="travelled_m2"):
        surface_source_share(1.0, -0.1)
    with pytest.raises(ValueError, match="film_m"):
        surface_source_share(1.0, 0.1, 0.0)
    with pytest.raises(ValueError, match="faces"):
        fourier_number(1e-6, 0.02, 3)
    with pytest.raises(ValueError, match="within"):
        travelled_to_even_m2(0.02, 1.0)
    with pytest.raises(ValueError, match="meat_water_fraction"):
        brine_to_meat(1.0, 1.0, 1.5)
    with pytest.raises(ValueError, match="salt_kg"):
        brined_meat_fraction(1.0, -0.1, 1.0, 0.75)
    with pytest.raises(ValueError, match="final_fraction"):
        salt_profile(0.5, 0.1, 1.2)
    with pytest.raises(ValueError, match="salt_fraction"):
        carried_salt_kg(0.05, 1e-4, 1000.0, 10.0)
