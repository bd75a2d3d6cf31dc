"""The rags question: repeats, rings the second person, and only its answer ends it."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cureclock.core.coat.shop_hours import ShopHours
from cureclock.core.refusal import Refused
from cureclock.core.reminding.rings import ANSWERS, EVERY_US, ended, next_ring
from cureclock.core.reminding.who import Hand
from cureclock.core.units import DAY_US, HOUR_US, MINUTE_US

SATURDAY = ShopHours([8 * HOUR_US], [18 * HOUR_US])
HELPER = Hand("helper", hours=SATURDAY)
MAKER = Hand("maker", second=True)
WIPED = 12 * HOUR_US + 23 * MINUTE_US


def _clock(us: int) -> str:
    return f"{us // HOUR_US:02d}:{us % HOUR_US // MINUTE_US:02d}"


def test_asked_at_12_28_unanswered_at_12_38_and_12_48_rings_the_second_person():
    rung, heard = [], []
    for _ in range(4):
        ring = next_ring((HELPER, MAKER), wiped_us=WIPED, rung_us=rung)
        heard.append((_clock(ring.at_us), ring.people))
        rung.append(ring.at_us)
    assert heard == [
        ("12:28", ("helper",)),
        ("12:38", ("helper",)),
        ("12:48", ("helper", "maker")),
        ("12:58", ("helper", "maker")),
    ]


def test_after_an_outage_it_rings_once_not_for_every_ring_it_missed():
    late = WIPED + 3 * HOUR_US
    ring = next_ring((HELPER, MAKER), wiped_us=WIPED, rung_us=[WIPED + 5 * MINUTE_US, late])
    assert ring.at_us == late + EVERY_US


def test_it_asks_in_the_night_too():
    ring = next_ring((HELPER, MAKER), wiped_us=23 * HOUR_US)
    assert ring.people == ("helper", "maker")


@given(st.lists(st.integers(0, 30 * DAY_US), max_size=50), st.integers(0, DAY_US))
def test_it_never_stops_by_itself_and_always_rings_somebody(rung, wiped):
    ring = next_ring((HELPER, MAKER), wiped_us=wiped, rung_us=rung)
    assert ring.people
    assert ring.repeat == len(rung)
    assert ring.at_us > max(rung, default=wiped)


@given(st.text())
def test_only_its_two_answers_end_it(answer):
    assert ended(answer) == (answer in ANSWERS)
    assert all(ended(one) for one in ANSWERS)


def test_nobody_to_ask_is_refused():
    with pytest.raises(Refused, match="people of the shop"):
        next_ring((), wiped_us=0)
