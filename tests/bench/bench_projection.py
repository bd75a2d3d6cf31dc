"""Gate times of waits that share a clock, against re-integrating each wait's own legs.

The shop: a shed read by a sensor every ten minutes over a quarter of a year, doubling rule, waits
of an hour to a week of label time begun at any moment. Ours: one clock, built once; a million
thresholds turned into instants. The rival, in numpy too and for thousands of waits at a time: the
closed form of every leg from each wait's start, summed until its need is met. A second, kinder
rival is given the legs' ages and only has to sum them.
"""

import os
import time
from collections.abc import Callable

import numpy as np

from cureclock.core.clock import NEVER, Clock, build_clock
from cureclock.core.expected import Expected
from cureclock.core.response import Kind, Response
from cureclock.core.stance import Stance
from cureclock.core.timeline import Air, Readings, build_air
from cureclock.core.units import DAY_US, HOUR_US, MINUTE_US

DAYS, RHYTHM_US = 91, 10 * MINUTE_US
WAITS, AT_ONCE, TRIED = 1_000_000, 500, 2_000
LEAST_A_SECOND, LEAST_RATIO = 5e6, 100
NEEDS_H = np.array([1, 4, 12, 24, 72, 168])


def quarter_of_a_year() -> Air:
    """A shed in spring by a sensor: days, fronts, and the sensor's own flutter."""
    at = np.arange(0, DAYS * DAY_US, RHYTHM_US, dtype=np.int64)
    days, chance = at / DAY_US, np.random.default_rng(1)
    temp = 12 + 5 * np.sin(2 * np.pi * days) + 4 * np.sin(days / 3) + chance.normal(0, 0.2, len(at))
    rhythm = np.full(len(at), RHYTHM_US)
    readings = Readings.settle(at, temp.round(1), rhythm_us=rhythm)
    return build_air(readings, [Expected()], 0, int(at[-1]) + 6 * DAY_US)


def some_waits(count: int) -> tuple[np.ndarray, np.ndarray]:
    """Starts [us] in the first two months, and needs [label us]."""
    chance = np.random.default_rng(2)
    return (
        chance.integers(0, 60 * DAY_US, count),
        (chance.choice(NEEDS_H, count) * HOUR_US).astype(np.int64),
    )


def integrated_again(air: Air, start: np.ndarray, need: np.ndarray, legs: int) -> np.ndarray:
    """The rival: each wait's own legs by the closed form, from its start until its need is met."""
    first = np.searchsorted(air.at_us, start, side="right") - 1
    leg = first[:, None] + np.arange(legs)
    at, temp = air.at_us[leg].astype(float), air.temp_c[leg]
    to, to_c = air.at_us[leg + 1].astype(float), air.temp_c[leg + 1]
    share = (start - at[:, 0]) / (to[:, 0] - at[:, 0])
    temp[:, 0] += share * (to_c[:, 0] - temp[:, 0])
    at[:, 0] = start
    rate = np.exp2((temp - 20) / 10)
    bend = np.log(2) * (to_c - temp) / 10
    flat = np.abs(bend) < 1e-9
    gained = rate * (to - at) * np.where(flat, 1, np.expm1(bend) / np.where(flat, 1, bend))
    return _met(gained, need, (at, to, bend))


def summed_again(
    air: Air, ages: np.ndarray, start: np.ndarray, need: np.ndarray, legs: int
) -> np.ndarray:
    """The kinder rival: legs' ages are given; each wait sums its own."""
    first = np.searchsorted(air.at_us, start, side="right") - 1
    leg = first[:, None] + np.arange(legs)
    at, to = air.at_us[leg].astype(float), air.at_us[leg + 1].astype(float)
    gained = ages[leg].astype(float)
    gained[:, 0] *= (to[:, 0] - start) / (to[:, 0] - at[:, 0])
    return _met(gained, need, (at, to, np.zeros(gained.shape)))


def _met(gained: np.ndarray, need: np.ndarray, legs: tuple[np.ndarray, ...]) -> np.ndarray:
    at, to, bend = legs
    total = np.cumsum(gained, axis=1)
    row, met = np.arange(len(need)), (total >= need[:, None]).argmax(axis=1)
    share = 1 - (total[row, met] - need) / gained[row, met]
    curve = bend[row, met]
    flat = np.abs(curve) < 1e-9
    part = np.where(flat, share, np.log1p(share * np.expm1(curve)) / np.where(flat, 1, curve))
    return at[row, met] + part * (to[row, met] - at[row, met])


def in_batches(
    rival: Callable[..., np.ndarray], waits: tuple[np.ndarray, np.ndarray]
) -> np.ndarray:
    parts = [slice(n, n + AT_ONCE) for n in range(0, TRIED, AT_ONCE)]
    return np.concatenate([rival(waits[0][part], waits[1][part]) for part in parts])


def best_s(call: Callable[[], object], rounds: int) -> float:
    """The best of some rounds [s]."""
    took = []
    for _ in range(rounds):
        began = time.process_time()
        call()
        took.append(time.process_time() - began)
    return min(took)


def due(clock: Clock, waits: tuple[np.ndarray, np.ndarray]) -> np.ndarray:
    """Starts and needs to instants: an age, a sum and the way back."""
    return clock.earliest(clock.age_at(waits[0]) + waits[1])


def test_projection() -> None:
    air = quarter_of_a_year()
    response, stance = Response(Kind.DOUBLING), Stance.LIKELY
    clock = build_clock(air, response, stance)
    start, need = some_waits(WAITS)
    thresholds = clock.age_at(start) + need
    ours = WAITS / best_s(lambda: clock.earliest(thresholds), 5)
    with_start = WAITS / best_s(lambda: due(clock, (start, need)), 3)

    few = (start[:TRIED], need[:TRIED])
    found = due(clock, few)
    assert (found != NEVER).all()
    legs = int((np.searchsorted(air.at_us, found) - np.searchsorted(air.at_us, few[0])).max()) + 2
    ages = np.diff(clock.age_at(air.at_us))
    again = in_batches(lambda s, n: integrated_again(air, s, n, legs), few)
    assert np.abs(again - found).max() < 1000, "the rival is honest: it finds the same instants"
    rival = TRIED / best_s(
        lambda: in_batches(lambda s, n: integrated_again(air, s, n, legs), few), 3
    )
    kinder = TRIED / best_s(
        lambda: in_batches(lambda s, n: summed_again(air, ages, s, n, legs), few), 3
    )
    print(
        f"\n{len(air.at_us)} nodes of air, waits of up to {legs} legs, load {os.getloadavg()[0]:.1f}"
    )
    print(f"clock built in {1000 * best_s(lambda: build_clock(air, response, stance), 3):.0f} ms")
    print(f"gate times from thresholds: {ours / 1e6:.1f} million a second")
    print(f"from starts and needs:      {with_start / 1e6:.1f} million a second")
    print(
        f"each wait's legs again:     {rival / 1e3:.1f} thousand a second; ours {ours / rival:.0f} times"
    )
    print(
        f"given the legs' ages:       {kinder / 1e3:.1f} thousand a second; ours {ours / kinder:.0f} times"
    )
    assert ours / rival >= LEAST_RATIO
    assert ours >= LEAST_A_SECOND
