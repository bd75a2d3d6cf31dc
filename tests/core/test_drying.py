"""The drying law and its fit: pencil figures, recovery, and what weak readings may not do."""

import numpy as np
import pytest

from cureclock.core.refusal import Refused
from cureclock.core.wood.air_drying import KappaPrior, expected_kappa, kappa_moved
from cureclock.core.wood.drying import fit_drying, moisture_after_pct

PENCIL = np.log(2) / 60


def test_two_readings_are_met_exactly():
    """24 % on day 0, 18 % on day 60, air that leads to 12: the gap halves every 60 days."""
    fit = fit_drying([0, 60], [24, 18], 12)
    assert fit.halving_days == pytest.approx(60, abs=0.02)
    assert fit.start_pct == pytest.approx(24, abs=0.01)


def test_the_law_halves_the_gap():
    assert moisture_after_pct([0, 60, 120], 24, 12, PENCIL) == pytest.approx([24, 18, 15])


def test_readings_without_error_give_the_rate_back():
    days = np.array([0, 20, 45, 80, 130])
    rates = np.array([0.004, 0.012, 0.04])
    readings = moisture_after_pct(days, 30, 11, rates[:, None])
    assert fit_drying(days, readings, 11).kappa_per_day == pytest.approx(rates, rel=1e-4)


def test_many_lots_fit_as_each_alone():
    days, lots = [0, 30, 70], np.array([[30, 24, 18], [22, 20, 17.5], [40, 26, 16]])
    together = fit_drying(days, lots, [12, 11, 10]).kappa_per_day
    alone = [
        float(fit_drying(days, lot, emc).kappa_per_day)
        for lot, emc in zip(lots, [12, 11, 10], strict=True)
    ]
    assert together == pytest.approx(alone, rel=1e-9)


def test_least_squares_is_met_by_an_independent_fit():
    from scipy.optimize import curve_fit

    days = np.array([0, 14, 30, 50, 75, 100.0])
    seen = moisture_after_pct(days, 34, 12, 0.02) + np.array([0.6, -0.8, 0.3, 1.1, -0.4, 0.2])
    (gap, kappa), _ = curve_fit(lambda t, a, k: 12 + a * np.exp(-k * t), days, seen, [20, 0.01])
    fit = fit_drying(days, seen, 12)
    assert fit.kappa_per_day == pytest.approx(kappa, rel=1e-3)
    assert fit.start_pct == pytest.approx(12 + gap, abs=0.01)


def test_a_doubtful_reading_counts_for_less():
    days, readings = [0, 30, 60, 90], [24, 21, 10, 16.2]
    plain = fit_drying(days, readings, 12)
    doubted = fit_drying(days, readings, 12, error_points=[1, 1, 10, 1])
    without = fit_drying([0, 30, 90], [24, 21, 16.2], 12)
    far = abs(float(plain.kappa_per_day - without.kappa_per_day))
    assert abs(float(doubted.kappa_per_day - without.kappa_per_day)) < far / 5


def test_one_reading_needs_a_rate_to_expect():
    with pytest.raises(Refused, match="two days, or a rate to expect"):
        fit_drying([0], [24], 12)
    expect = expected_kappa("ash, white", 0.0254)
    fit = fit_drying([0], [24], 12, prior=expect)
    assert fit.kappa_per_day == pytest.approx(expect.kappa_per_day, rel=1e-3)


def test_many_readings_outweigh_what_was_expected():
    days = np.arange(0, 200, 10)
    readings = moisture_after_pct(days, 40, 12, 0.02)
    wrong = KappaPrior(0.005, 0.5)
    assert fit_drying(days, readings, 12, prior=wrong).kappa_per_day == pytest.approx(
        0.02, rel=0.03
    )


def test_wood_that_does_not_dry_gets_the_slowest_rate():
    assert fit_drying([0, 60], [18, 20], 12).halving_days > 6000


def test_days_and_readings_have_to_pair():
    with pytest.raises(Refused, match="one reading for each day"):
        fit_drying([0, 1, 2], [20, 19], 12)
    with pytest.raises(Refused, match="one reading for each day"):
        fit_drying([], [], 12)


def test_thicker_boards_are_expected_to_dry_slower():
    thin, thick = expected_kappa("beech", [0.0254, 0.0508]).kappa_per_day
    assert thin / thick == pytest.approx(2**1.5)


def test_a_wood_the_table_lacks_is_refused_by_name():
    with pytest.raises(Refused, match="wood plywood"):
        expected_kappa("plywood", 0.02)


def test_a_warmer_place_dries_faster_and_back_again():
    warm = kappa_moved(0.01, 10, 20)
    assert warm > 0.01
    assert kappa_moved(warm, 20, 10) == pytest.approx(0.01)


def test_the_ends_of_what_a_meter_and_the_air_may_say():
    usual = {"days": [0, 60], "mc_pct": [24, 18], "emc_pct": 12, "error_points": 1}
    for name, inside, outside in (
        ("emc_pct", 1, np.nextafter(1, 0)),
        ("emc_pct", 30, np.nextafter(30, 31)),
        ("mc_pct", [250, 0], [250, np.nextafter(0, -1)]),
        ("mc_pct", [250, 18], [np.nextafter(250, 251), 18]),
        ("error_points", 0.1, np.nextafter(0.1, 0)),
        ("error_points", 10, np.nextafter(10, 11)),
    ):
        assert np.isfinite(fit_drying(**{**usual, name: inside}).kappa_per_day)
        with pytest.raises(Refused):
            fit_drying(**{**usual, name: outside})
