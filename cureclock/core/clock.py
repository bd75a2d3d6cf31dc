"""The cure clock of one place and response: its age through time, and the way back."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cureclock.core.felt import OwnStart, felt_line
from cureclock.core.line import Line
from cureclock.core.refusal import within
from cureclock.core.response import Response
from cureclock.core.stance import Stance, fastest, felt_damp, stance_rate
from cureclock.core.timeline import Air
from cureclock.core.units import DAY_US, FURTHEST_US, HOUR_US, whole_us

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

NEVER = int(np.iinfo(np.int64).max)  # an instant that is not reached as far as the clock was built
STEP_K = 0.5  # a piece spans at most so much; keeps within 1 s per day of the exact integral
STEP_PCT = 1.0
STEP_US = HOUR_US  # where anything changes
LONGEST_NEED_US = 1000 * DAY_US
SLOWEST = 1e-12  # a rate below this counts as this, for its logarithm only
OLDEST = 2**62  # an age above it is not told apart
LEVEL = 2.0**-60  # a level piece bends so much: its part of time is its share of age, exactly
GRAIN = 1e-3  # of a microsecond: an age reached but for rounding is reached


@dataclass(frozen=True)
class Clock:
    """Label age gained since the first node, piece by piece.

    The rate of a piece is straight either in its logarithm (bend) or by itself (tilt).

    Attributes:
        at_us: piece bounds [us], rising.
        age_us: age at the bounds, whole label microseconds, never falling.
        bend: ln(rate at the end / rate at the start) of each piece, never quite 0.
        tilt: (rate at the end - at the start)/(their sum) of each piece; 0 where it bends.
        rate: rate at the start of each piece.
        day_us: what the last day of the span gains [label us], if it goes on for ever, day
            after day; 0 where it does not, or gains nothing.
    """

    at_us: Ints
    age_us: Ints
    bend: Floats
    tilt: Floats
    rate: Floats
    day_us: int = 0

    def age_at(self, at_us: ArrayLike) -> Ints:
        """Age at instants: the label time gained since the clock's first node.

        Args:
            at_us: instants [us], any shape; one outside the span counts as the nearer end,
                or as the last day repeated, up to the year 2255.

        Returns:
            Age [label us], whole microseconds, never falling with time.

        Raises:
            Refused: not a number.
        """
        asked = np.clip(whole_us("instant", at_us), -FURTHEST_US, FURTHEST_US)
        days = self._days_to(asked)
        at = np.clip(asked - days * DAY_US, self.at_us[0], self.at_us[-1])
        piece = np.searchsorted(self.at_us[1:-1], at, side="right")
        start = self.at_us[piece]
        part = (at - start) / (self.at_us[piece + 1] - start)
        begun = self.age_us[piece]
        gained = self._share_of_age(piece, part) * (self.age_us[piece + 1] - begun)
        age: Ints = begun + np.floor(gained + GRAIN).astype(np.int64)
        return age + days * self.day_us if self.day_us else age

    def _days_to(self, at_us: Ints) -> Ints:
        """How many repeats of the last day lie before instants, as far as an age can be told."""
        if not self.day_us or at_us.max(initial=-FURTHEST_US) <= self.at_us[-1]:
            return np.zeros((), np.int64)
        most = OLDEST // self.day_us
        return np.minimum(_days_beyond(at_us - self.at_us[-1], DAY_US), most)

    def rate_at(self, at_us: int) -> float:
        """Label time per time from an instant [us] on."""
        at = int(whole_us("instant", at_us))
        piece = int(np.searchsorted(self.at_us, at, side="right")) - 1
        return float(self.rate[min(max(piece, 0), len(self.rate) - 1)])

    def earliest(self, age_us: ArrayLike) -> Ints:
        """When ages are reached: the first instant, where the clock stands still.

        Args:
            age_us: ages [label us], any shape; what is below the first node's counts as its.

        Returns:
            Instants [us], at which `age_at` has the age; NEVER where it is not reached within
            the span, nor by repeating its last day.

        Raises:
            Refused: not a number.
        """
        age, days = self._folded(whole_us("age", age_us), whole=1)
        bound = np.searchsorted(self.age_us, age, side="left")
        start, after = self._passed(age, bound)
        at = start + np.ceil(after).astype(np.int64)
        return np.where(bound >= len(self.age_us), NEVER, _later(at, days))

    def latest(self, age_us: ArrayLike) -> Ints:
        """The last instants at which ages are not yet passed (for latest starts).

        Args:
            age_us: ages [label us], any shape.

        Returns:
            Instants [us]; NEVER where the age is not passed within the span, and the lowest
            64-bit number where the clock begins beyond it.

        Raises:
            Refused: not a number.
        """
        age, days = self._folded(whole_us("age", age_us), whole=0)
        bound = np.searchsorted(self.age_us, age, side="right")
        start, after = self._passed(age, bound)
        at = start + np.floor(after).astype(np.int64)
        found = np.where(bound >= len(self.age_us), NEVER, _later(at, days))
        return np.where(age < self.age_us[0], np.iinfo(np.int64).min, found)

    def _folded(self, age: Ints, whole: int) -> tuple[Ints, Ints]:
        """Ages beyond the span moved back by whole days of its last one, and by how many.

        `whole` is 1 where the end of the span itself is inside, 0 where it is not.
        """
        age = np.maximum(age, -1)  # before the clock, however far
        if not self.day_us or age.max(initial=-1) < self.age_us[-1]:
            return age, np.zeros((), np.int64)
        days = _days_beyond(age - self.age_us[-1] + 1 - whole, self.day_us)
        return age - days * self.day_us, days

    def _passed(self, age: Ints, bound: Ints) -> tuple[Ints, Floats]:
        """The piece's start and how long after it ages are passed [us], to a thousandth.

        Told apart because a float of an instant since 1970 holds no part of a microsecond.
        `bound` is the first bound at or beyond each age.
        """
        piece = np.clip(bound - 1, 0, len(self.bend) - 1)
        begun = self.age_us[piece]
        whole = self.age_us[piece + 1] - begun
        share = np.clip(age - begun, 0, whole) / np.maximum(whole, 1)
        start = self.at_us[piece]
        return start, self._part_of_time(piece, share) * (self.at_us[piece + 1] - start)

    @cached_property
    def _growth(self) -> Floats:
        """(Rate at the end / at the start) less 1 of each piece that bends."""
        return np.expm1(self.bend)

    @cached_property
    def _tilts(self) -> bool:
        """Whether any piece tilts; else half the arithmetic can be left out."""
        return bool(self.tilt.any())

    def _share_of_age(self, piece: Ints, part: Floats) -> Floats:
        """Share of a piece's age gained after a part of its time."""
        bend, tilt = self.bend[piece], self.tilt[piece]
        if not self._tilts:
            return np.expm1(bend * part) / self._growth[piece]
        tilted = part * (1 - tilt * (1 - part))
        return np.where(tilt == 0, np.expm1(bend * part) / self._growth[piece], tilted)

    def _part_of_time(self, piece: Ints, share: Floats) -> Floats:
        """Part of a piece's time after which a share of its age is gained."""
        bent: Floats = np.log1p(share * self._growth[piece]) / self.bend[piece]
        if not self._tilts:
            return bent
        tilt = self.tilt[piece]
        slow = 1 - tilt
        root = slow + np.sqrt(slow**2 + 4 * tilt * share)
        tilted = np.divide(2 * share, root, out=np.zeros(share.shape), where=root > 0)
        return np.where(tilt == 0, bent, tilted)

    def latest_start(self, ready_us: ArrayLike, need_us: ArrayLike) -> Ints:
        """The latest start of a wait that has to be ready by an instant.

        Args:
            ready_us: when it has to be ready [us], inside the clock's span.
            need_us: what it needs [label us], 0 to 1000 days.

        Returns:
            Instants [us], not after `ready_us`. Where the clock stands still the latest is taken;
            the lowest 64-bit number where it had to start before the clock does.

        Raises:
            Refused: a need outside its range, or not a number.
        """
        ready, need = whole_us("instant", ready_us), whole_us("need", need_us)
        within("need", need / DAY_US, 0, LONGEST_NEED_US / DAY_US, "days")
        return np.minimum(self.latest(self.age_at(ready) - need), ready)


def build_clock(
    air: Air,
    response: Response,
    stance: Stance = Stance.LIKELY,
    lag_us: int = 0,
    own: OwnStart | None = None,
) -> Clock:
    """The clock that a response and stance make of a place's air.

    Args:
        air: the line of air, straight between its nodes. With a lag it has to reach eight time
            constants back from the first instant asked.
        response: the material's response.
        stance: which way to err. Lower limits that act count the colder of air and wood, upper
            ones the warmer, the bare figure air alone.
        lag_us: time constant of the wood behind the air [us], 0 or 1 minute to 2 days.
        own: the wood's own temperature, where it was carried in.

    Returns:
        Clock with age 0 at the air's first node. Exact on straight legs for the doubling rule;
        within 1 s per day of an adaptive integrator for the others. The age of a leg depends on
        that leg alone, and with a lag on the eight time constants before it.

    Raises:
        Refused: the lag outside its range.

    Valid for:
        Air of -40 to 120 degC.
    Assumes:
        Temperature and humidity are straight between nodes.
    Source:
        Equivalent age, the integral of a rate; ASTM C1074 uses it for concrete.

    Example:
        >>> from cureclock.core.response import Kind
        >>> hours = np.array([0, 2, 4]) * 3_600_000_000
        >>> cold = Air(hours, np.array([20.0, 10.0, 10.0]), np.full(3, 50.0), np.zeros(2))
        >>> clock = build_clock(cold, Response(Kind.DOUBLING))
        >>> (clock.age_at(hours) / 3.6e9).round(3).tolist()
        [0.0, 1.443, 2.443]
    """
    damp = felt_damp(stance, response, air.rh_pct)
    lag = 0 if stance == Stance.LIKELY else lag_us
    line = felt_line(air, damp, lag_us=lag, own=own, warmer=stance == Stance.QUICK)
    reading = _Reading(response, stance)
    clock = reading.integrated(reading.fine(reading.split_at_kinks(line)))
    day_before = clock.age_at(clock.at_us[-1] - DAY_US)
    return replace(clock, day_us=int(clock.age_us[-1] - day_before)) if air.repeats else clock


@dataclass(frozen=True)
class _Reading:
    """A response as one stance reads it, over a line."""

    response: Response
    stance: Stance

    def split_at_kinks(self, line: Line) -> Line:
        """The line with a bound at every temperature at which the rate bends or jumps."""
        cap = fastest(self.stance, self.response)
        met_c = self.response.reaches_c(cap) if np.isfinite(cap) else None
        for kink_c in (*self.response.kinks_c(), met_c):
            line = line if kink_c is None else line.split_at_c(kink_c)
        return line

    def fine(self, line: Line) -> Line:
        """The line in pieces short enough for their rate, one rule to a piece."""
        line = line.cut(np.where(self.is_exact(line), 1, _parts(line)))
        if self.response.needs_humidity:
            line = line.split_where(*_at_ends(self.response.which_rule, line))
        cap = fastest(self.stance, self.response)
        if np.isfinite(cap) and not self.response.log_linear:
            first, last = _at_ends(self.response.awake_rate, line)
            line = line.split_where(*np.log(np.maximum([first, last], SLOWEST)) - np.log(cap))
        return line

    def is_exact(self, line: Line) -> Bools:
        """Pieces over which the logarithm of the rate is straight."""
        doubted = self.stance.sure and self.response.doubtful
        straight: Bools = line.bow_k == 0
        return straight & (self.response.log_linear and not doubted)

    def integrated(self, line: Line) -> Clock:
        """Ages of the pieces in whole microseconds, each from itself alone."""
        asleep = self.response.asleep(line.middle_c)

        def rate(temp: Floats, rh: Floats) -> Floats:
            return stance_rate(
                self.stance, self.response, temp, rh, asleep=asleep, assumed=line.assumed
            )

        first, last = _at_ends(rate, line)
        middle = rate(line.middle_c, line.middle_rh_pct)
        exact = self.is_exact(line)
        logs = np.log(np.maximum([first, last], SLOWEST))
        bend = np.where(exact, logs[1] - logs[0], LEVEL)
        bend = np.where(np.abs(bend) < LEVEL, LEVEL, bend)
        both = first + last
        tilt = np.divide(last - first, both, out=np.zeros(len(line)), where=~exact & (both > 0))
        mean = np.where(exact, first * np.expm1(bend) / bend, (both + 4 * middle) / 6)
        gained = np.rint(mean * np.diff(line.at_us)).astype(np.int64)
        age = np.concatenate([np.zeros(1, np.int64), np.cumsum(gained)])
        return Clock(line.at_us, age, bend, tilt, first)


def _days_beyond(beyond: Ints, day: int) -> Ints:
    """How many whole days something beyond an end is moved back to lie before it."""
    return np.maximum(-(-beyond // day), 0)


def _later(at: Ints, days: Ints) -> Ints:
    """Instants so many days on; NEVER beyond the year 2255."""
    if not days.any():
        return at
    within_reach = days <= (FURTHEST_US - at) // DAY_US
    return np.where(within_reach, at + np.where(within_reach, days, 0) * DAY_US, NEVER)


def _at_ends(height: Callable[[Floats, Floats], Floats], line: Line) -> tuple[Floats, Floats]:
    """A function of temperature and humidity at the two ends of each piece."""
    return height(line.from_c, line.from_rh_pct), height(line.to_c, line.to_rh_pct)


def _parts(line: Line) -> Ints:
    """Into how many parts a piece is cut so that each is small in warmth, damp and time."""
    warmth = np.maximum(np.abs(line.to_c - line.from_c), np.abs(line.bow_k)) / STEP_K
    damp = np.nan_to_num(np.abs(line.to_rh_pct - line.from_rh_pct)) / STEP_PCT
    change = np.maximum(warmth, damp)
    hours = np.where(change > 0, np.diff(line.at_us) / STEP_US, 0.0)
    return np.ceil(np.maximum(np.maximum(change, hours), 1)).astype(np.int64)
