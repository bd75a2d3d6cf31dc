"""The last useful moment before a closing gate."""

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cureclock.core.coat.shop_hours import ShopHours
from cureclock.core.reminding.useful import NOTICE_US, NOTICES_US, beside, last_call
from cureclock.core.reminding.wall import Weekly, is_there
from cureclock.core.units import DAY_US, HOUR_US, MINUTE_US, instant_us

UTC_ZONE = ZoneInfo("UTC")
WEEK = Weekly.of({str(day): ["08:00", "18:00"] for day in range(5)})


def _at(text: str) -> int:
    return instant_us(datetime.fromisoformat(text).replace(tzinfo=UTC))


THURSDAY = _at("2024-02-15 11:00")
HOURS = WEEK.spells(UTC_ZONE, THURSDAY)
HANDS_US = 45 * MINUTE_US


def _call(closes: str, at: str = "2024-02-15 11:00", **said):
    return last_call(_at(closes), at_us=_at(at), hours=HOURS, hands_us=HANDS_US, **said)


def test_a_window_that_shuts_in_the_night_is_said_before_going_home():
    call = _call("2024-02-16 03:00")
    assert call.tell_us == _at("2024-02-15 16:45")
    assert call.start_by_us == _at("2024-02-15 17:15")
    assert call.before_home
    assert call.over_us == _at("2024-02-16 08:00")


def test_a_window_that_shuts_in_the_day_counts_the_hands():
    call = _call("2024-02-15 16:00")
    assert (call.tell_us, call.start_by_us) == (_at("2024-02-15 14:45"), _at("2024-02-15 15:15"))
    assert not call.before_home
    assert call.over_us == _at("2024-02-15 16:00")


def test_a_window_that_shuts_right_after_opening_is_said_the_evening_before():
    call = _call("2024-02-16 09:00")
    assert (call.tell_us, call.start_by_us) == (_at("2024-02-15 16:45"), _at("2024-02-15 17:15"))
    assert call.before_home


def test_a_window_that_shuts_on_monday_morning_is_said_on_friday():
    assert _call("2024-02-19 08:50").tell_us == _at("2024-02-16 16:45")


def test_a_worst_case_in_the_night_is_said_in_the_morning_if_that_leaves_the_half_hour():
    call = _call("2024-02-16 12:00", warn_us=_at("2024-02-16 04:00"))
    assert call.tell_us == _at("2024-02-16 08:00")
    assert call.start_by_us == _at("2024-02-16 11:15")


def test_a_worst_case_in_the_day_is_said_then():
    assert _call("2024-02-15 17:00", warn_us=_at("2024-02-15 13:10")).tell_us == _at(
        "2024-02-15 13:10"
    )


def test_a_window_that_opens_and_shuts_while_nobody_is_there_is_not_offered():
    call = _call("2024-02-16 03:00", window_us=_at("2024-02-15 20:57"))
    assert (call.tell_us, call.start_by_us) == (None, None)
    assert call.over_us == _at("2024-02-16 08:00")


def test_nothing_is_said_before_its_window_opens():
    opened = _at("2024-02-15 17:00")
    assert _call("2024-02-16 03:00", window_us=opened).tell_us == opened


def test_the_morning_is_taken_where_the_evening_came_before_the_window():
    call = _call("2024-02-16 09:00", window_us=_at("2024-02-15 20:57"))
    assert (call.tell_us, call.start_by_us) == (_at("2024-02-16 08:00"), _at("2024-02-16 08:15"))


def test_who_is_told_late_is_told_at_once():
    assert _call("2024-02-16 03:00", at="2024-02-15 17:00").tell_us == _at("2024-02-15 17:00")


def test_what_can_no_longer_be_fitted_in_is_not_offered():
    assert _call("2024-02-16 03:00", at="2024-02-15 17:16").tell_us is None


def test_a_shop_nobody_comes_to_is_told_nothing():
    call = last_call(_at("2024-02-16 03:00"), at_us=THURSDAY, hours=None)
    assert (call.tell_us, call.over_us) == (None, None)


SPANS = st.lists(st.tuples(st.integers(1, 40), st.integers(1, 14)), min_size=1, max_size=8)


@st.composite
def _cases(draw):
    """Spells of a shop, a gate, work, and perhaps a window and a warning."""
    edge, opens, closes = 0, [], []
    for away, there in draw(SPANS):
        opens.append((edge + away) * HOUR_US)
        edge += away + there
        closes.append(edge * HOUR_US)
    moment = st.integers(0, (edge + 30) * HOUR_US)
    return {
        "closes_us": draw(moment),
        "at_us": draw(moment),
        "hours": ShopHours(opens, closes),
        "hands_us": draw(st.integers(0, 3 * HOUR_US)),
        "window_us": draw(st.none() | moment),
        "warn_us": draw(st.none() | moment),
    }


@given(_cases())
def test_it_is_told_when_somebody_is_there_in_time_and_after_now_and_the_window(case):
    call = last_call(**case)
    assert (call.tell_us is None) == (call.start_by_us is None)
    if call.tell_us is None:
        return
    assert is_there(case["hours"], call.tell_us)
    assert is_there(case["hours"], call.start_by_us)
    assert is_there(case["hours"], call.start_by_us + case["hands_us"])
    assert call.start_by_us + case["hands_us"] <= case["closes_us"]
    assert max(case["at_us"], case["window_us"] or 0) <= call.tell_us <= call.start_by_us


@given(_cases())
def test_whenever_the_act_still_fits_in_somebody_is_told(case):
    """By trying every beginning and every latest beginning of every spell."""
    call = last_call(**case)
    earliest = max(case["at_us"], case["window_us"] or 0)
    spells = zip(case["hours"].open_us.tolist(), case["hours"].close_us.tolist(), strict=True)
    fits = any(
        max(opens, earliest) <= min(closes, case["closes_us"]) - case["hands_us"]
        for opens, closes in spells
    )
    assert (call.tell_us is not None) == fits


@given(_cases())
def test_it_is_told_by_the_worst_case_wherever_somebody_can_be(case):
    """Later than a warning only where nobody is there between the warning and the telling."""
    call = last_call(**case)
    warn = case["warn_us"]
    if call.tell_us is None or warn is None or warn < max(case["at_us"], case["window_us"] or 0):
        return
    assert call.tell_us <= max(warn, case["hours"].earliest_start(warn, 0))


@given(_cases())
def test_half_an_hour_is_left_wherever_the_shop_gives_it(case):
    call = last_call(**case)
    if call.tell_us is None or call.start_by_us - call.tell_us >= NOTICE_US:
        return
    opens = case["hours"].open_us
    earliest = max(case["at_us"], case["window_us"] or 0)
    came = int(opens[opens <= call.tell_us].max())
    assert call.tell_us == max(came, earliest)


@given(_cases())
def test_what_is_over_is_said_when_somebody_is_there(case):
    call = last_call(**case)
    if call.over_us is not None:
        assert call.over_us >= case["closes_us"]
        assert is_there(case["hours"], call.over_us)


@pytest.mark.parametrize(
    ("gate", "minutes"), [("open_time", 2), ("total_assembly", 2), ("wipe_off", 5), ("pot_life", 5)]
)
def test_limits_of_minutes_are_told_minutes_before(gate, minutes):
    call = beside(gate, HOUR_US, at_us=0)
    assert call.tell_us == HOUR_US - minutes * MINUTE_US


GATES = st.sampled_from(sorted(NOTICES_US))
SPAN = st.integers(0, DAY_US)


@given(GATES, SPAN, SPAN, SPAN, st.none() | SPAN)
def test_limits_of_minutes_are_told_in_time_for_hands_and_worst_case(
    gate, closes_us, at_us, hands_us, warn_us
):
    call = beside(gate, closes_us, at_us=at_us, hands_us=hands_us, warn_us=warn_us)
    if closes_us < at_us:
        assert call.tell_us is None
        return
    wanted = min(closes_us - hands_us, closes_us if warn_us is None else warn_us)
    assert at_us <= call.tell_us <= max(at_us, wanted)
    assert call.over_us == closes_us
