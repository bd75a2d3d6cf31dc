"""Times as people say them: a clock time, with its day only when it is needed."""

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from zoneinfo import ZoneInfo

from cureclock.core.refusal import Refused
from cureclock.core.units import MINUTE_US, moment_of
from cureclock.core.wording.catalogue import ENGLISH
from cureclock.core.wording.say import say

MORNING_HOUR = 6  # a bare time before it, said after noon, is that of the coming night; our choice
NOON_HOUR = 12
WEEK_DAYS = 7
YEAR_DAYS = 300  # farther off the year is said too; our choice


class Day(StrEnum):
    """When the day is said.

    NEEDED: only where the bare time could be taken for another. TODAY: always, "today" for
    today. NAMED: always by its name, for notices that may be read the day after.
    """

    NEEDED = "needed"
    TODAY = "today"
    NAMED = "named"


def say_time(
    moment: datetime,
    seen: datetime,
    zone: ZoneInfo,
    language: str = ENGLISH,
    *,
    day: Day = Day.NEEDED,
) -> str:
    """A moment as somebody in a zone says it at another moment.

    Args:
        moment: when it is, aware.
        seen: when it is read, aware.
        zone: where it is read.
        language: in which language.
        day: when the day is said.

    Returns:
        "14:07" where that can only be one time: the same day, or said after noon of a time before
        six the next morning. Else "Fri 14:07" within a week, else with the date. A clock time
        that comes twice that night says which by its zone.

    Raises:
        Refused: a moment without its zone.

    Valid for: any day of the calendar.

    Source: our choice.

    >>> from datetime import UTC
    >>> noon, zone = datetime(2024, 2, 15, 12, tzinfo=UTC), ZoneInfo("Europe/Dublin")
    >>> say_time(datetime(2024, 2, 16, 14, 7, tzinfo=UTC), noon, zone)
    'Fri 14:07'
    >>> say_time(datetime(2024, 2, 16, 3, 10, tzinfo=UTC), noon, zone)
    '03:10'
    """
    if moment.tzinfo is None or seen.tzinfo is None:
        raise Refused("moment", f"{moment}, {seen}", "times with their zone")
    local, here = moment.astimezone(zone), seen.astimezone(zone)
    clock = say("time.clock", language, hour=f"{local:%H}", minute=f"{local:%M}")
    ahead = (local.date() - here.date()).days
    if day == Day.TODAY and ahead == 0:
        said = say("time.today", language, clock=clock)
    elif day == Day.NEEDED and (ahead == 0 or _coming_night(local, here, ahead)):
        said = clock
    else:
        said = _dated(local, ahead, clock, language)
    if local.utcoffset() == local.replace(fold=1 - local.fold).utcoffset():
        return said
    return say("time.twice", language, time=said, zone=local.tzname() or "")


def _coming_night(local: datetime, here: datetime, ahead: int) -> bool:
    """Said after noon, a time before six of the next morning needs no day."""
    return ahead == 1 and here.hour >= NOON_HOUR and local.hour < MORNING_HOUR


def _dated(local: datetime, ahead: int, clock: str, language: str) -> str:
    """The time with its weekday, and its date where a weekday could be another week's."""
    weekday = say(f"time.weekday.{local.weekday()}", language)
    if abs(ahead) < WEEK_DAYS:
        return say("time.day", language, weekday=weekday, clock=clock)
    date = {"weekday": weekday, "day": local.day, "clock": clock}
    month = say(f"time.month.{local.month}", language)
    if abs(ahead) <= YEAR_DAYS:
        return say("time.date", language, month=month, **date)
    return say("time.date_year", language, month=month, year=local.year, **date)


@dataclass(frozen=True)
class Reader:
    """Who reads it: when, in which zone, in which language.

    Attributes:
        at_us: when it is sent or shown [us].
        zone: the reader's zone.
        language: the reader's language.
    """

    at_us: int
    zone: ZoneInfo
    language: str = ENGLISH

    def say(self, key: str, /, **fields: object) -> str:
        """A message in the reader's language."""
        return say(key, self.language, **fields)

    def opens(self, at_us: int | None, day: Day = Day.NEEDED) -> str:
        """When something opens, rounded up to the minute; None is "nobody can say when"."""
        return self._time(None if at_us is None else -(-at_us // MINUTE_US), day)

    def closes(self, at_us: int | None, day: Day = Day.NEEDED) -> str:
        """When something closes or was, rounded down to the minute."""
        return self._time(None if at_us is None else at_us // MINUTE_US, day)

    def left(self, until_us: int) -> str:
        """Whole minutes left until a moment, none where it is past."""
        minutes = max(until_us - self.at_us, 0) // MINUTE_US
        return say("time.minutes", self.language, count=minutes)

    def _time(self, minutes: int | None, day: Day) -> str:
        """A minute since 1970 in words; one beyond the calendar is not said."""
        try:
            moment = None if minutes is None else moment_of(minutes * MINUTE_US)
            if moment is not None:
                seen = moment_of(self.at_us)
                return say_time(moment, seen, self.zone, self.language, day=day)
        except (OverflowError, Refused):
            pass
        return say("time.unknown", self.language)
