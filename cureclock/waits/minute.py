"""Times as they are shown: to the minute, and never on the wrong side of it."""

from datetime import datetime, timedelta

MINUTE = timedelta(minutes=1)


def to_minute(moment: datetime | None, *, opens: bool) -> datetime | None:
    """An instant to the minute: what opens is shown later, what closes earlier; none stays none."""
    if moment is None:
        return None
    floor = moment.replace(second=0, microsecond=0)
    return floor + MINUTE if opens and floor < moment else floor
