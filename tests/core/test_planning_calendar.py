"""Open slots pushed together, and waits read from tables."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cureclock.core.coat.shop_hours import ReadyTable, ShopHours
from cureclock.core.planning.calendar import build_calendar, over_at
from cureclock.core.planning.problem import Batch, Person, Problem
from cureclock.core.planning.route import Step
from cureclock.core.units import DAY_US, HOUR_US, MINUTE_US
from tests.core.planning_samples import hours, workdays

BATCH = Batch("tray", 1, (Step("glue"),))
DAY = 120  # open slots of a day from eight to six


def calendar(*people, days=14, **more):
    return build_calendar(Problem(0, days * DAY_US, people, (BATCH,), **more))


MAKER = Person("Maker", hours(workdays()))


def test_nights_and_weekends_have_no_position():
    made = calendar(MAKER)
    assert len(made) == 10 * DAY
    assert made.instant(made.slots[0]) == 8 * HOUR_US
    assert made.instant(made.slots[DAY]) == DAY_US + 8 * HOUR_US
    assert made.instant(made.slots[5 * DAY]) == 7 * DAY_US + 8 * HOUR_US


def test_with_nobody_to_ask_every_slot_is_open():
    assert len(calendar(days=1)) == 288


def test_with_nobody_ever_there_none_is():
    assert len(calendar(Person("Maker", None))) == 0


def test_a_slot_of_which_somebody_is_there_for_a_part_only_does_not_count():
    odd = ShopHours([8 * HOUR_US + 1], [9 * HOUR_US - 1])
    assert len(calendar(Person("Maker", odd))) == 10


def test_a_night_moment_has_the_position_of_the_next_opening_and_the_last_closing():
    made = calendar(MAKER)
    night = made.slot_from(20 * HOUR_US)
    assert made.position(night) == DAY
    assert made.position_by(night) == DAY - 1
    assert made.position(made.slot_from(100 * DAY_US)) == len(made)
    assert made.position_by(made.slot_by(HOUR_US)) == -1


def test_a_job_fits_where_its_slots_follow_one_another_and_its_person_is_there():
    helper = Person("Helper", hours(workdays(), 9, 12))
    made = calendar(MAKER, helper)
    two_hours = 24
    anyone, hers = made.unbroken(two_hours), made.unbroken(two_hours, "Helper")
    assert anyone[DAY - two_hours]
    assert not anyone[DAY - two_hours + 1 : DAY].any()
    assert np.flatnonzero(hers)[[0, 12]].tolist() == [12, 24]
    assert np.flatnonzero(hers)[13] == DAY + 12
    assert not made.unbroken(DAY + 1).any()
    assert made.unbroken(0).all()


def test_hours_that_touch_are_one_stretch():
    split = ShopHours([8 * HOUR_US, 12 * HOUR_US], [12 * HOUR_US, 18 * HOUR_US])
    assert calendar(Person("Maker", split)).unbroken(DAY).sum() == 1


@given(st.integers(-(10**6), 10**7))
def test_slots_round_to_the_late_or_the_early_side(at_us):
    made = calendar(MAKER, slot_us=MINUTE_US)
    late, early = int(made.slot_from(at_us)), int(made.slot_by(at_us))
    assert early * MINUTE_US <= at_us <= late * MINUTE_US
    assert late - early == (at_us % MINUTE_US != 0)


TABLES = st.lists(st.tuples(st.integers(1, 10**12), st.integers(0, 10**12)), min_size=2, max_size=6)


@given(TABLES, st.floats(0, 1))
def test_a_wait_is_read_to_the_microsecond_as_its_table_says(rows, share):
    start = np.cumsum([step for step, _ in rows])
    ready = np.maximum.accumulate(start + np.array([wait for _, wait in rows]))
    table = ReadyTable(start, ready)
    at_us = int(start[0] + share * (start[-1] - start[0]))
    assert over_at(table, at_us) == table.ready(at_us)
    assert over_at(table, at_us) - over_at(table, at_us, late=False) in (0, 1)


@pytest.mark.parametrize("rows", [([10], [17]), ([10, 30], [17, 32])])
def test_outside_its_table_a_wait_is_as_long_as_at_the_nearer_end(rows):
    table = ReadyTable(*rows)
    assert over_at(table, [0, 100]).tolist() == [7, 100 + rows[1][-1] - rows[0][-1]]
    assert over_at(None, [3, 4]).tolist() == [3, 4]
