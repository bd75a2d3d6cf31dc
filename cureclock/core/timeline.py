"""The air of one place through time: readings, gaps and what is expected, as straight legs."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import IntEnum

import numpy as np
from numpy.typing import NDArray

from cureclock.core.expected import Anchors, Expected, carried_damp, expected_values
from cureclock.core.units import DAY_US, HOUR_US, MINUTE_US

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

HAND_REACH_US = 12 * HOUR_US  # hand readings further apart leave a gap; common practice
SENSOR_REACH = 3  # times its rhythm, then a sensor's silence is a gap; our choice
GRID_US = 30 * MINUTE_US  # expected air is defined as straight lines over this step


class Mark(IntEnum):
    """Where a value comes from, best first; at one instant the best wins."""

    MEASURED = 0
    MINMAX = 1
    TYPED = 2
    ASSUMED = 3


@dataclass(frozen=True)
class Readings:
    """What was read in one place, in the order of time, one per instant.

    Attributes (arrays of one length):
        at_us: instants [us], rising.
        temp_c: temperatures [degC].
        rh_pct: humidity [%], nan where not read.
        mark: Mark of each reading, never ASSUMED.
        rhythm_us: the sensor's rhythm [us]; 0 for readings by hand.
    """

    at_us: Ints
    temp_c: Floats
    rh_pct: Floats
    mark: NDArray[np.int8]
    rhythm_us: Ints

    @classmethod
    def settle(
        cls,
        at_us: Sequence[int] | Ints,
        temp_c: Sequence[float] | Floats,
        *,
        rh_pct: Sequence[float] | Floats | None = None,
        mark: Sequence[int] | NDArray[np.int8] | None = None,
        rhythm_us: Sequence[int] | Ints | None = None,
        ident: Sequence[str] | None = None,
    ) -> "Readings":
        """Readings in any order, with repeats, put in order: one per instant.

        At one instant measured stands over min-max over typed, then the higher id. A reading
        without humidity keeps the water of the last one that has it, up to 12 h on.

        >>> Readings.settle([5, 5], [9.0, 8.0], mark=[2, 0], ident=["b", "a"]).temp_c
        array([8.])
        """
        at = np.asarray(at_us, dtype=np.int64)
        temp = np.asarray(temp_c, dtype=np.float64)
        rh = np.full(at.shape, np.nan) if rh_pct is None else np.asarray(rh_pct, dtype=np.float64)
        marks = np.zeros(at.shape, np.int8) if mark is None else np.asarray(mark, dtype=np.int8)
        rhythm = np.zeros(at.shape, np.int64) if rhythm_us is None else np.asarray(rhythm_us)
        names = np.arange(len(at)) if ident is None else np.asarray(ident)
        order = np.lexsort((names, -marks, at))
        last_of_instant = np.append(np.diff(at[order]) > 0, True)[: len(at)]
        keep = order[last_of_instant]
        damp = carried_damp(at[keep], temp[keep], rh[keep], HAND_REACH_US)
        return cls(at[keep], temp[keep], damp, marks[keep], rhythm[keep].astype(np.int64))

    def __len__(self) -> int:
        return len(self.at_us)

    def before(self, at_us: int) -> "Readings":
        """Those read before an instant [us]."""
        n = int(np.searchsorted(self.at_us, at_us))
        return Readings(
            self.at_us[:n], self.temp_c[:n], self.rh_pct[:n], self.mark[:n], self.rhythm_us[:n]
        )

    def gaps(self) -> NDArray[np.bool_]:
        """For each leg between two readings, whether it is too long to be joined by a line.

        A hand reading at either end reaches 12 h; between two sensor readings three times the
        slower rhythm.
        """
        by_hand = self.rhythm_us == 0
        hand_leg = by_hand[:-1] | by_hand[1:]
        slower = np.maximum(self.rhythm_us[:-1], self.rhythm_us[1:])
        reach = np.where(hand_leg, HAND_REACH_US, SENSOR_REACH * slower)
        return np.diff(self.at_us) > reach


@dataclass(frozen=True)
class Air:
    """Air as a continuous line: values at nodes, straight between, each leg with its mark.

    Attributes:
        at_us: node instants [us], rising, at least two.
        temp_c, rh_pct: values at the nodes; rh is nan where not measured.
        mark: Mark of the leg that begins at each node but the last.
    """

    at_us: Ints
    temp_c: Floats
    rh_pct: Floats
    mark: NDArray[np.int8]

    def assumed_us(self, from_us: int | Ints, to_us: int | Ints) -> Ints:
        """How much of the time between instants [us] is assumed, not measured."""
        assumed = np.concatenate(
            [[0], np.cumsum(np.diff(self.at_us) * (self.mark == Mark.ASSUMED))]
        )
        return np.rint(
            np.interp(to_us, self.at_us, assumed) - np.interp(from_us, self.at_us, assumed)
        ).astype(np.int64)

    def temp_at(self, at_us: int | Ints) -> Floats:
        """Temperature [degC] at instants [us]; the end values hold beyond the ends."""
        return np.asarray(np.interp(at_us, self.at_us, self.temp_c))


def build_air(
    readings: Readings,
    versions: Sequence[Expected],
    from_us: int,
    until_us: int,
    *,
    colder_gaps: bool = False,
) -> Air:
    """The whole line of air of a place over [from_us, until_us] and all its readings.

    Args:
        readings: at least one; before the first its value holds, marked assumed.
        versions: what was expected of the air, by the instant each came into force, at least
            one. A gap is filled by the version in force when it ended, the time after the last
            reading by the newest.
        from_us, until_us: the span to cover [us]; it is widened to hold every reading, and
            ends on a whole step, so that what is asked last does not bend the line.
        colder_gaps: count a gap as the colder of the expected air and the straight line (for
            the cold floor).

    Returns:
        Air with a node at every reading.
    """
    gap = np.flatnonzero(readings.gaps())
    last_us = max(until_us, int(readings.at_us[-1]))
    ends = np.append(readings.at_us[gap + 1], (last_us // GRID_US + 1) * GRID_US)
    starts = np.append(readings.at_us[gap], readings.at_us[-1])
    at, which = _grid_inside(starts, ends)
    anchors = Anchors.of(readings.at_us, readings.temp_c, readings.rh_pct, readings.gaps(), starts)
    temp, rh = _filled(at, which, anchors, versions, ends)
    if colder_gaps:
        straight = np.interp(at, readings.at_us, readings.temp_c)
        temp = np.where(which < len(gap), np.minimum(temp, straight), temp)
    return _joined(readings, at, temp, rh, from_us)


def level_air(temp_c: float, from_us: int, until_us: int) -> Air:
    """Air of a place nobody has read: one temperature [degC], all of it assumed."""
    at = _days(from_us, max(until_us, from_us) + DAY_US)
    assumed = np.full(len(at) - 1, Mark.ASSUMED, np.int8)
    return Air(at, np.full(len(at), temp_c), np.full(len(at), np.nan), assumed)


def _days(from_us: int, until_us: int) -> Ints:
    """Whole days from the one that holds `from_us` up to, not at, `until_us`."""
    return np.arange(from_us // DAY_US * DAY_US, until_us, DAY_US, dtype=np.int64)


def at_coldest(air: Air, coldest_c: float) -> Air:
    """The same air with every assumed leg at the coldest plausible from its first instant on.

    Args:
        air: a line of air.
        coldest_c: the coldest plausible [degC]; an assumed leg that is colder stays as it is.

    >>> air = Air(np.array([0, 9]), np.array([9.0, 9.0]), np.full(2, np.nan), np.array([3]))
    >>> at_coldest(air, 4.0).temp_c
    array([9., 4., 4., 9.])
    """
    leg = np.flatnonzero((air.mark == Mark.ASSUMED) & (np.diff(air.at_us) > 2))
    at = np.concatenate([air.at_us, air.at_us[leg] + 1, air.at_us[leg + 1] - 1])
    cold = np.minimum(air.temp_c, coldest_c)
    temp = np.concatenate([air.temp_c, cold[leg], cold[leg + 1]])
    rh = np.concatenate([air.rh_pct, air.rh_pct[leg], air.rh_pct[leg + 1]])
    mark = np.concatenate([np.append(air.mark, Mark.ASSUMED), np.full(2 * len(leg), Mark.ASSUMED)])
    order = np.argsort(at, kind="stable")
    return Air(at[order], temp[order], rh[order], mark[order][:-1].astype(np.int8))


def _grid_inside(starts: Ints, ends: Ints) -> tuple[Ints, Ints]:
    """Grid instants strictly inside each span, the very last end included, and their span."""
    first = starts // GRID_US + 1
    counts = np.maximum((ends - 1) // GRID_US - first + 1, 0)
    which = np.repeat(np.arange(len(starts)), counts)
    step = np.arange(counts.sum()) - np.repeat(np.cumsum(counts) - counts, counts)
    at = (first[which] + step) * GRID_US
    return np.append(at, ends[-1]), np.append(which, len(starts) - 1)


def _filled(
    at: Ints, which: Ints, anchors: Anchors, versions: Sequence[Expected], ends: Ints
) -> tuple[Floats, Floats]:
    """Expected values at grid instants, each span by the version in force when it ended."""
    since = np.array([version.since_us for version in versions])
    in_force = np.maximum(np.searchsorted(since, ends, side="right") - 1, 0)
    in_force[-1] = len(versions) - 1
    temp, rh = np.empty(at.shape), np.empty(at.shape)
    for number in np.unique(in_force):
        chosen = in_force[which] == number
        temp[chosen], rh[chosen] = expected_values(
            at[chosen], anchors.at(which[chosen]), versions[number]
        )
    return temp, rh


def _joined(readings: Readings, at: Ints, temp: Floats, rh: Floats, from_us: int) -> Air:
    """Readings and filled-in nodes as one line, with the mark of every leg."""
    first_us = int(readings.at_us[0])
    lead = _days(from_us, first_us)[: None if from_us < first_us else 0]
    all_at = np.concatenate([lead, readings.at_us, at])
    all_temp = np.concatenate([np.full(len(lead), readings.temp_c[0]), readings.temp_c, temp])
    all_rh = np.concatenate([np.full(len(lead), readings.rh_pct[0]), readings.rh_pct, rh])
    filled = np.full(len(at), Mark.ASSUMED, np.int8)
    marks = np.concatenate([np.full(len(lead), Mark.ASSUMED, np.int8), readings.mark, filled])
    order = np.argsort(all_at, kind="stable")
    node = marks[order]
    gap_begins = readings.at_us[:-1][readings.gaps()]
    leg = np.maximum(node[:-1], node[1:])
    leg[np.isin(all_at[order][:-1], gap_begins)] = Mark.ASSUMED
    return Air(all_at[order], all_temp[order], all_rh[order], leg)
