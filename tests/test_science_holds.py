"""Holds at one temperature with the enzyme dying, and what dose, acidity and salt leave of it."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.science.band import Band, Confidence, certain, least_sure
from advisor.science.conditions import dose_strength, ph_factor, salt_factor
from advisor.science.enzyme import (
    arrhenius_loss_rate,
    enzyme_work,
    equivalent_time_s,
    eyring_loss_rate,
    reference_loss_rate,
    relative_activity,
)
from advisor.science.holds import Hold, equivalent_hold_s, held_work, most_work, time_for_work_s
from advisor.science.validity import OutsideRange

HOUR = 3600.0


def bromelain(temp_c, protection=1.0):
    return Hold(
        5 * float(relative_activity(temp_c, 45.0, 55.0)),
        float(arrhenius_loss_rate(temp_c, 1.37e50 / 60, 326.0)),
        protection,
    )


@pytest.mark.parametrize("temp_c", [4.0, 22.0, 55.0, 65.0])
def test_held_work_is_the_work_of_a_history_that_stays(temp_c):
    hold = bromelain(temp_c, 7.0)
    history = enzyme_work(
        [0, 2 * HOUR],
        [temp_c] * 2,
        lambda temps: relative_activity(temps, 45.0, 55.0),
        np.full(2, hold.loss_per_s),
        dose_strength=5.0,
        protection_factor=7.0,
    )[-1]
    assert held_work(2 * HOUR, hold) == pytest.approx(history, rel=1e-9)


@given(st.floats(4, 70), st.floats(1e-3, 100), st.floats(1, 10))
def test_the_time_for_a_work_does_that_work_or_it_is_never(temp_c, work, protection):
    hold = bromelain(temp_c, protection)
    time_s = time_for_work_s(work, hold)
    if math.isinf(time_s):
        assert most_work(hold) <= work
        assert held_work(1e12, hold) <= work * (1 + 1e-9)
    else:
        # Near saturation the time is ill set, the work is not.
        assert held_work(time_s, hold) == pytest.approx(work, rel=1e-6)


def test_pineapple_at_65_c_can_never_do_what_it_does_in_an_hour_at_50():
    assert equivalent_hold_s(HOUR, bromelain(50.0), bromelain(65.0)) == math.inf
    # Warmer is faster only as long as it lives: at 55 C the same work takes a little longer than the speeds say.
    at_55 = equivalent_hold_s(HOUR, bromelain(50.0), bromelain(55.0))
    assert at_55 > equivalent_time_s(HOUR, 50.0, 55.0, 45.0)
    assert at_55 < 2 * HOUR


def test_without_loss_it_is_the_plain_equivalence():
    cold, warm = (Hold(float(relative_activity(t, 45.0, 55.0)), 0.0, 1.0) for t in (4.0, 55.0))
    assert equivalent_hold_s(24 * HOUR, cold, warm) == pytest.approx(equivalent_time_s(24 * HOUR, 4.0, 55.0, 45.0))
    assert most_work(cold) == math.inf
    assert held_work(0.0, cold) == 0.0
    assert time_for_work_s(0.0, cold) == 0.0


def test_nothing_is_lost_to_rounding_when_the_loss_is_next_to_nothing():
    """In the fridge bromelain loses 1e-20 of itself a second; it must not come out as no work."""
    hold = Hold(1.0, 1e-22, 1.0)
    assert held_work(HOUR, hold) == pytest.approx(1.0)
    assert time_for_work_s(1.0, hold) == pytest.approx(HOUR)


def test_a_dose_counts_up_to_its_cap_and_dead_fruit_not_at_all():
    assert dose_strength(10.0, 1.0, 1.0, cap_pct=5.0) == 5.0
    assert dose_strength(10.0, 1.0, 1.0) == 10.0
    assert dose_strength(10.0, 1.0, 0.0) == 0.0
    with pytest.warns(OutsideRange, match="by dose"):
        dose_strength(20.0, 1.0, 1.0)


@given(st.floats(0, 14))
def test_the_ph_factor_is_one_in_the_best_band_and_falls_on_both_sides(ph):
    band = ph_factor(ph, (5.0, 7.5), (3.0, 9.0))
    assert 0 <= band.low <= band.mid <= band.high <= 1
    outer = ph - 0.1 if ph < 6 else ph + 0.1
    if 0 <= outer <= 14:
        further = ph_factor(outer, (5.0, 7.5), (3.0, 9.0))
        assert (further.low, further.mid, further.high) <= (band.low, band.mid, band.high)


def test_acidity_at_the_marks():
    assert ph_factor(5.6, (5.0, 7.5), (3.0, 9.0)).mid == 1.0
    assert ph_factor(4.0, (5.0, 7.5), (3.0, 9.0)).mid == pytest.approx(0.5)
    with pytest.warns(OutsideRange, match="by acidity"):
        beyond = ph_factor(2.5, (5.0, 7.5), (3.0, 9.0))
    assert (beyond.low, beyond.mid, beyond.high) == (0.0, 0.0, 0.5)


@given(st.floats(0, 18), st.floats(0, 18), st.floats(0.01, 1))
def test_more_salt_never_leaves_more_enzyme(salt, more, share):
    low, high = sorted((salt, more))
    less, lots = salt_factor(low, 18.0, share), salt_factor(high, 18.0, share)
    assert lots.low <= less.low + 1e-12
    assert lots.mid <= less.mid + 1e-12
    assert lots.high <= less.high + 1e-12


def test_the_salt_factor_goes_through_its_point_and_is_one_without_salt():
    for salt, share in ((0.0, 1.0), (18.0, 0.03)):
        band = salt_factor(salt, 18.0, 0.03)
        assert (band.low, band.mid, band.high) == pytest.approx((share, share, share))
    with pytest.warns(OutsideRange, match="in salt"):
        assert salt_factor(25.0, 18.0, 0.03).mid == pytest.approx(0.03)


def test_rates_warn_outside_where_they_were_measured():
    with pytest.warns(OutsideRange, match="loss of an enzyme"):
        arrhenius_loss_rate(75.0, 1.37e50 / 60, 326.0, measured_c=(40.0, 67.0))
    with pytest.warns(OutsideRange, match="loss of an enzyme"):
        eyring_loss_rate([55.0, 70.0], 91.4, -49.6, measured_c=(60.0, 90.0))
    with pytest.warns(OutsideRange, match="loss of an enzyme"):
        reference_loss_rate(80.0, 3e-5, 50.0, 150.0, measured_c=(40.0, 70.0))
    with pytest.warns(OutsideRange, match="speed of an enzyme"):
        relative_activity(4.0, 45.0, 55.0, measured_c=(20.0, 60.0))
    with pytest.raises(ValueError, match="measured_c"):
        arrhenius_loss_rate(75.0, 1.37e50 / 60, 326.0, measured_c=(67.0, 40.0))


def test_a_result_is_as_sure_as_the_least_sure_it_rests_on():
    fair, low = Band(1, 2, 3, Confidence.FAIR), Band(1, 2, 3)
    assert least_sure(fair, low, certain(3.0)) == "low"
    assert least_sure(fair, certain(3.0)) == "fair"
    assert least_sure(certain(3.0)) == "measured"
    # A factor of one by assumption is no measurement, but it also takes nothing away.
    assert least_sure(fair, Band(1, 1, 1, Confidence.LOW)) == "fair"


def test_impossible_input_is_refused():
    with pytest.raises(ValueError, match="speed"):
        Hold(0.0, 0.0, 1.0)
    with pytest.raises(ValueError, match="loss_per_s"):
        Hold(1.0, -1.0, 1.0)
    with pytest.raises(ValueError, match="time_s"):
        held_work(-1.0, Hold(1.0, 0.0, 1.0))
    with pytest.raises(ValueError, match="work"):
        time_for_work_s(-1.0, Hold(1.0, 0.0, 1.0))
    with pytest.raises(ValueError, match="cap_pct"):
        dose_strength(5.0, 1.0, 1.0, cap_pct=0.0)
    with pytest.raises(ValueError, match="live_share"):
        dose_strength(5.0, 1.0, 1.5)
    with pytest.raises(ValueError, match="ph must"):
        ph_factor(15.0, (5.0, 7.0), (3.0, 9.0))
    with pytest.raises(ValueError, match="working range"):
        ph_factor(5.0, (2.0, 7.0), (3.0, 9.0))
    with pytest.raises(ValueError, match="salt_pct"):
        salt_factor(101.0, 18.0, 0.03)
    with pytest.raises(ValueError, match="share_left"):
        salt_factor(1.0, 18.0, 0.0)
    with pytest.raises(ValueError, match="at_pct"):
        salt_factor(1.0, 0.0, 0.5)
    with pytest.raises(ValueError, match="from low over mid"):
        Band(2, 1, 3)
    with pytest.raises(ValueError, match="finite"):
        Band(0, 1, math.inf)
    with pytest.raises(ValueError, match="at least one"):
        least_sure()
