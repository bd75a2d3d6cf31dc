"""The date a lot is dry: pencil figures, the range, and never."""

import numpy as np
import pytest

from cureclock.core.wood.dry_date import forecast_dry, next_meter_day
from cureclock.core.wood.drying import NEVER_DAYS, fit_drying, moisture_after_pct


@pytest.fixture
def lot():
    return fit_drying([0, 60], [24, 18], 12)


@pytest.mark.parametrize(("target", "day"), [(15, 120), (14, 155), (13, 215)])
def test_dates_worked_by_hand(lot, target, day):
    assert round(float(forecast_dry(lot, target).days)) == day


@pytest.mark.parametrize("target", [12, 11.9, 6])
def test_at_or_below_the_places_own_moisture_it_is_never(lot, target):
    forecast = forecast_dry(lot, target)
    assert forecast.never
    assert forecast.days == forecast.earliest_days == NEVER_DAYS


def test_never_and_dates_side_by_side():
    lots = fit_drying([0, 60], [[24, 18], [24, 18]], [12, 15.5])
    assert forecast_dry(lots, 15).never.tolist() == [False, True]


def test_the_range_holds_the_date_and_is_about_a_meters_error(lot):
    """By hand, one point either way on either reading moves day 120 by 7 and by 29 days."""
    forecast = forecast_dry(lot, 15)
    assert forecast.earliest_days < forecast.days < forecast.latest_days
    one_error = np.hypot(7.2, 28.85)
    assert 120 - forecast.earliest_days == pytest.approx(1.28 * one_error, rel=0.35)
    assert forecast.latest_days - 120 > 1.28 * one_error  # the slow side is the long one


def test_more_readings_narrow_the_range(lot):
    days = [0, 15, 30, 45, 60]
    longer = fit_drying(days, moisture_after_pct(days, 24, 12, np.log(2) / 60), 12)
    few, many = forecast_dry(lot, 15), forecast_dry(longer, 15)
    assert many.latest_days - many.earliest_days < few.latest_days - few.earliest_days


def test_the_range_holds_the_truth_eight_times_in_ten():
    """2,000 simulated lots, six readings each with an error of one point."""
    rng = np.random.default_rng(7)
    days = np.array([0, 20, 40, 60, 80, 100.0])
    kappa = rng.uniform(0.008, 0.03, 2000)
    truth = moisture_after_pct(days, 32, 12, kappa[:, None])
    seen = np.clip(truth + rng.normal(0, 1, truth.shape), 0, 250)
    forecast = forecast_dry(fit_drying(days, seen, 12), 15)
    true_day = np.log(20 / 3) / kappa
    inside = (forecast.earliest_days <= true_day) & (true_day <= forecast.latest_days)
    assert 0.76 <= inside.mean() <= 0.84


def test_wood_that_is_dry_already_is_dry_on_day_nought():
    assert forecast_dry(fit_drying([0, 10], [14, 13.8], 12), 16).days == 0


def test_the_next_metering_waits_for_a_fall_of_two_points(lot):
    """From 18 on day 60 the wood is at 16 after 35 days; 28 is the longest wait."""
    assert next_meter_day(lot, 13) == 88
    quick = fit_drying([0, 10], [40, 26], 12)
    day = float(next_meter_day(quick, 13))
    fallen = 26 - moisture_after_pct(day, 40, 12, quick.kappa_per_day)
    assert fallen == pytest.approx(2, abs=0.02)


@pytest.mark.parametrize("target", [13, 15, 16.5, 17, 17.5])
def test_the_next_metering_is_not_after_the_earliest_date(lot, target):
    earliest = float(forecast_dry(lot, target).earliest_days)
    assert next_meter_day(lot, target) <= max(earliest, 60 + 1)


def test_a_lot_near_its_end_is_metered_after_four_weeks():
    settled = fit_drying([0, 60, 120], [20, 14, 12.8], 12)
    assert next_meter_day(settled, 12) == 148
