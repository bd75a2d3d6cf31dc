"""The air of one place through time: readings, gaps and what is expected, as straight legs."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import IntEnum

import numpy as np
from numpy.typing import NDArray

from cureclock.core.damp import known_damp
from cureclock.core.expected import Anchors, Expected, alike, carried_damp, expected_values
from cureclock.core.rates import COLDEST_C, WARMEST_C
from cureclock.core.refusal import Refused, within
from cureclock.core.units import DAY_US, FURTHEST_US, HOUR_US, MINUTE_US, whole_us

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

HAND_REACH_US = 12 * HOUR_US  # hand readings further apart leave a gap; common practice
SENSOR_REACH = 3  # times its rhythm, then a sensor's silence is a gap; our choice
LONGEST_US = 36_525 * DAY_US  # a hundred years
SETTLED_US = 5 * DAY_US  # after the last reading the expected day repeats; our choice
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

        Args:
            at_us: instants [us], years 1684 to 2255.
            temp_c: temperatures [degC], -40 to 120.
            rh_pct: humidity [%], 0 to 100, nan where not read.
            mark: Mark of each; measured where not given.
            rhythm_us: the sensor's rhythm [us], 0 by hand.
            ident: ids, for two readings of one instant.

        Raises:
            Refused: naming the field.

        Example:
            >>> Readings.settle([5, 5], [9.0, 8.0], mark=[2, 0], ident=["b", "a"]).temp_c
            array([8.])
        """
        at = whole_us("instants", at_us)
        temp = within("temperature", temp_c, COLDEST_C, WARMEST_C, "degC")
        rh = np.full(at.shape, np.nan) if rh_pct is None else known_damp(rh_pct)
        marks = whole_us("marks", np.zeros(at.shape) if mark is None else mark)
        rhythm = whole_us("rhythm", np.zeros(at.shape) if rhythm_us is None else rhythm_us)
        names = np.arange(at.size) if ident is None else np.asarray(ident)
        _refuse_far(at)
        within("rhythm", rhythm / DAY_US, 0, 40, "days")
        within("mark", marks, 0, Mark.TYPED)
        for quantity, values in (
            ("temperatures", temp), ("humidities", rh), ("marks", marks), ("rhythms", rhythm),
            ("ids", names),
        ):  # fmt: skip
            alike(quantity, at, values)
        order = np.lexsort((names, -marks, at))
        last_of_instant = np.append(np.diff(at[order]) > 0, True)[: len(at)]
        keep = order[last_of_instant]
        damp = carried_damp(at[keep], temp[keep], rh[keep], HAND_REACH_US)
        return cls(at[keep], temp[keep], damp, marks[keep].astype(np.int8), rhythm[keep])

    def __len__(self) -> int:
        return len(self.at_us)

    def before(self, at_us: int) -> "Readings":
        """Those read before an instant [us]."""
        n = int(np.searchsorted(self.at_us, whole_us("instant", at_us)))
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
        repeats: its last day goes on for ever, day after day, as expected air does.

    Raises:
        Refused: fewer than two nodes, or values that are none.

    Valid for:
        A hundred years at a time, between 1684 and 2255.
    """

    at_us: Ints
    temp_c: Floats
    rh_pct: Floats
    mark: NDArray[np.int8]
    repeats: bool = False

    def __post_init__(self) -> None:
        at = whole_us("instants", self.at_us)
        temp = within("temperature", self.temp_c, COLDEST_C, WARMEST_C, "degC")
        alike("temperatures", at, temp)
        alike("humidities", at, rh := known_damp(self.rh_pct))
        if len(at) < 2 or (at[1:] <= at[:-1]).any():
            raise Refused("nodes of the air", f"{len(at)} of them", "two or more, rising")
        alike("marks", at[1:], mark := whole_us("marks", self.mark))
        within("mark", mark, 0, Mark.ASSUMED)
        _refuse_far(at)
        for name, value in (
            ("at_us", at), ("temp_c", temp), ("rh_pct", rh), ("mark", mark.astype(np.int8)),
        ):  # fmt: skip
            object.__setattr__(self, name, value)

    def assumed_us(self, from_us: int | Ints, to_us: int | Ints) -> Ints:
        """How much of the time between instants [us] is assumed, not measured."""
        begun, ended = whole_us("instant", from_us), whole_us("instant", to_us)
        assumed = np.concatenate(
            [[0], np.cumsum(np.diff(self.at_us) * (self.mark == Mark.ASSUMED))]
        )
        gone = np.interp(ended, self.at_us, assumed) - np.interp(begun, self.at_us, assumed)
        whole: Ints = np.rint(gone).astype(np.int64)
        return whole

    def temp_at(self, at_us: int | Ints) -> Floats:
        """Temperature [degC] at instants [us]; the end values hold beyond the ends."""
        return np.asarray(np.interp(whole_us("instant", at_us), self.at_us, self.temp_c))


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
        Air with a node at every reading. Five days after the last reading what is expected
        has become a day that repeats, and says so.

    Raises:
        Refused: no reading, no version, or a span beyond a hundred years.

    Valid for:
        One place.
    Assumes:
        Straight lines between readings at most 12 h (by hand) or three rhythms (a sensor) apart.
    Source:
        Common practice, no source.

    Example:
        >>> evening = Readings.settle([0, 6 * HOUR_US], [18.0, 12.0])
        >>> float(build_air(evening, [Expected()], 0, 12 * HOUR_US).temp_at(3 * HOUR_US))
        15.0
    """
    if not len(readings) or not len(versions):
        raise Refused("readings and versions", f"{len(readings)}, {len(versions)}", "one or more")
    _refuse_far(whole_us("span", [from_us, until_us, *readings.at_us[[0, -1]]]))
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
    settled = int(ends[-1]) >= int(readings.at_us[-1]) + SETTLED_US
    return replace(_joined(readings, at, temp, rh, from_us), repeats=settled)


def level_air(temp_c: float, from_us: int, until_us: int) -> Air:
    """Air of a place nobody has read: one temperature, all of it assumed.

    Args:
        temp_c: the label temperature [degC], -40 to 120.
        from_us: first instant asked [us].
        until_us: last instant asked [us], at most a hundred years on.

    Returns:
        Air whose nodes are days.

    Raises:
        Refused: naming the argument.

    Source:
        The label speaks of that temperature; nobody measured.

    Example:
        >>> level_air(20.0, 0, 1).temp_c.tolist()
        [20.0, 20.0]
    """
    _refuse_far(whole_us("span", [from_us, until_us]))
    at = _days(from_us, max(until_us, from_us) + DAY_US)
    assumed = np.full(len(at) - 1, Mark.ASSUMED, np.int8)
    return Air(at, np.full(len(at), temp_c), np.full(len(at), np.nan), assumed, repeats=True)


def _refuse_far(at_us: Ints) -> None:
    """Refuse instants beyond what a float tells apart, or further apart than a hundred years."""
    if not at_us.size:
        return
    first, last = int(at_us.min()), int(at_us.max())
    if first < -FURTHEST_US or last > FURTHEST_US or last - first > LONGEST_US:
        span = f"{first} to {last} us"
        raise Refused("span of the air", span, "at most a hundred years, between 1684 and 2255")


def _days(from_us: int, until_us: int) -> Ints:
    """Whole days from the one that holds `from_us` up to, not at, `until_us`."""
    return np.arange(from_us // DAY_US * DAY_US, until_us, DAY_US, dtype=np.int64)


def at_coldest(air: Air, coldest_c: float) -> Air:
    """The same air with every assumed leg at the coldest plausible from its first instant on.

    Args:
        air: a line of air.
        coldest_c: the coldest plausible [degC], -80 to 120; an assumed leg that is colder stays
            as it is, and none is made colder than -40.

    Returns:
        Air, its measured legs as they were.

    Raises:
        Refused: naming the argument.

    Source:
        Our choice, for answers that can hurt.

    Example:
        >>> air = Air(np.array([0, 9]), np.array([9.0, 9.0]), np.full(2, np.nan), np.array([3]))
        >>> at_coldest(air, 4.0).temp_c
        array([9., 4., 4., 9.])
    """
    leg = np.flatnonzero((air.mark == Mark.ASSUMED) & (np.diff(air.at_us) > 2))
    at = np.concatenate([air.at_us, air.at_us[leg] + 1, air.at_us[leg + 1] - 1])
    plausible_c = within("coldest plausible", coldest_c, -80, WARMEST_C, "degC")
    cold = np.minimum(air.temp_c, np.maximum(plausible_c, COLDEST_C))
    temp = np.concatenate([air.temp_c, cold[leg], cold[leg + 1]])
    rh = np.concatenate([air.rh_pct, air.rh_pct[leg], air.rh_pct[leg + 1]])
    mark = np.concatenate([np.append(air.mark, Mark.ASSUMED), np.full(2 * len(leg), Mark.ASSUMED)])
    order = np.argsort(at, kind="stable")
    marks = mark[order][:-1].astype(np.int8)
    return Air(at[order], temp[order], rh[order], marks, repeats=air.repeats)


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
