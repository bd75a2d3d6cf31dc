"""The cure clock of one place and response: its age through time, and the way back."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cureclock.core.response import Response
from cureclock.core.stance import Stance, fastest, felt_damp, stance_rate
from cureclock.core.timeline import Air, Mark

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

NEVER = np.iinfo(np.int64).max  # an instant that is not reached as far as the clock was built
STEP_K = 0.5  # a piece spans at most so much; keeps within 1 s per day of the exact integral
STEP_PCT = 1.0
SLOWEST = 1e-12  # a rate below this counts as this, for its logarithm only


@dataclass(frozen=True)
class Clock:
    """Label age gained since the first node, piece by piece; the log of the rate is straight.

    Attributes:
        at_us: piece bounds [us], rising.
        age_us: age at the bounds, whole label microseconds, never falling.
        bend: ln(rate at the end / rate at the start) of each piece.
        rate: rate at the start of each piece.
    """

    at_us: Ints
    age_us: Ints
    bend: Floats
    rate: Floats

    def age_at(self, at_us: int | Ints) -> Ints:
        """Age [label us] at instants [us] inside the clock's span, whole microseconds."""
        at = np.asarray(at_us, dtype=np.int64)
        piece = np.clip(np.searchsorted(self.at_us, at, side="right") - 1, 0, len(self.bend) - 1)
        start, whole = self.at_us[piece], self.at_us[piece + 1] - self.at_us[piece]
        part = np.clip((at - start) / whole, 0.0, 1.0)
        share = _share_of_age(part, self.bend[piece])
        gained = np.rint(share * (self.age_us[piece + 1] - self.age_us[piece]))
        return self.age_us[piece] + gained.astype(np.int64)

    def rate_at(self, at_us: int) -> float:
        """Label time per time from an instant [us] on."""
        piece = int(np.searchsorted(self.at_us, at_us, side="right")) - 1
        return float(self.rate[min(max(piece, 0), len(self.rate) - 1)])

    def earliest(self, age_us: int | Ints) -> Ints:
        """First instant [us] at which the age is reached; NEVER if not within the span."""
        age = np.asarray(age_us, dtype=np.int64)
        bound = np.searchsorted(self.age_us, age, side="left")
        return self._instant(age, np.clip(bound - 1, 0, len(self.bend) - 1), bound)

    def latest(self, age_us: int | Ints) -> Ints:
        """Last instant [us] at which the age is not yet passed (for latest starts)."""
        age = np.asarray(age_us, dtype=np.int64)
        bound = np.searchsorted(self.age_us, age, side="right")
        found = self._instant(age, np.clip(bound - 1, 0, len(self.bend) - 1), bound)
        return np.where(age < self.age_us[0], np.iinfo(np.int64).min, found)

    def _instant(self, age: Ints, piece: Ints, bound: Ints) -> Ints:
        start_age, end_age = self.age_us[piece], self.age_us[piece + 1]
        whole = np.maximum(end_age - start_age, 1)
        share = np.clip((age - start_age) / whole, 0.0, 1.0)
        part = _part_of_time(share, self.bend[piece])
        start = self.at_us[piece]
        at = start + np.ceil(part * (self.at_us[piece + 1] - start)).astype(np.int64)
        return np.where(bound >= len(self.age_us), NEVER, at)

    def latest_start(self, ready_us: int | Ints, need_us: int | Ints) -> Ints:
        """Latest instant [us] at which a wait of a need can start and be ready at `ready_us`.

        Where the clock stands still the latest instant is taken.
        """
        return self.latest(self.age_at(ready_us) - np.asarray(need_us, dtype=np.int64))


def build_clock(air: Air, response: Response, stance: Stance = Stance.LIKELY) -> Clock:
    """The clock that a response and stance make of a place's air.

    Args:
        air: the line of air, straight between its nodes.
        response: the material's response.
        stance: which way to err.

    Returns:
        Clock with age 0 at the air's first node. Exact on straight legs for the doubling rule;
        within 1 s per day of an adaptive integrator for the others.

    Assumes: temperature and humidity are straight between nodes.
    """
    exact = response.log_linear and not (stance.sure and not response.states_rule)
    line = _refined(air, felt_damp(stance, air.rh_pct), exact)
    return _integrated(_split_at_kinks(line, response, stance), response, stance, exact)


@dataclass(frozen=True)
class _Line:
    """Nodes of the line of air, fine enough, with the assumed flag of the leg after each."""

    at: Floats
    temp: Floats
    rh: Floats
    assumed: NDArray[np.bool_]


def _refined(air: Air, rh_pct: Floats, exact: bool) -> _Line:
    """The air's legs cut into equal parts, small in temperature and humidity."""
    change = np.maximum(
        np.abs(np.diff(air.temp_c)) / STEP_K, np.nan_to_num(np.abs(np.diff(rh_pct))) / STEP_PCT
    )
    fine = np.minimum(np.ceil(change), np.diff(air.at_us))
    parts = np.maximum(fine * (not exact), 1).astype(np.int64)
    leg = np.repeat(np.arange(len(parts)), parts)
    step = (np.arange(len(leg)) - np.repeat(np.cumsum(parts) - parts, parts)) / parts[leg]

    def cut(values: Floats) -> Floats:
        inner = values[leg] + step * (values[leg + 1] - values[leg])
        return np.append(inner, values[-1])

    at = np.rint(cut(air.at_us.astype(np.float64)))
    return _Line(at, cut(air.temp_c), cut(rh_pct), air.mark[leg] == Mark.ASSUMED)


def _split_at_kinks(line: _Line, response: Response, stance: Stance) -> _Line:
    """The line with a node wherever the rate bends, jumps, or meets its cap."""
    for kink_c in response.kinks_c():
        line = _with_roots(line, line.temp - kink_c)
    if response.needs_humidity:
        line = _with_roots(line, response.air_rules(line.temp, line.rh))
    cap = fastest(stance, response)
    if np.isfinite(cap):
        rate = np.maximum(response.awake_rate(line.temp, line.rh), SLOWEST)
        line = _with_roots(line, np.log(rate) - np.log(cap))
    return line


def _with_roots(line: _Line, height: Floats) -> _Line:
    """The line with a node where `height`, straight between nodes, passes through zero."""
    before, after = height[:-1], height[1:]
    crossed = np.flatnonzero(before * after < 0)
    if not len(crossed):
        return line
    part = before[crossed] / (before[crossed] - after[crossed])

    def root(values: Floats) -> Floats:
        return values[crossed] + part * (values[crossed + 1] - values[crossed])

    at = np.rint(root(line.at))
    inside = (at > line.at[crossed]) & (at < line.at[crossed + 1])
    put = crossed[inside] + 1
    return _Line(
        np.insert(line.at, put, at[inside]),
        np.insert(line.temp, put, root(line.temp)[inside]),
        np.insert(line.rh, put, root(line.rh)[inside]),
        np.insert(line.assumed, put, line.assumed[crossed[inside]]),
    )


def _integrated(line: _Line, response: Response, stance: Stance, exact: bool) -> Clock:
    """Ages of the pieces in whole microseconds, each from its own ends alone."""
    middle = (line.temp[:-1] + line.temp[1:]) / 2
    asleep = response.asleep(middle)

    def rate(temp: Floats, rh: Floats) -> Floats:
        return stance_rate(stance, response, temp, rh, asleep=asleep, assumed=line.assumed)

    first, last = rate(line.temp[:-1], line.rh[:-1]), rate(line.temp[1:], line.rh[1:])
    bend = np.clip(np.log(np.maximum(last, SLOWEST)) - np.log(np.maximum(first, SLOWEST)), -5, 5)
    if exact:
        mean = first * _mean_growth(bend)
    else:
        mean = (first + 4 * rate(middle, (line.rh[:-1] + line.rh[1:]) / 2) + last) / 6
    gained = np.rint(mean * np.diff(line.at)).astype(np.int64)
    age = np.concatenate([np.zeros(1, np.int64), np.cumsum(gained)])
    return Clock(line.at.astype(np.int64), age, bend, first)


def _mean_growth(bend: Floats) -> Floats:
    """Mean of exp(bend x u) for u from 0 to 1: (e^bend - 1)/bend."""
    level = np.abs(bend) < 1e-9
    return np.where(level, 1 + bend / 2, np.expm1(bend) / np.where(level, 1.0, bend))


def _share_of_age(part: Floats, bend: Floats) -> Floats:
    """Share of a piece's age gained after a part of its time."""
    level = np.abs(bend) < 1e-9
    return np.where(level, part, np.expm1(bend * part) / np.where(level, 1.0, np.expm1(bend)))


def _part_of_time(share: Floats, bend: Floats) -> Floats:
    """Part of a piece's time after which a share of its age is gained."""
    level = np.abs(bend) < 1e-9
    return np.where(level, share, np.log1p(share * np.expm1(bend)) / np.where(level, 1.0, bend))
