"""Times and numbers as they stand on paper: on the safe side of the minute, by the shop's clock."""

from datetime import datetime
from zoneinfo import ZoneInfo

from cureclock.core.wording.say import say
from cureclock.core.wording.times import Day, say_time
from cureclock.waits.minute import to_minute


class Spoken:
    """How a sheet that is printed at one instant says others.

    Args:
        at: when it is printed.
        zone: the shop's.
    """

    def __init__(self, at: datetime, zone: ZoneInfo) -> None:
        self.at = at
        self.zone = zone

    def opens(self, moment: datetime | None) -> str:
        """When something opens, rounded up to the minute."""
        return self._said(to_minute(moment, opens=True))

    def closes(self, moment: datetime | None) -> str:
        """When something closes or happened, rounded down to the minute."""
        return self._said(to_minute(moment, opens=False))

    def hours(self, hours: float) -> str:
        """Label-hours, as a maker reads them."""
        return say("export.sheet.hours", hours=f"{hours:.2f}".rstrip("0").rstrip("."))

    def plain_hours(self, hours: float) -> str:
        """Hours by the clock, as a maker reads them."""
        return say("export.sheet.plain_hours", hours=f"{hours:.1f}".rstrip("0").rstrip("."))

    def _said(self, moment: datetime | None) -> str:
        if moment is None:
            return say("time.unknown")
        return say_time(moment, self.at, self.zone, day=Day.NAMED)
