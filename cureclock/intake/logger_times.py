"""Times as loggers write them: many orders of the same figures, in a zone that is seldom named."""

import re
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, tzinfo
from functools import lru_cache

from cureclock.shop.logger_shape import EPOCH
from cureclock.shop.refusals import Refusal

FIGURES = re.compile(r"\d+")
HALF_DAY = re.compile(r"\b([ap])\.?m\.?", re.IGNORECASE)
MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
MONTH = re.compile(rf"(?<![a-z])({'|'.join(MONTHS)})[a-z]*\.?", re.IGNORECASE)
HOUR = timedelta(hours=1)
FIRST_YEAR, LAST_YEAR = 2000, 2199


def parts_of(text: str) -> list[int]:
    """The figures of a written time, a month's name as its number, after noon counted on."""
    named = MONTH.sub(lambda found: f" {MONTHS.index(found[1].lower()) + 1} ", text)
    figures = [int(one) for one in FIGURES.findall(named)[:6]]
    half = HALF_DAY.search(text)
    if half and len(figures) > 3:
        figures[3] = figures[3] % 12 + (12 if half[1].lower() == "p" else 0)
    return figures


def local_time(text: str, order: str) -> datetime:
    """A written time as the clock on the logger showed it; ValueError where it is none.

    One that says its own offset, or counts seconds since 1970, comes with its zone.
    """
    if order == EPOCH:
        return _of_epoch(float(text))
    if order == "ymd" and "-" in text:
        try:
            return in_this_age(datetime.fromisoformat(text))
        except ValueError:
            pass
    figures = parts_of(text)
    if len(figures) < 3 or max(figures) > LAST_YEAR:
        raise ValueError(text)
    day = dict(zip(order, figures, strict=False))
    year = day["y"] + 2000 if day["y"] < 100 else day["y"]
    hour, minute, second = (*figures[3:], 0, 0, 0)[:3]
    moment = datetime(year, day["m"], day["d"], hour, minute, second)  # noqa: DTZ001 - zone comes later
    return in_this_age(moment)


def in_this_age(moment: datetime) -> datetime:
    """The same; ValueError for a time that no thermometer of ours has seen."""
    if not FIRST_YEAR <= moment.year <= LAST_YEAR:
        raise ValueError(moment)
    return moment


def _of_epoch(count: float) -> datetime:
    seconds = count / 1000 if count > 1e11 else count
    if not 9e8 < seconds < 4.2e9:
        raise ValueError(count)
    return datetime.fromtimestamp(seconds, UTC)


@lru_cache(maxsize=4096)
def _steady(zone: tzinfo, year: int, month: int, day: int) -> timedelta | None:
    """The offset of a day on which no clock is changed; None on the others."""
    midnight = datetime(year, month, day, tzinfo=zone)
    ends = {
        (midnight + timedelta(days=after)).replace(fold=fold).utcoffset()
        for after in (0, 1)
        for fold in (0, 1)
    }
    return ends.pop() if len(ends) == 1 else None


def came_twice(moment: datetime, zone: tzinfo) -> bool:
    """Whether the clock on the wall showed this time twice on that day."""
    first, second = (moment.replace(tzinfo=zone, fold=fold).utcoffset() for fold in (0, 1))
    return first is not None and second is not None and first > second


def never_was(moment: datetime, zone: tzinfo) -> bool:
    """Whether the clock on the wall passed over this time on that day."""
    first, second = (moment.replace(tzinfo=zone, fold=fold).utcoffset() for fold in (0, 1))
    return first is not None and second is not None and first < second


@dataclass
class Clock:
    """Turns the times of one file, row after row, into instants.

    Args:
        zone: of the logger's clock.
        repeated: what is made of an hour that came twice: "derived" from the order of the rows,
            "first", "second"; empty: it is refused, for nobody said.
        step: between two rows, as a rule.
        newest_first: the rows go back in time.
        before: the row before, as its clock showed it.
        fold: whether the repeated hour is in its second turn.
    """

    zone: tzinfo
    repeated: str = ""
    step: timedelta = timedelta()
    newest_first: bool = False
    before: datetime | None = None
    fold: int | None = None

    def instant(self, moment: datetime) -> datetime:
        """The instant of a row's time; Refusal where there is none or nobody can tell which."""
        if moment.tzinfo is not None:
            return moment.astimezone(UTC)
        steady = self.steady(moment)
        if steady is not None:
            self.before, self.fold = moment, None
            return moment.replace(tzinfo=UTC) - steady
        return self._on_a_day_of_change(moment)

    def steady(self, moment: datetime) -> timedelta | None:
        """The offset on a day without a change of clocks, None on one with it."""
        return _steady(self.zone, moment.year, moment.month, moment.day)

    def _on_a_day_of_change(self, moment: datetime) -> datetime:
        if never_was(moment, self.zone):
            wrong = "the clock on the wall passed over that hour"
            mend = "if the logger's clock is never changed, give its zone as an offset"
            raise Refusal("at", wrong, mend)
        fold = 0
        if came_twice(moment, self.zone):
            fold = self._turn(moment)
        else:
            self.fold = None
        self.before = moment
        return moment.replace(tzinfo=self.zone, fold=fold).astimezone(UTC)

    def _turn(self, moment: datetime) -> int:
        if self.repeated in ("first", "second"):
            return int(self.repeated == "second")
        if self.repeated != "derived":
            wrong = "this hour came twice when the clocks went back"
            raise Refusal("at", wrong, "say whether its rows are of the first or the second")
        if self.fold is None:
            self.fold = int(self.newest_first)
        elif self.before is not None and turns(self.before, moment, self.step, self.newest_first):
            self.fold = int(not self.newest_first)
        return self.fold


def turns(before: datetime, moment: datetime, step: timedelta, newest_first: bool) -> bool:
    """Whether between two rows of one hour the clock was put back: an hour less than a step."""
    apart = before - moment if newest_first else moment - before
    return abs(apart - (step - HOUR)) <= min(max(step / 2, timedelta(minutes=1)), HOUR / 3)
