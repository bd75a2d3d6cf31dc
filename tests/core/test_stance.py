"""Stances: caps that err on the safe side, and doubt where nobody measured."""

import numpy as np
import pytest

from cureclock.core.confidence import ASSUMED_LEG
from cureclock.core.response import Kind, Response
from cureclock.core.stance import Stance, fastest, felt_damp, stance_rate
from tests.core.airs import RESPONSES, STANCES, UREA_H

PLAIN = Response(Kind.DOUBLING)


def rate(stance: Stance, temp_c: float, response: Response = PLAIN, assumed: bool = False) -> float:
    temp = np.array([temp_c])
    asleep = response.asleep(temp)
    return stance_rate(
        stance, response, temp, np.array([50.0]), asleep=asleep, assumed=np.array([assumed])
    )[0]


def test_warmth_shortens_an_ordinary_wait_to_three_quarters_and_what_can_hurt_not_at_all():
    assert rate(Stance.SLOW, 40) == pytest.approx(1 / 0.75)
    assert rate(Stance.STRICT, 40) == 1
    assert rate(Stance.LIKELY, 40) == 4
    assert rate(Stance.SLOW, 10) == rate(Stance.STRICT, 10) == 0.5, "cold lengthens fully"


def test_cold_never_lengthens_what_closes_and_heat_shortens_it_fully():
    assert rate(Stance.QUICK, -10) == 1
    assert rate(Stance.QUICK, 30) == 2


@pytest.mark.parametrize(
    "stance", [Stance.SLOW, Stance.STRICT, Stance.SLOW_SURE, Stance.STRICT_SURE]
)
def test_a_printed_warmer_row_lifts_the_cap(stance):
    urea = Response(Kind.TABLE, rows=UREA_H)
    assert fastest(stance, urea) == pytest.approx(1.75)
    assert rate(stance, 30, urea) == pytest.approx(1.75)


def test_a_flat_table_lifts_no_cap():
    flat = Response(Kind.TABLE, rows=((10.0, 2.0), (30.0, 2.0)))
    assert fastest(Stance.STRICT, flat) == 1


def test_sure_doubts_assumed_air_and_cold():
    assert rate(Stance.STRICT_SURE, 20) == 1
    assert rate(Stance.STRICT_SURE, 20, assumed=True) == pytest.approx(1 / ASSUMED_LEG)
    assert rate(Stance.STRICT_SURE, 10) == pytest.approx(0.5 / 1.25)
    assert rate(Stance.SLOW_SURE, 10, assumed=True) == pytest.approx(0.5 / 1.25 / 1.15)
    assert rate(Stance.STRICT, 10, assumed=True) == 0.5, "only sure doubts"


def test_two_kelvins_of_assumed_air_are_the_fifteen_per_cent():
    assert pytest.approx(2**0.2, abs=0.002) == ASSUMED_LEG


@pytest.mark.parametrize("stance", STANCES)
def test_asleep_is_asleep_but_for_what_closes(stance):
    epoxy = Response(Kind.DOUBLING, sleep_below_c=10)
    assert rate(stance, 5, epoxy) == (1 if stance == Stance.QUICK else 0)


def test_careful_clocks_take_the_worse_damp_where_none_was_measured():
    unknown = [float("nan"), 60.0]
    for stance in STANCES:
        expected = 85 if stance.careful else np.nan
        assert felt_damp(stance, RESPONSES["water loss"], unknown) == pytest.approx(
            [expected, 60], nan_ok=True
        )
    dry_is_worse = felt_damp(Stance.SLOW, RESPONSES["moisture cure"], unknown)
    assert dry_is_worse.tolist() == [35, 60]
