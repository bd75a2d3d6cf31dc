"""Shop hours and ready tables, forward and backward."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cureclock.core.coat.shop_hours import NEVER, NO_LONGER, ReadyTable, ShopHours
from cureclock.core.refusal import Refused
from cureclock.core.units import HOUR_US

WEEK = ShopHours(
    [(24 * d + 8) * HOUR_US for d in range(5)], [(24 * d + 18) * HOUR_US for d in range(5)]
)


def test_a_job_begins_at_once_when_it_can_be_ended():
    assert WEEK.earliest_start(9 * HOUR_US, HOUR_US) == 9 * HOUR_US
    assert WEEK.earliest_start(17 * HOUR_US, HOUR_US) == 17 * HOUR_US


def test_a_job_that_cannot_be_ended_before_closing_waits_for_the_morning():
    assert WEEK.earliest_start(17 * HOUR_US + 1, HOUR_US) == 32 * HOUR_US
    assert WEEK.earliest_start(113 * HOUR_US + 1, HOUR_US) == NEVER


def test_backwards_a_job_ends_by_closing_or_by_the_date():
    assert WEEK.latest_start(12 * HOUR_US, HOUR_US) == 11 * HOUR_US
    assert WEEK.latest_start(30 * HOUR_US, HOUR_US) == 17 * HOUR_US
    assert WEEK.latest_start(8 * HOUR_US, HOUR_US) == NO_LONGER


@given(st.integers(0, 120 * HOUR_US), st.integers(0, 9 * HOUR_US))
def test_the_latest_start_for_an_earliest_end_is_that_start(at, hands):
    start = WEEK.earliest_start(at, hands)
    if start != NEVER:
        assert WEEK.latest_start(start + hands, hands) == start


@pytest.mark.parametrize(
    ("opens", "closes"), [([8], [8]), ([8, 9], [10, 12]), ([8], [9, 10]), ([9, 8], [10, 11])]
)
def test_hours_that_overlap_or_do_not_pair_are_refused(opens, closes):
    with pytest.raises(Refused):
        ShopHours(opens, closes)


def test_a_table_is_read_between_its_rows_and_rounded_to_the_late_side():
    table = ReadyTable([0, 3], [10, 11])
    assert [table.ready(at) for at in range(4)] == [10, 11, 11, 11]
    assert (table.ready(-1), table.ready(4)) == (NEVER, NEVER)


def test_where_the_clock_stands_still_the_latest_start_is_taken():
    table = ReadyTable([0, 10, 20, 30], [50, 60, 60, 70])
    assert table.latest(60) == 20
    assert table.latest(59) == 9
    assert table.latest(49) == NO_LONGER
    assert table.latest(99) == 30


TABLES = st.lists(st.tuples(st.integers(1, 10**10), st.integers(0, 10**10)), min_size=2, max_size=8)


@given(TABLES, st.floats(0, 1))
def test_the_latest_start_is_ready_in_time_and_a_later_one_is_not(steps, share):
    start = np.cumsum([step for step, _ in steps])
    ready = np.maximum.accumulate(start + np.array([wait for _, wait in steps]))
    table = ReadyTable(start, ready)
    by = int(ready[0] + share * (ready[-1] - ready[0]))
    latest = table.latest(by)
    assert table.ready(latest) <= by
    if latest < start[-1]:
        assert table.ready(latest + 1) > by


def test_a_wait_that_ends_before_it_begins_is_refused():
    with pytest.raises(Refused, match="ends of the wait"):
        ReadyTable([0, 10], [5, 9])
    with pytest.raises(Refused, match="ends of the wait"):
        ReadyTable([0, 10], [50, 40])
