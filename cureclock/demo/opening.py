"""Opening the demo shop so that its story ends about now."""

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from cureclock.demo.log import DAYS
from cureclock.demo.teller import Story
from cureclock.demo.week import tell

ZONE = "Europe/London"
ENDS = timedelta(days=6, hours=10)  # Sunday at ten, when the week is looked back on
LAST = timedelta(days=6, hours=20)  # the loggers' last line


def open_until(at: datetime) -> Story:
    """The demo week, laid so that its Sunday ten o'clock is the last ten o'clock before `at`.

    The story calls its days Monday to Sunday, whatever days these really are.
    """
    local = at.astimezone(ZoneInfo(ZONE))
    monday = (local - ENDS).date()
    elapsed = min(local.replace(tzinfo=None) - datetime.combine(monday, datetime.min.time()), LAST)
    return tell(monday, zone=ZONE, end=spoken(elapsed))


def spoken(elapsed: timedelta) -> str:
    """Elapsed time of the week as the story says it.

    >>> spoken(timedelta(days=2, hours=18, minutes=10))
    'Wed 18:10'
    """
    minutes = int(elapsed.total_seconds()) // 60
    day, minute = divmod(minutes, 24 * 60)
    return f"{DAYS[day]} {minute // 60:02d}:{minute % 60:02d}"
