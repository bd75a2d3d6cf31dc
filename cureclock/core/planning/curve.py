"""A staircase as straight lines: each step of it is the line rounded up, exactly."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cureclock.core.refusal import Refused

Ints = NDArray[np.int64]

BENDS = (0.0, 0.5, -0.5, 0.9, -0.9)  # steps by which a line's ends may leave the staircase's
PARTS = 1024  # slopes are told in so many parts of one


@dataclass(frozen=True)
class Line:
    """A stretch of a staircase: rounded up, (rise x + base) / PARTS is its height at x.

    Attributes:
        first, last: from which x to which, both included.
        rise, base: in parts of 1/PARTS.
        from_height: its height at the first x.
        to_height: its height at the last x.
    """

    first: int
    last: int
    rise: int
    base: int
    from_height: int
    to_height: int


def lines(where: Ints, heights: Ints) -> list[Line]:
    """Cut a staircase into few straight lines that round up to it.

    Args:
        where: places of its steps, whole and rising; there may be gaps between them.
        heights: its height at each, whole and never falling.

    Returns:
        Lines, one behind the other, that cover every place.

    Raises:
        Refused: no place, places that do not rise, or heights that fall.

    Valid for:
        Any such staircase; the fewer lines the straighter it is.
    Assumes:
        Nothing.
    Source:
        Our own; a line fits a stretch where what the heights stand above it spreads by less
        than one step.

    Example:
        >>> [(one.first, one.last, one.rise) for one in lines(np.arange(6), np.array([3, 4, 5, 9, 9, 9]))]
        [(0, 2, 1024), (3, 5, 0)]
    """
    sound = len(where) == len(heights) > 0
    if not sound or np.any(np.diff(where) <= 0) or np.any(np.diff(heights) < 0):
        raise Refused("staircase", f"{len(where)} places", "rising places, heights that never fall")
    found: list[Line] = []
    begin = 0
    while begin < len(where):
        end, rise, base = _longest(where, heights, begin)
        ends = (int(where[begin]), int(where[end]))
        found.append(Line(*ends, rise, base, int(heights[begin]), int(heights[end])))
        begin = end + 1
    return found


def _longest(where: Ints, heights: Ints, begin: int) -> tuple[int, int, int]:
    """The last place of a line from here, its rise and base: doubling, then halving."""
    best = (begin, 0, PARTS * int(heights[begin]))
    good, step = begin, 1
    bad = len(where)
    while good + 1 < bad:
        end = min(good + step, bad - 1)
        fit = _fit(where[begin : end + 1], heights[begin : end + 1])
        if fit is None:
            bad, step = end, max(step // 2, 1)
        else:
            best, good, step = (end, *fit), end, step * 2
    return best


def _fit(where: Ints, heights: Ints) -> tuple[int, int] | None:
    """Rise and base of a line that rounds up to a stretch; None where none is found."""
    risen, run = int(heights[-1] - heights[0]), int(where[-1] - where[0])
    for bend in BENDS:
        rise = round(PARTS * (risen + bend) / run)
        above = PARTS * heights - rise * where
        low = int(above.min())
        if int(above.max()) - low < PARTS:
            return rise, low
    return None
