"""Go, wait or stop: now and through the night."""

import numpy as np
import pytest

from cureclock.core.coat.air import night_rh_pct
from cureclock.core.coat.verdict import NEVER, AirLimits, Unfit, Word, air_verdict, unfit_for_coat
from cureclock.core.refusal import Refused
from cureclock.core.units import HOUR_US, MINUTE_US

OIL = AirLimits(min_temp_c=10, max_rh_pct=75)
LACQUER = AirLimits(min_temp_c=15, max_rh_pct=65)


def _night(hours: int = 16, down_to: float = 11.0) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """From 16:00 at 18 degC and 60 %, falling in a straight line for twelve hours."""
    at = np.arange(hours + 1) * HOUR_US
    temp = np.interp(at, [0, 12 * HOUR_US], [18, down_to])
    return at, temp, night_rh_pct(18, 60, temp)


def test_wood_has_to_be_3_kelvin_above_the_dew_point_worked_by_hand():
    """14 degC and 72 %: dew point 9.0, so the wood has to be 12.0 or warmer."""
    cool, warm = unfit_for_coat(14, 72, [11.9, 12.1], OIL)
    assert Unfit(int(cool)) == Unfit.DEW
    assert Unfit(int(warm)) == Unfit.NOTHING


def test_the_same_afternoon_is_go_for_a_lacquer_and_stop_for_an_oil_worked_by_hand():
    """18 degC and 60 % at 16:00, the shed reaches 11: 2 h lacquer go, slow oil stop."""
    at, temp, rh = _night()
    quick = air_verdict(at, temp, rh, temp, wet_us=2 * HOUR_US, limits=LACQUER)
    slow = air_verdict(at, temp, rh, temp, wet_us=14 * HOUR_US, limits=OIL)
    assert (quick.word, slow.word) == (Word.GO, Word.STOP)
    assert Unfit.DAMP in slow.spoilt_by
    assert rh[12] > OIL.max_rh_pct


def test_each_gate_reached_in_fit_air_is_let_through():
    at, temp, rh = _night()
    verdict = air_verdict(at, temp, rh, temp, wet_us=14 * HOUR_US, limits=OIL)
    fit_for = verdict.fit_until_us - at[0]
    assert 0 < fit_for < 14 * HOUR_US
    gates = [2 * HOUR_US, fit_for, fit_for + 1, 14 * HOUR_US]
    assert verdict.lets_through(gates).tolist() == [True, True, False, False]


def test_a_cold_morning_that_warms_is_wait_until_it_has():
    at = np.arange(11) * HOUR_US
    temp = np.interp(at, [0, 4 * HOUR_US], [5.0, 18.0])
    verdict = air_verdict(at, temp, 50, temp, wet_us=3 * HOUR_US, limits=LACQUER)
    assert verdict.word == Word.WAIT
    assert verdict.wait_until_us == 4 * HOUR_US
    assert verdict.fit_until_us < at[0]
    assert not verdict.lets_through(MINUTE_US)


def test_an_evening_that_will_spoil_waits_for_the_morning():
    at = np.arange(33) * HOUR_US
    temp = np.interp(at, np.array([0, 12, 18, 32]) * HOUR_US, [18, 8, 18, 18])
    verdict = air_verdict(at, temp, 55, temp, wet_us=12 * HOUR_US, limits=OIL)
    assert verdict.word == Word.WAIT
    assert 12 * HOUR_US < verdict.wait_until_us < 18 * HOUR_US
    assert verdict.unfit[0] == 0


def test_a_fit_spell_that_is_too_short_is_not_a_moment_to_wait_for():
    at = np.arange(5) * HOUR_US
    temp = np.array([5.0, 16, 16, 5, 5])
    verdict = air_verdict(at, temp, 50, temp, wet_us=2 * HOUR_US, limits=LACQUER)
    assert (verdict.word, verdict.wait_until_us) == (Word.STOP, NEVER)


def test_cold_wood_in_warm_air_is_stopped_by_the_wood():
    at = np.array([0, HOUR_US])
    verdict = air_verdict(at, 20, 70, 10, wet_us=HOUR_US, limits=AirLimits(min_temp_c=8))
    assert verdict.word == Word.STOP
    assert Unfit(int(verdict.unfit[0])) == Unfit.DEW


def test_several_faults_at_once_are_all_named():
    assert Unfit(int(unfit_for_coat(5, 95, 4, OIL))) == Unfit.COLD | Unfit.DAMP | Unfit.DEW


def test_moments_have_to_reach_as_far_as_the_coat_minds():
    with pytest.raises(Refused, match="no longer minds"):
        air_verdict([0, HOUR_US], 20, 50, 20, wet_us=2 * HOUR_US, limits=OIL)


def test_moments_and_air_have_to_pair():
    with pytest.raises(Refused, match="as many as the air has"):
        air_verdict([0, HOUR_US], [20, 20, 20], 50, 20, wet_us=HOUR_US, limits=OIL)


def test_limits_that_cannot_be_meant_are_refused():
    with pytest.raises(Refused, match=r"not 0\.50"):
        AirLimits(min_temp_c=10, max_rh_pct=0.5)
    with pytest.raises(Refused, match="coldest air"):
        AirLimits(min_temp_c=60)


def test_air_just_as_cold_and_as_damp_as_the_label_allows_is_fit():
    limits = AirLimits(10, max_rh_pct=70)
    assert unfit_for_coat(10, 70, 10, limits) == Unfit.NOTHING
    assert unfit_for_coat(np.nextafter(10, 0), 50, 10, limits) == Unfit.COLD
    assert unfit_for_coat(20, 70.1, 20, limits) == Unfit.DAMP


def test_the_ends_of_what_a_label_may_say_of_its_air():
    assert AirLimits(40, max_rh_pct=20, dew_gap_k=0).min_temp_c == 40
    for wrong in ({"min_temp_c": 40.5}, {"max_rh_pct": 19}, {"dew_gap_k": -1}):
        with pytest.raises(Refused):
            AirLimits(**{"min_temp_c": 10, **wrong})
