"""What the glue line feels where wood lags the air: the colder of the two, or the warmer."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from cureclock.core.line import Line
from cureclock.core.rates import COLDEST_C, WARMEST_C
from cureclock.core.refusal import within
from cureclock.core.timeline import Air
from cureclock.core.units import DAY_US, HOUR_US, whole_us

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

REACH = 8  # time constants after which wood has forgotten: e^-8 is a third of a thousandth
ROUND_C = 3  # decimals of a degree, so that wood's temperature is the same whoever asks
LONGEST_LAG_US = 2 * DAY_US
PARTS = 12  # of the first eight time constants of a leg; a part is then bowed within a millikelvin
_GRAIN = 1e10  # whole parts of a kelvin that windows are summed in: exact, so in any order alike


@dataclass(frozen=True)
class OwnStart:
    """Wood carried in from elsewhere: its own temperature when it came.

    Args:
        at_us: when it came into this air [us].
        temp_c: its temperature then [degC], -40 to 120.

    Raises:
        Refused: naming the field.

    Source:
        A thermometer in a drilled scrap, or the place it came from; common practice.

    Example:
        >>> OwnStart(0, 5.0).temp_c
        5.0
    """

    at_us: int
    temp_c: float

    def __post_init__(self) -> None:
        whole_us("moment of coming in", self.at_us)
        within("temperature of the wood", self.temp_c, COLDEST_C, WARMEST_C, "degC")


def wood_temp_c(air: Air, lag_us: int, own: OwnStart | None = None) -> Floats:
    """The temperature of lagging wood at the nodes of a line of air.

    Args:
        air: the line of air; it has to reach eight time constants back from what is asked. Before
            its first node that value held.
        lag_us: time constant of the wood [us], 0 to 2 days.
        own: its own temperature, where it was carried in.

    Returns:
        Temperature at each node [degC], to a millikelvin: a function of the last eight time
        constants before the node alone, whatever span the air covers.

    Raises:
        Refused: the lag outside its range.

    Valid for:
        The middle of a board between even faces; see `wood.lag` for its time constant.
    Assumes:
        First-order lag; eight time constants ago the wood was as warm as the air.
    Source:
        One-term solution of the slab; Wood Handbook formulae for its constants.

    Example:
        >>> step = Air(np.array([0, 1, 10]) * 3_600_000_000, np.array([6.0, 18.0, 18.0]),
        ...            np.full(3, np.nan), np.zeros(2))
        >>> wood_temp_c(step, 3_600_000_000).tolist()
        [6.0, 10.415, 18.0]
    """
    lag = checked_lag(lag_us)
    if lag == 0:
        return air.temp_c.copy()
    sums = _WindowSums.of(air, lag)
    return sums.wood(air.at_us, own).round(ROUND_C)


def wood_at_c(air: Air, at_us: int, lag_us: int, own: OwnStart | None = None) -> float:
    """The temperature of lagging wood at one instant.

    Args:
        air: the line of air, as for `wood_temp_c`.
        at_us: the instant [us].
        lag_us: time constant of the wood [us], 0 to 2 days.
        own: its own temperature, where it was carried in.

    Returns:
        Temperature [degC], to a millikelvin.

    Raises:
        Refused: the lag outside its range, or no whole instant.

    Valid for:
        As `wood_temp_c`.
    Assumes:
        As `wood_temp_c`; beyond the ends of the line its end values hold.
    Source:
        As `wood_temp_c`.

    Example:
        >>> step = Air(np.array([0, 1, 10]) * 3_600_000_000, np.array([6.0, 18.0, 18.0]),
        ...            np.full(3, np.nan), np.zeros(2))
        >>> wood_at_c(step, 2 * 3_600_000_000, 3_600_000_000)
        15.209
    """
    asked = int(np.clip(whole_us("instant", at_us), air.at_us[0], air.at_us[-1]))
    line, _ = _with_node(air, air.rh_pct, asked)
    found = wood_temp_c(line, lag_us, own)
    return float(found[np.searchsorted(line.at_us, asked)])


def checked_lag(lag_us: int) -> int:
    """Return a time constant in whole microseconds, or refuse it.

    Args:
        lag_us: time constant [us], 0 (none) or one minute to 2 days.

    Returns:
        The same.

    Raises:
        Refused: outside the range.

    Source:
        Our own guard.

    Example:
        >>> checked_lag(0)
        0
    """
    lag = int(whole_us("lag of the wood", lag_us))
    if lag:
        within("lag of the wood", lag / HOUR_US, 1 / 60, LONGEST_LAG_US / HOUR_US, "h")
    return lag


@dataclass(frozen=True)
class _WindowSums:
    """Sums of air weighted by exp(t/lag), in whole grains from the start of each block of time.

    A block is eight time constants long and begins at a whole multiple of its length since
    1970, so that a sum depends on no span. Whole grains add up alike in any order.
    """

    block: int
    lag: int
    at: Ints  # bounds of the sub-legs: nodes of the air and starts of blocks
    temp: Floats
    total: Ints  # grains up to each bound

    @classmethod
    def of(cls, air: Air, lag: int) -> "_WindowSums":
        block = REACH * lag
        first = (air.at_us[0] // block - 1) * block
        starts = np.arange(first, air.at_us[-1], block, dtype=np.int64)
        at = np.unique(np.concatenate([starts, air.at_us]))
        temp = np.interp(at, air.at_us, air.temp_c)
        sums = cls(block, lag, at, temp, np.zeros(len(at), np.int64))
        sub_leg = np.arange(len(at) - 1)
        grains = sums._grains(sub_leg, at[1:], temp[1:])
        sums.total[1:] = np.cumsum(grains)
        return sums

    def _grains(self, sub_leg: Ints, to_us: Ints, to_c: Floats) -> Ints:
        """Grains of a sub-leg from its start to an instant in it."""
        begun = self.at[sub_leg]
        base = begun // self.block * self.block
        x = (to_us - begun) / self.lag
        mean = np.divide(-np.expm1(-x), x, out=np.ones_like(x), where=x > 0)
        felt = self.temp[sub_leg] * (mean - np.exp(-x)) + to_c * (1 - mean)
        grains: Ints = np.rint(felt * np.exp((to_us - base) / self.lag) * _GRAIN).astype(np.int64)
        return grains

    def wood(self, at_us: Ints, own: OwnStart | None) -> Floats:
        """Temperature of the wood at nodes [degC], not yet rounded."""
        since = at_us - self.block
        start_c = self._air(since)
        if own is not None:
            in_it = (at_us >= own.at_us) & (since < own.at_us)
            since = np.where(in_it, own.at_us, since)
            start_c = np.where(in_it, own.temp_c, start_c)
        here = at_us // self.block * self.block
        before = here - self.block
        split = np.minimum(np.maximum(since, here), at_us)
        now = (self._upto(at_us) - self._upto(split)) * np.exp((here - at_us) / self.lag)
        earlier = self._upto(np.maximum(here, since)) - self._upto(since)
        earlier = np.where(since < here, earlier, 0) * np.exp((before - at_us) / self.lag)
        kept: Floats = start_c * np.exp((since - at_us) / self.lag)
        return kept + (now + earlier) / _GRAIN

    def _air(self, at_us: Ints) -> Floats:
        return np.asarray(np.interp(at_us, self.at, self.temp))

    def _upto(self, at_us: Ints) -> Ints:
        """Grains up to instants; differences within one block are what counts."""
        sub_leg = np.clip(np.searchsorted(self.at, at_us, side="right") - 1, 0, len(self.at) - 2)
        return self.total[sub_leg] + self._grains(sub_leg, at_us, self._air(at_us))


def felt_line(
    air: Air,
    rh_pct: Floats,
    *,
    lag_us: int = 0,
    own: OwnStart | None = None,
    warmer: bool = False,
) -> Line:
    """The line that a glue line feels: the colder of air and wood, or the warmer.

    Args:
        air: the line of air.
        rh_pct: humidity at its nodes as it counts [%].
        lag_us: time constant of the wood [us], 0 (no lag: air itself) or 1 minute to 2 days.
        own: the wood's own temperature, where it was carried in.
        warmer: count the warmer of the two (for limits that close).

    Returns:
        Line, its pieces bowed where wood rules. Wood within a leg goes on from its rounded
        temperature at the leg's start.

    Raises:
        Refused: the lag outside its range.

    Valid for:
        As `wood_temp_c`.
    Assumes:
        As `wood_temp_c`.
    Source:
        Falling air counts as air and rising air as wood: common practice, the safe side.

    Example:
        >>> level = Air(np.array([0, 9]), np.array([9.0, 9.0]), np.full(2, np.nan), np.zeros(1))
        >>> felt_line(level, level.rh_pct).to_c
        array([9.])
    """
    lag = checked_lag(lag_us)
    if lag == 0:
        return Line.of(air, rh_pct)
    line, damp = air, rh_pct
    if own is not None:
        line, damp = _with_node(air, rh_pct, own.at_us)
    apart = _Apart.of(line, wood_temp_c(line, lag, own), lag, -1.0 if warmer else 1.0)
    return apart.line(line, damp)


def _with_node(air: Air, rh_pct: Floats, at_us: int) -> tuple[Air, Floats]:
    """The same air with a node at an instant inside it."""
    if not air.at_us[0] < at_us < air.at_us[-1] or at_us in air.at_us:
        return air, rh_pct
    put = int(np.searchsorted(air.at_us, at_us))
    share = (at_us - air.at_us[put - 1]) / (air.at_us[put] - air.at_us[put - 1])

    def put_in(values: Floats) -> Floats:
        return np.insert(values, put, values[put - 1] + share * (values[put] - values[put - 1]))

    at = np.insert(air.at_us, put, at_us)
    mark = np.insert(air.mark, put, air.mark[put - 1])
    split = replace(air, at_us=at, temp_c=put_in(air.temp_c), rh_pct=put_in(air.rh_pct), mark=mark)
    return split, put_in(rh_pct)


@dataclass(frozen=True)
class _Apart:
    """How far wood stands from the air along each leg, counted positive on the safe side.

    On a leg u time constants in: apart(u) = start e^-u - (rise/span) (1 - e^-u).
    """

    start_k: Floats  # wood less air at the leg's start
    rise_k: Floats  # of the air over the leg
    span: Floats  # the leg's length in time constants
    sign: float

    @classmethod
    def of(cls, air: Air, wood_c: Floats, lag: int, sign: float) -> "_Apart":
        return cls((wood_c - air.temp_c)[:-1], np.diff(air.temp_c), np.diff(air.at_us) / lag, sign)

    def at(self, leg: Ints, u: Floats) -> Floats:
        """Wood less air [K]."""
        gone: Floats = -np.expm1(-u)
        return self.start_k[leg] * (1 - gone) - self.rise_k[leg] / self.span[leg] * gone

    def line(self, air: Air, rh_pct: Floats) -> Line:
        """The legs in parts, each ruled by air or by wood."""
        at = self._bounds(air)
        leg = np.searchsorted(air.at_us, at[:-1], side="right") - 1
        begun, whole = air.at_us[leg], np.diff(air.at_us)[leg]
        share = np.array([at[:-1] - begun, (at[:-1] + at[1:]) / 2 - begun, at[1:] - begun]) / whole
        apart = self.at(leg, share * self.span[leg]) * self.sign
        rules = apart[1] < 0
        off = np.where(rules, np.minimum(apart, 0.0), 0.0) * self.sign
        felt = air.temp_c[leg] + share * self.rise_k[leg] + off
        bow = np.where(rules, off[1] - (off[0] + off[2]) / 2, 0.0)
        return Line.in_legs(air, rh_pct, at, (felt[0], bow, felt[2]))

    def _bounds(self, air: Air) -> Ints:
        """Where one part ends and the next begins: nodes, crossings, and the bows' own parts."""
        every = np.arange(len(self.span))
        ends = np.array([self.start_k, self.at(every, self.span)]) * self.sign
        bowed, passed = every[(ends < 0).any(axis=0)], every[ends[0] * ends[1] < 0]
        leg, u = self._parts(bowed)
        with np.errstate(over="ignore"):  # a rise next to nothing is met at the leg's end
            meet = np.log1p(self.start_k[passed] * self.span[passed] / self.rise_k[passed])
        inner, u = np.concatenate([leg, passed]), np.concatenate([u, meet])
        share = np.clip(u / self.span[inner], 0, 1)
        width = air.at_us[inner + 1] - air.at_us[inner]
        cuts = air.at_us[inner] + np.rint(share * width).astype(np.int64)
        return np.unique(np.concatenate([air.at_us, cuts]))

    def _parts(self, leg: Ints) -> tuple[Ints, Floats]:
        """Inner bounds of legs that bow, in time constants, closer where they bow more."""
        length = np.minimum(self.span[leg], REACH)
        bends = -np.expm1(-length / 3)
        count = np.ceil(PARTS * bends / -np.expm1(-REACH / 3)).astype(np.int64)
        number = np.repeat(np.arange(len(leg)), count)
        step = 1 + np.arange(len(number)) - np.repeat(np.cumsum(count) - count, count)
        return leg[number], -3 * np.log1p(-step / count[number] * bends[number])
