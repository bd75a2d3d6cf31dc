"""Which backups are kept: many of the last days, fewer of the weeks and months before."""

from collections.abc import Callable, Collection
from datetime import date

DAILY, WEEKLY, MONTHLY = 7, 4, 12  # our choice


def kept(days: Collection[date]) -> set[date]:
    """The days whose backups are kept.

    Args:
        days: those of which there is a backup.

    Returns:
        The newest seven; of the newest four weeks with a backup the newest of each, and of the
        newest twelve months likewise. Days are counted by the backups there are, so that a
        machine that was off for a month loses none for that.

    >>> from datetime import timedelta
    >>> days = [date(2026, 3, 31) - timedelta(days=back) for back in range(90)]
    >>> [str(day) for day in sorted(kept(days))][:4]
    ['2026-01-31', '2026-02-28', '2026-03-15', '2026-03-22']
    """
    newest = sorted(days, reverse=True)
    return {
        *newest[:DAILY],
        *_newest_of_each(newest, lambda day: day.isocalendar()[:2], WEEKLY),
        *_newest_of_each(newest, lambda day: (day.year, day.month), MONTHLY),
    }


def _newest_of_each(
    newest: Collection[date], span: Callable[[date], tuple[int, int]], most: int
) -> list[date]:
    """The newest day of each week or month, of so many of them."""
    found: dict[tuple[int, int], date] = {}
    for day in newest:
        found.setdefault(span(day), day)
    return list(found.values())[:most]
