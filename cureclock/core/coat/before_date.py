"""Coats that fit before a date: forward and backward through shop hours."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cureclock.core.coat.shop_hours import NEVER, NO_LONGER, ReadyTable, ShopHours
from cureclock.core.refusal import within
from cureclock.core.units import DAY_US
from cureclock.core.wood.entry import moment_us

Ints = NDArray[np.int64]

MOST_COATS = 60


@dataclass(frozen=True)
class CoatRoute:
    """What one coat of a group of pieces asks of hands and time.

    Args:
        hands_us: hands-on time for one coat of the whole group [us], 0 to 1 day.
        recoat: when the next coat may begin, by the end of this one: the last piece counts.
        wrap: when pieces may be wrapped or shipped, by the end of the last coat.
        closes: when the next coat must have begun unless the film is scuffed, by the beginning
            of this one: the first piece counts. None where the coat melts in or never closes.
        scuff_us: hands-on time added to a coat that comes after that [us], 0 to 1 day.

    Raises:
        Refused: a time outside its range.
    """

    hands_us: int
    recoat: ReadyTable
    wrap: ReadyTable
    closes: ReadyTable | None = None
    scuff_us: int = 0

    def __post_init__(self) -> None:
        within("hands-on time for a coat", self.hands_us, 0, DAY_US, "us")
        within("time to scuff", self.scuff_us, 0, DAY_US, "us")


@dataclass(frozen=True)
class CoatsBefore:
    """The coats that fit.

    Attributes:
        coats: how many.
        begins_us, ends_us: hands-on begin and end of each [us], the earliest that fit.
        scuffed: coats that begin after the window of the one before has closed.
        last_end_by_us: by when the last coat has to be ended to be wrapped in time [us];
            NO_LONGER where even an end at the first moment of the table is too late.
    """

    coats: int
    begins_us: Ints
    ends_us: Ints
    scuffed: NDArray[np.bool_]
    last_end_by_us: int


def coats_before(
    route: CoatRoute, hours: ShopHours, *, from_us: int, due_us: int, most: int = MOST_COATS
) -> CoatsBefore:
    """How many coats fit from a moment on, so that the last can be wrapped by a date.

    Args:
        route: what a coat asks.
        hours: when someone is in the shop.
        from_us: first moment a coat may begin [us].
        due_us: when the pieces have to be wrapped or on their way [us].
        most: stop counting here, 0 to 60.

    Returns:
        A CoatsBefore, each coat as early as hands and film allow.

    Raises:
        Refused: a figure outside its range.

    Valid for:
        One group in one place; the tables carry the place's temperature.
    Assumes:
        One job at a time; a coat is not split over a night.
    Source:
        Our own; waits from the end of the last piece, windows from the begin of the first.

    Example:
        >>> hour = 3_600_000_000
        >>> hours = ShopHours([8 * hour, 32 * hour], [18 * hour, 42 * hour])
        >>> eight = ReadyTable([0, 99 * hour], [8 * hour, 107 * hour])
        >>> coats_before(CoatRoute(hour, eight, eight), hours, from_us=0, due_us=50 * hour).coats
        4
    """
    limit = int(within("coats to count", most, 0, MOST_COATS))
    free_us, closes_us = moment_us(from_us, "first moment"), NEVER
    last_end_by = route.wrap.latest(due_us)
    begins, ends, scuffed = [0] * 0, [0] * 0, [False] * 0
    for _ in range(limit):
        begin, end, late = _next_coat(route, hours, free_us, closes_us)
        if end > last_end_by or end == NEVER:
            break
        begins.append(begin)
        ends.append(end)
        scuffed.append(late)
        free_us = route.recoat.ready(end)
        closes_us = NEVER if route.closes is None else route.closes.ready(begin)
        if free_us == NEVER:
            break
    whole = np.array(begins, dtype=np.int64), np.array(ends, dtype=np.int64)
    return CoatsBefore(len(begins), *whole, np.array(scuffed, dtype=bool), last_end_by)


def _next_coat(
    route: CoatRoute, hours: ShopHours, free_us: int, closes_us: int
) -> tuple[int, int, bool]:
    begin = hours.earliest_start(free_us, route.hands_us)
    if begin <= closes_us:
        return begin, begin + route.hands_us if begin != NEVER else NEVER, False
    longer = route.hands_us + route.scuff_us
    begin = hours.earliest_start(free_us, longer)
    return begin, begin + longer if begin != NEVER else NEVER, True


def latest_first_coat_us(route: CoatRoute, hours: ShopHours, *, coats: int, due_us: int) -> int:
    """The last moment at which the first of so many coats can begin and all still fit.

    Args:
        route: what a coat asks.
        hours: when someone is in the shop.
        coats: how many coats are wanted, 1 to 60.
        due_us: when the pieces have to be wrapped or on their way [us].

    Returns:
        Moment [us]; NO_LONGER where they do not fit any more (or the table does not reach).

    Raises:
        Refused: a figure outside its range.

    Valid for:
        As `coats_before`, with windows that do not close before the next coat.
    Assumes:
        Each coat as late as the next allows; scuffing is not counted.
    Source:
        The same, backwards.

    Example:
        >>> hour = 3_600_000_000
        >>> hours = ShopHours([8 * hour, 32 * hour], [18 * hour, 42 * hour])
        >>> eight = ReadyTable([0, 99 * hour], [8 * hour, 107 * hour])
        >>> latest = latest_first_coat_us(
        ...     CoatRoute(hour, eight, eight), hours, coats=2, due_us=50 * hour)
        >>> latest // hour
        32
    """
    wanted = int(within("coats", coats, 1, MOST_COATS))
    begin = _begin_by(hours, route.wrap.latest(due_us), route.hands_us)
    for _ in range(wanted - 1):
        if begin == NO_LONGER:
            break
        begin = _begin_by(hours, route.recoat.latest(begin), route.hands_us)
    return begin


def _begin_by(hours: ShopHours, end_us: int, hands_us: int) -> int:
    return end_us if end_us == NO_LONGER else hours.latest_start(end_us, hands_us)
