"""Beyond the last reading the expected day goes round for ever."""

import numpy as np

from cureclock.core.clock import NEVER, build_clock
from cureclock.core.expected import Expected
from cureclock.core.response import Kind, Response
from cureclock.core.timeline import Readings, build_air
from cureclock.core.units import DAY_US, HOUR_US


def test_a_day_that_repeats_goes_on_for_ever_as_if_it_had_been_built() -> None:
    evening = Readings.settle([0, 4 * HOUR_US], [18.0, 12.0])
    expected = [Expected(typed=((0.0, 6.0, 70.0), (840.0, 16.0, 50.0)))]
    for response in (Response(Kind.DOUBLING), Response(Kind.WATER_LOSS)):
        short = build_clock(build_air(evening, expected, 0, 6 * DAY_US), response)
        long = build_clock(build_air(evening, expected, 0, 60 * DAY_US), response)
        assert short.day_us > 0
        at = np.arange(0, 55 * DAY_US, 7 * HOUR_US + 11)
        assert (short.age_at(at) == long.age_at(at)).all()
        age = long.age_at(at)
        assert (short.earliest(age) == long.earliest(age)).all()
        assert (short.latest(age) == long.latest(age)).all()


def test_what_sleeps_every_day_is_never_reached() -> None:
    cold = Readings.settle([0], [5.0])
    asleep = Response(Kind.DOUBLING, sleep_below_c=15.0)
    clock = build_clock(build_air(cold, [Expected()], 0, 6 * DAY_US), asleep)
    assert clock.earliest(HOUR_US) == NEVER
