"""Clock times of days in a zone as instants, across both changes of the clocks."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from cureclock.core.coat.shop_hours import ShopHours
from cureclock.core.refusal import Refused
from cureclock.core.units import instant_us, moment_of

DAYS_AHEAD = 14  # how far hours are laid out; longer than any holiday planned here; our choice


def wall_us(day: date, clock: time, zone: ZoneInfo) -> int:
    """The instant of a clock time on a day.

    Args:
        day: the day in the zone.
        clock: what the clock on the wall shows.
        zone: where it hangs.

    Returns:
        Instant [us]. A time the clocks leap over is as long after the leap; of one that comes
        twice, the first.

    Source: PEP 495, fold=0.

    >>> new_york = ZoneInfo("America/New_York")
    >>> moment_of(wall_us(date(2024, 3, 10), time(2, 30), new_york)).astimezone(new_york).hour
    3
    """
    return instant_us(datetime.combine(day, clock.replace(fold=0, tzinfo=None), zone))


@dataclass(frozen=True)
class Weekly:
    """Hours of a week: for weekdays, Monday 0, when somebody comes and goes.

    Args:
        days: weekday to (comes, goes); a day that is missing is free. One who goes at or before
            the time of coming goes the day after.

    Raises:
        Refused: a weekday that is none.
    """

    days: Mapping[int, tuple[time, time]]

    def __post_init__(self) -> None:
        wrong = set(self.days) - set(range(7))
        if wrong:
            raise Refused("weekday", sorted(wrong), "0 for Monday to 6 for Sunday")

    @classmethod
    def of(cls, kept: Mapping[str, Sequence[str]]) -> "Weekly":
        """Hours as they are kept: {"0": ["08:00", "18:00"]}.

        Raises:
            Refused: a weekday or a time that is none.
        """
        try:
            return cls(
                {
                    int(day): (time.fromisoformat(comes), time.fromisoformat(goes))
                    for day, (comes, goes) in kept.items()
                }
            )
        except (TypeError, ValueError) as error:
            if isinstance(error, Refused):
                raise
            raise Refused("hours of the week", kept, '{"0": ["08:00", "18:00"]}') from error

    def spells(self, zone: ZoneInfo, from_us: int, days: int = DAYS_AHEAD) -> ShopHours | None:
        """The spells in which somebody is there, around an instant and for some days after it.

        Args:
            zone: in which the hours are meant.
            from_us: an instant [us]; the day before it is laid out too.
            days: days after it, 1 to 366.

        Returns:
            ShopHours; None where nobody ever comes.

        Source: our choice.

        >>> weekly = Weekly.of({"0": ["08:00", "18:00"]})
        >>> spells = weekly.spells(ZoneInfo("UTC"), 0, days=7)  # 1970 began on a Thursday
        >>> moment_of(spells.earliest_start(0, 0)).isoformat()
        '1970-01-05T08:00:00+00:00'
        """
        if not 1 <= days <= 366:
            raise Refused("days ahead", days, "1 to 366")
        first = moment_of(from_us).astimezone(zone).date() - timedelta(days=1)
        opens: list[int] = []
        closes: list[int] = []
        for day in (first + timedelta(days=ahead) for ahead in range(days + 2)):
            hours = self.days.get(day.weekday())
            if hours is None:
                continue
            comes, goes = hours
            comes_us = wall_us(day, comes, zone)
            goes_us = wall_us(day + timedelta(days=int(goes <= comes)), goes, zone)
            if closes and comes_us <= closes[-1]:
                closes[-1] = max(closes[-1], goes_us)
            elif goes_us > comes_us:
                opens.append(comes_us)
                closes.append(goes_us)
        return ShopHours(np.array(opens), np.array(closes)) if opens else None


def is_there(hours: ShopHours | None, at_us: int) -> bool:
    """Whether somebody of these hours is there at an instant.

    Args:
        hours: spells; None where nobody ever is.
        at_us: the instant [us].

    Returns:
        True from the beginning of a spell to its end, both counted.

    >>> is_there(ShopHours([8], [18]), 18), is_there(ShopHours([8], [18]), 19)
    (True, False)
    """
    return hours is not None and hours.earliest_start(at_us, 0) == at_us
