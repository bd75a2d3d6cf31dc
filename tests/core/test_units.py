"""Units: exact both ways, and refused where they are none."""

from datetime import UTC, datetime, timedelta, timezone
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cureclock.core.refusal import Refused
from cureclock.core.units import (
    DAY_US,
    HOUR_US,
    celsius_of_fahrenheit,
    g_m2_of_lb_msf,
    hours_us,
    instant_us,
    lb_msf_of_g_m2,
    moment_of,
    whole_us,
)


@given(st.datetimes(timezones=st.sampled_from([UTC, timezone(timedelta(hours=-7))])))
def test_an_instant_goes_there_and_back(moment):
    assert moment_of(instant_us(moment)) == moment


def test_moments_of_one_zone_are_as_far_apart_as_their_instants():
    berlin = ZoneInfo("Europe/Berlin")
    before, after = (datetime(2026, 3, day, 12, tzinfo=berlin) for day in (28, 29))
    assert instant_us(after) - instant_us(before) == 23 * HOUR_US


def test_a_time_without_its_zone_is_refused():
    with pytest.raises(Refused, match="zone"):
        instant_us(datetime(2026, 1, 1, 12))  # noqa: DTZ001


@pytest.mark.parametrize("us", [2**63 - 1, -(2**62), 10**30, float("nan"), float("inf")])
def test_an_instant_no_calendar_holds_is_refused(us):
    with pytest.raises(Refused, match="instant"):
        moment_of(us)


def test_hours_are_whole_microseconds():
    assert hours_us(0.75) == 2_700_000_000
    assert hours_us(24) == DAY_US
    for wrong in (float("nan"), float("inf"), 1e7, "an hour"):
        with pytest.raises(Refused, match="duration"):
            hours_us(wrong)


@pytest.mark.parametrize(
    ("degf", "degc"), [(32, 0), (68, 20), (212, 100), (-40, -40), (60, 140 / 9)]
)
def test_fahrenheit_is_exact(degf, degc):
    assert celsius_of_fahrenheit(degf) == pytest.approx(degc, abs=1e-12)


def test_a_temperature_that_is_none_is_refused():
    for wrong in (float("nan"), -500, 1e9):
        with pytest.raises(Refused, match="temperature"):
            celsius_of_fahrenheit(wrong)


def test_whole_numbers_stay_exact_and_floats_are_rounded():
    big = 2**62 + 1
    assert whole_us("age", [big, -big]).tolist() == [big, -big]
    assert whole_us("age", 1.6).dtype == np.int64
    assert whole_us("age", 1.6) == 2
    for wrong in (2**70, [1, float("nan")], "now", None, [[1], [2, 3]]):
        with pytest.raises(Refused, match="age"):
            whole_us("age", wrong)


@given(st.floats(0, 1000))
def test_spread_goes_there_and_back(lb_msf):
    assert lb_msf_of_g_m2(g_m2_of_lb_msf(lb_msf)) == pytest.approx(lb_msf, rel=1e-12, abs=1e-12)


@pytest.mark.parametrize("wrong", [-1, 1001, float("nan"), float("inf"), "much"])
def test_a_spread_that_is_none_is_refused(wrong):
    with pytest.raises(Refused, match="spread"):
        g_m2_of_lb_msf(wrong)


@pytest.mark.parametrize("wrong", [-1, 5001, float("nan"), float("-inf"), None])
def test_a_spread_that_is_none_in_grams_is_refused(wrong):
    with pytest.raises(Refused, match="spread"):
        lb_msf_of_g_m2(wrong)
