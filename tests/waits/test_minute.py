"""Shown times stand on the safe side of the minute."""

from datetime import UTC, datetime, timedelta

import pytest

from cureclock.waits.minute import to_minute

NOON = datetime(2026, 2, 2, 12, 0, tzinfo=UTC)


@pytest.mark.parametrize(
    "late", [timedelta(microseconds=1), timedelta(seconds=1), timedelta(seconds=59)]
)
def test_what_opens_is_never_shown_too_early_and_what_closes_never_too_late(
    late: timedelta,
) -> None:
    assert to_minute(NOON + late, opens=True) == NOON + timedelta(minutes=1)
    assert to_minute(NOON + late, opens=False) == NOON


@pytest.mark.parametrize("opens", [True, False])
def test_a_whole_minute_is_shown_as_it_is(opens: bool) -> None:
    assert to_minute(NOON, opens=opens) == NOON


@pytest.mark.parametrize("opens", [True, False])
def test_no_time_stays_no_time(opens: bool) -> None:
    assert to_minute(None, opens=opens) is None
