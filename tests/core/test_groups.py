"""Group clocks: every piece its time, both ends, one alert or more."""

import itertools

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cureclock.core.clock import NEVER
from cureclock.core.groups import both_ends, share_out, split_alerts
from cureclock.core.refusal import Refused
from cureclock.core.units import DAY_US, HOUR_US, MINUTE_US

MIDNIGHT = 20_000 * DAY_US
INSTANTS = st.integers(0, 10**13)


def _clock(text, day=0):
    hours, minutes = text.split(":")
    return MIDNIGHT + day * DAY_US + int(hours) * HOUR_US + int(minutes) * MINUTE_US


def test_pieces_share_the_time_between_began_and_ended():
    times = share_out(_clock("10:30"), _clock("11:25"), 24)
    assert times.first_us == _clock("10:30")
    assert times.last_us == _clock("11:25")
    steps = np.diff(times.at_us)
    assert steps.max() - steps.min() <= 1
    assert times.between.all()


def test_windows_of_the_later_twelve_shut_from_10_59():
    """24 stems coated 10:30 to 11:25 close after 24 h; numbers 13 to 24 from 10:59 to 11:25."""
    closes = share_out(_clock("10:30"), _clock("11:25"), 24).at_us + DAY_US
    later = closes[12:]
    assert abs(later.min() - _clock("10:59", day=1)) < MINUTE_US
    assert later.max() == _clock("11:25", day=1)


def test_one_piece_alone_counts_at_ended():
    assert share_out(_clock("10:00"), _clock("10:20"), 1).at_us.tolist() == [_clock("10:20")]


def test_nobody_coats_in_a_pause():
    began, ended = _clock("10:30"), _clock("11:25")
    pause = (_clock("10:45"), _clock("11:05"))
    at = share_out(began, ended, 24, [pause]).at_us
    assert not ((at > pause[0]) & (at < pause[1])).any()
    steps = np.diff(at)
    across = (at[:-1] <= pause[0]) & (at[1:] >= pause[1])
    assert steps[~across].max() - steps[~across].min() <= 1
    assert steps[across] - steps[~across].max() == pytest.approx(20 * MINUTE_US, abs=1)


def test_pauses_count_once_in_any_order_and_only_inside():
    began, ended = 0, 100 * MINUTE_US
    pauses = [(10, 30), (20, 40), (60, 70), (-50, 0), (100, 200)]
    pauses = [(a * MINUTE_US, b * MINUTE_US) for a, b in pauses]
    merged = share_out(
        began, ended, 7, [(10 * MINUTE_US, 40 * MINUTE_US), (60 * MINUTE_US, 70 * MINUTE_US)]
    )
    for order in itertools.permutations(pauses):
        assert share_out(began, ended, 7, order).at_us.tolist() == merged.at_us.tolist()


@given(INSTANTS, INSTANTS, st.integers(1, 200), st.lists(st.tuples(INSTANTS, INSTANTS), max_size=5))
def test_times_rise_from_began_to_ended(one, other, pieces, pauses):
    began, ended = min(one, other), max(one, other)
    at = share_out(began, ended, pieces, [sorted(pause) for pause in pauses]).at_us
    assert len(at) == pieces
    assert (np.diff(at) >= 0).all()
    assert at.min() >= began
    assert at[-1] == ended
    assert pieces == 1 or at[0] == began


@given(INSTANTS, INSTANTS, st.integers(2, 60), st.lists(st.tuples(INSTANTS, INSTANTS), max_size=4))
def test_work_between_pieces_is_even_whatever_the_pauses(one, other, pieces, pauses):
    began, ended = min(one, other), max(one, other)
    pauses = [sorted(pause) for pause in pauses]
    at = share_out(began, ended, pieces, pauses).at_us.tolist()
    edges = sorted({began, ended, *(min(max(e, began), ended) for pause in pauses for e in pause)})
    working = [
        (a, b)
        for a, b in itertools.pairwise(edges)
        if not any(p[0] <= a and b <= p[1] for p in pauses)
    ]
    worked = [sum(min(b, t) - min(a, t) for a, b in working) for t in at]
    steps = np.diff(worked)
    assert steps.max() - steps.min() <= 1


def test_a_tap_on_a_piece_overrides_and_is_no_longer_between():
    times = share_out(_clock("10:30"), _clock("11:25"), 24)
    tapped = times.tapped([3, 7], [_clock("10:31"), _clock("11:50")])
    assert tapped.at_us[[3, 7]].tolist() == [_clock("10:31"), _clock("11:50")]
    assert tapped.between.tolist().count(False) == 2
    assert tapped.last_us == _clock("11:50")
    assert times.between.all()


def test_ten_of_twenty_four_may_be_recoated():
    opens = share_out(_clock("14:00"), _clock("15:40"), 24).at_us
    closes = share_out(_clock("08:30", day=1), _clock("10:10", day=1), 24).at_us
    ends = both_ends(opens, closes, int(opens[9]))
    assert (ends.open_now, ends.pieces, ends.closed) == (10, 24, 0)
    assert ends.all_open_us == _clock("15:40")
    assert ends.first_closes_us == _clock("08:30", day=1)


def test_lower_limits_wait_for_the_last_and_upper_ones_for_the_first():
    ends = both_ends([10, 20, 30], [100, 110, 120], 105)
    assert (ends.open_now, ends.closed) == (2, 1)
    assert ends.first_closes_us == 110
    assert both_ends([10, NEVER], [NEVER, NEVER], 50).all_open_us == NEVER
    assert both_ends([10, 20], NEVER, 50).first_closes_us == NEVER


def test_one_alert_up_to_half_an_hour_and_more_beyond():
    half_hour = share_out(0, 30 * MINUTE_US, 24).at_us
    assert split_alerts(half_hour).part.max() == 0
    longer = share_out(0, 31 * MINUTE_US, 24).at_us
    assert split_alerts(longer).part.max() == 1


def test_stems_of_fifty_five_minutes_make_two_alerts_of_twelve():
    alerts = split_alerts(share_out(_clock("10:30"), _clock("11:25"), 24).at_us)
    assert np.bincount(alerts.part).tolist() == [12, 12]
    assert alerts.first_us[0] == _clock("10:30")
    assert alerts.last_us[1] == _clock("11:25")


@given(
    st.lists(st.one_of(INSTANTS, st.just(NEVER)), min_size=1, max_size=60),
    st.integers(10**6, 10**12),
)
def test_no_alert_spans_more_than_it_may_and_none_is_empty(due, together):
    due = np.array(due)
    alerts = split_alerts(due, together)
    assert sorted(set(alerts.part.tolist())) == list(range(len(alerts.first_us)))
    assert (alerts.last_us - alerts.first_us <= together).all()
    assert (alerts.first_us[alerts.part] <= due).all()
    assert (due <= alerts.last_us[alerts.part]).all()
    assert (alerts.last_us[:-1] < alerts.first_us[1:]).all()
    never = due == NEVER
    assert never.all() or not never.any() or alerts.first_us[alerts.part[~never]].max() < NEVER


def test_ended_before_began_is_refused():
    with pytest.raises(Refused, match="ended"):
        share_out(_clock("11:25"), _clock("10:30"), 24)


@pytest.mark.parametrize("pieces", [0, -1, 2.5, float("nan"), 10_001])
def test_no_pieces_or_parts_of_a_piece_are_refused(pieces):
    with pytest.raises(Refused, match="pieces"):
        share_out(0, 60, pieces)


@pytest.mark.parametrize("pauses", [[(50, 40)], [5, 6], [(1, 2, 3)], [(0.5, 3)]])
def test_pauses_that_are_none_are_refused(pauses):
    with pytest.raises(Refused, match="pauses"):
        share_out(0, 60, 3, pauses)


@pytest.mark.parametrize("due", [[], [[1, 2]], [0.5], [float("inf")], [NEVER - 1]])
def test_alerts_for_nothing_or_for_no_instant_are_refused(due):
    with pytest.raises(Refused):
        split_alerts(due)


def test_a_piece_that_is_not_in_the_group_cannot_be_tapped():
    for which in (-1, 3):
        with pytest.raises(Refused, match="tapped piece"):
            share_out(0, 60, 3).tapped([which], [45])
