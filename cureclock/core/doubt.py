"""Which readings of a sensor are to be doubted, and why: leaps, swapped degrees, heat, a stuck value."""

from dataclasses import dataclass
from enum import IntEnum

import numpy as np
from numpy.typing import NDArray

from cureclock.core.refusal import Refused, within
from cureclock.core.units import DAY_US, HOUR_US, MINUTE_US, whole_us

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

LEAP_K = 8.0  # between two readings a quarter of an hour apart or less; our choice
LEAP_K_PER_H = 12.0  # and so much more for each hour beyond; our choice
LEAP_FREE_US = 15 * MINUTE_US
BELIEVED_AFTER = 3  # readings in a row that agree after a leap are the air; our choice
SWAPPED_K = 3.0  # a leap that the other scale explains as nearly as this; our choice
HOTTEST_C = 45.0  # warmer than any place where wood is glued and hung; our choice
STUCK_US = 2 * DAY_US  # air that does not change by its last digit so long; our choice
STUCK_READINGS = 48


class Doubt(IntEnum):
    """Why a reading is doubted; 0 where it is not."""

    NONE = 0
    LEAP = 1
    FAHRENHEIT = 2
    TWICE = 3
    HOT = 4
    STUCK = 5


@dataclass(frozen=True)
class Before:
    """What is known of a sensor before the readings that are looked at.

    Args:
        doubt: why its reading just before the first one was doubted; NONE where it was not.
        same_since_us: since when it has said the very same as the first one [us]; None where the
            first one says something new.
        level_c: its mean over the day before that [degC], None if unknown.
        level_at_us: of its last believed reading, when [us]; None before any.
        believed_c: that reading [degC].
    """

    doubt: Doubt = Doubt.NONE
    same_since_us: int | None = None
    level_c: float | None = None
    level_at_us: int | None = None
    believed_c: float = 0.0


def doubts(
    at_us: Ints, temp_c: Floats, rh_pct: Floats, before: Before = Before()
) -> tuple[NDArray[np.int8], NDArray[np.int8]]:
    """Which readings of one sensor nobody should believe before a person has looked.

    A leap is doubted until three readings in a row agree with it, or the air is back where it
    was; one that the other temperature scale explains is doubted for as long as it lasts.

    Args:
        at_us: instants in order of time [us].
        temp_c: what it said [degC], -40 to 120.
        rh_pct: humidity [%], nan where not said.
        before: what is known of it before the first of these.

    Returns:
        For each reading its Doubt, and on which side it lies: -1 low, 1 high, 0 not doubted.

    Raises:
        Refused: naming the argument.

    Valid for:
        One sensor that stays in one place.
    Assumes:
        Air of a shop seldom changes by more than 8 K in a quarter of an hour.
    Source:
        Our choice, no source.

    Example:
        >>> quarter = np.arange(6) * 15 * MINUTE_US
        >>> spiked = np.array([18.0, 18.1, 3.0, 18.2, 18.2, 18.1])
        >>> doubts(quarter, spiked, np.full(6, np.nan))[1].tolist()
        [0, 0, -1, 0, 0, 0]
    """
    at = whole_us("instants", at_us)
    temp = within("temperature", temp_c, -40, 120, "degC")
    if temp.shape != at.shape or rh_pct.shape != at.shape or (np.diff(at) < 0).any():
        raise Refused("readings", f"{temp.size}", "one for each instant, in order of time")
    why, side = np.zeros(at.shape, np.int8), np.zeros(at.shape, np.int8)
    if not len(at):
        return why, side
    _judge_runs(at, temp, before, (why, side))
    hot = (temp > HOTTEST_C) & (why == Doubt.NONE)
    why[hot], side[hot] = Doubt.HOT, 1
    _judge_stuck(at, temp, rh_pct, before, (why, side))
    return why, side


def _allowed_k(apart_us: Ints | int) -> Floats:
    """How far two readings so far apart may differ before it is a leap [K]."""
    free_h = np.maximum(np.asarray(apart_us) - LEAP_FREE_US, 0) / HOUR_US
    return np.asarray(LEAP_K + LEAP_K_PER_H * free_h)


def _judge_runs(
    at: Ints, temp: Floats, before: Before, out: tuple[NDArray[np.int8], NDArray[np.int8]]
) -> None:
    """Runs between leaps, one after the other, each against the last that was believed."""
    leaps = np.abs(np.diff(temp)) > _allowed_k(np.diff(at))
    starts = np.concatenate([[0], np.flatnonzero(leaps) + 1])
    ends = np.append(starts[1:], len(at))
    level = None if before.level_at_us is None else (before.level_at_us, before.believed_c)
    for run, (start, end) in enumerate(zip(starts.tolist(), ends.tolist(), strict=True)):
        first = (int(at[start]), float(temp[start]))
        follows = end - start if run + 1 == len(starts) else int(ends[run + 1] - ends[run])
        lone = level is None and (end == len(at) or follows < BELIEVED_AFTER)
        doubt = _of_run(first, end - start, level, lone=lone)
        if run == 0 and before.doubt in (Doubt.FAHRENHEIT, Doubt.TWICE) and _goes_on(first, level):
            doubt = before.doubt
        if doubt == Doubt.NONE:
            level = (int(at[end - 1]), float(temp[end - 1]))
            continue
        beside = level[1] if level else float(temp[min(end, len(temp) - 1)])
        out[0][start:end] = doubt
        out[1][start:end] = np.where(temp[start:end] < beside, -1, 1)


def _goes_on(first: tuple[int, float], level: tuple[int, float] | None) -> bool:
    """Whether a run that began before these readings is still off the last believed level."""
    return level is None or abs(first[1] - level[1]) > LEAP_K


def _of_run(
    first: tuple[int, float], length: int, level: tuple[int, float] | None, *, lone: bool
) -> Doubt:
    if level is None:
        return Doubt.NONE if lone or length >= BELIEVED_AFTER else Doubt.LEAP
    (at, temp), (since, believed) = first, level
    if abs(temp - believed) <= float(_allowed_k(at - since)):
        return Doubt.NONE
    if temp > believed and abs((temp - 32) / 1.8 - believed) <= SWAPPED_K:
        return Doubt.FAHRENHEIT
    if temp < believed and abs(temp * 1.8 + 32 - believed) <= SWAPPED_K:
        return Doubt.TWICE
    return Doubt.NONE if length >= BELIEVED_AFTER else Doubt.LEAP


def _judge_stuck(
    at: Ints,
    temp: Floats,
    rh_pct: Floats,
    before: Before,
    out: tuple[NDArray[np.int8], NDArray[np.int8]],
) -> None:
    """The very same, temperature and damp, for two days and many readings."""
    damp = np.nan_to_num(rh_pct, nan=-1.0)
    begins = np.concatenate([[True], (np.diff(temp) != 0) | (np.diff(damp) != 0)])
    which = np.cumsum(begins) - 1
    first = np.flatnonzero(begins)
    since, count = at[first], np.arange(len(at)) - first[which]
    if before.same_since_us is not None:
        since = since.copy()
        since[0] = min(int(since[0]), before.same_since_us)
        count = np.where(which == 0, count + STUCK_READINGS, count)
    stuck = (at - since[which] >= STUCK_US) & (count >= STUCK_READINGS) & (out[0] == Doubt.NONE)
    if not stuck.any():
        return
    out[0][stuck] = Doubt.STUCK
    day = np.searchsorted(at, since - DAY_US)
    total = np.concatenate([[0.0], np.cumsum(temp)])
    earlier = np.maximum(first - day, 1)
    mean = np.where(first > day, (total[first] - total[day]) / earlier, np.inf)
    if before.level_c is not None:
        mean[0] = before.level_c
    out[1][stuck] = np.where(temp[stuck] > mean[which[stuck]], 1, -1)
