"""The shed through the night: how it cools, how fast it was seen to, and a night redrawn."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cureclock.core.refusal import Refused, within
from cureclock.core.wood.entry import rising_us, shop_temp_c

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

HALF_GAP_H = (0.25, 72.0)  # a tent to a stone barn; our bounds. Thin metal 3-6, common practice
LONGEST_NIGHT_H = 240.0
LEAST_GAP_K = 2.0  # nearer to the outside a thermometer's half degree hides the cooling
SLOWEST_PER_H = 1e-3  # of the gap's logarithm: no shed holds its warmth for a month
SHORTEST_SPAN_H = 0.5  # readings of one night closer together say nothing


def shed_temp_c(
    start_c: ArrayLike, outside_c: ArrayLike, elapsed_h: ArrayLike, half_gap_h: ArrayLike
) -> Floats:
    """The temperature of a shed some hours after the heater went off.

    Args:
        start_c: inside when it went off [degC], -40 to 50.
        outside_c: outside, the night's low [degC], -40 to 50.
        elapsed_h: hours since [h], 0 to 240.
        half_gap_h: hours in which the gap to the outside halves [h], 0.25 to 72.

    Returns:
        Temperature inside [degC].

    Raises:
        Refused: a figure outside its range, or degrees Fahrenheit above 50.

    Valid for:
        One night, nothing else giving heat.
    Assumes:
        Even outside air; the shed as one lump.
    Source:
        Newton's law of cooling, T_out + (T0 - T_out) 0.5^(t/half).

    Example:
        >>> shed_temp_c(18, 2, [4, 8, 12], 4)
        array([10.,  6.,  4.])
    """
    start = shop_temp_c(start_c, "shed temperature")
    outside = shop_temp_c(outside_c, "outside temperature")
    elapsed = within("hours since", elapsed_h, 0, LONGEST_NIGHT_H, "h")
    half = within("half-gap time", half_gap_h, *HALF_GAP_H, "h")
    left: Floats = 0.5 ** (elapsed / half)
    return outside + (start - outside) * left


def hours_until_c(
    start_c: ArrayLike, outside_c: ArrayLike, wanted_c: ArrayLike, half_gap_h: ArrayLike
) -> Floats:
    """How long the shed stays above a temperature after the heater went off.

    Args:
        start_c: inside when it went off [degC], -40 to 50.
        outside_c: outside, the night's low [degC], -40 to 50.
        wanted_c: the temperature it must not fall below [degC], -40 to 50.
        half_gap_h: hours in which the gap to the outside halves [h], 0.25 to 72.

    Returns:
        Hours, at most 240, which also stands for "all night"; 0 where it is below already.

    Raises:
        Refused: a figure outside its range.

    Valid for:
        As `shed_temp_c`.
    Assumes:
        As `shed_temp_c`.
    Source:
        As `shed_temp_c`, solved for the time.

    Example:
        >>> print(f"{hours_until_c(18, 2, 10, 4):.1f}")
        4.0
    """
    start = shop_temp_c(start_c, "shed temperature")
    outside = shop_temp_c(outside_c, "outside temperature")
    wanted = shop_temp_c(wanted_c, "wanted temperature")
    half = within("half-gap time", half_gap_h, *HALF_GAP_H, "h")
    falls = (start > wanted) & (wanted > outside)
    first = np.where(falls, start - outside, 1.0)
    last = np.where(falls, np.maximum(wanted - outside, 1e-9), 1.0)
    hours = np.minimum(half * np.log2(np.maximum(first / last, 1.0)), LONGEST_NIGHT_H)
    return np.where(start < wanted, 0.0, np.where(falls, hours, LONGEST_NIGHT_H))


@dataclass(frozen=True)
class HalfGap:
    """A half-gap time learned from past nights.

    Attributes:
        hours: hours in which the gap to the outside halves.
        nights: how many nights said something.
        spread: middle half of those nights, as a factor (1.2: within 20 % either way).
    """

    hours: float
    nights: int
    spread: float


def learn_half_gap(
    night: ArrayLike, elapsed_h: ArrayLike, temp_c: ArrayLike, outside_c: ArrayLike
) -> HalfGap:
    """The half-gap time of a shed, from readings of nights with the heater off.

    Args:
        night: which night each reading is of, any whole number.
        elapsed_h: hours since the heater went off [h], 0 to 240.
        temp_c: readings inside [degC], -40 to 50.
        outside_c: outside in that night [degC], -40 to 50.

    Returns:
        A HalfGap: the middle (median) of the nights' own figures, so that one night with the
        door left open does not spoil it.

    Raises:
        Refused: a figure outside its range, readings that do not pair, or no night that cooled.

    Valid for:
        Nights with two readings or more, half an hour apart, 2 K or more above the outside.
    Assumes:
        As `shed_temp_c`; readings err by the same amount at any temperature.
    Source:
        Weighted least squares on the logarithm of the gap, weight gap squared, night by night.

    Example:
        >>> learned = learn_half_gap([1, 1, 1], [0, 4, 8], [18, 10, 6], 2)
        >>> round(learned.hours, 2), learned.nights
        (4.0, 1)
    """
    name = within("night", night, -1e9, 1e9)
    hours = within("hours since", elapsed_h, 0, LONGEST_NIGHT_H, "h")
    inside = shop_temp_c(temp_c, "shed temperature")
    gap = inside - shop_temp_c(outside_c, "outside temperature")
    if name.ndim != 1 or not name.shape == hours.shape == gap.shape:
        raise Refused("readings of the nights", f"{gap.size}", "a night and an hour for each")
    told = gap >= LEAST_GAP_K
    rates, spans = _cooling_rates(name[told], hours[told], gap[told])
    says = (spans >= SHORTEST_SPAN_H) & (rates > SLOWEST_PER_H)
    halves = np.log(2) / np.where(says, rates, 1.0)
    says &= (halves >= HALF_GAP_H[0]) & (halves <= HALF_GAP_H[1])
    if not says.any():
        raise Refused("readings of the nights", f"{gap.size}", "at least one night that cooled")
    low, middle, high = np.quantile(halves[says], [0.25, 0.5, 0.75])
    return HalfGap(float(middle), int(says.sum()), float(np.sqrt(high / low)))


def _cooling_rates(name: Floats, hours: Floats, gap: Floats) -> tuple[Floats, Floats]:
    """Rate of ln(gap) falling [1/h] and the span of hours, for each night."""
    nights, which = np.unique(name, return_inverse=True)
    count = len(nights)

    def total(values: Floats) -> Floats:
        return np.bincount(which, weights=values, minlength=count).astype(np.float64)

    weight = gap**2
    all_weight = total(weight)
    centre = total(weight * hours) / all_weight
    off = hours - centre[which]
    square = total(weight * off**2)
    fall = -total(weight * off * np.log(gap))
    first, last = np.full(count, np.inf), np.full(count, -np.inf)
    np.minimum.at(first, which, hours)
    np.maximum.at(last, which, hours)
    span = last - first
    return fall / np.where(span >= SHORTEST_SPAN_H, square, 1.0), span


def redraw_night(
    at_us: ArrayLike, expected_c: ArrayLike, lowest_c: float, coldest_us: int | None = None
) -> Floats:
    """A night as it must have been, from the lowest reading of a min-max thermometer.

    The expected curve is stretched so that its lowest is the entry, at its own coldest moment,
    and both ends stay where they were read.

    Args:
        at_us: moments [us], rising; the first and last are the readings around the night.
        expected_c: what was expected at them [degC], -40 to 50, ends as read.
        lowest_c: the entry [degC], -40 to 50, not above either end.
        coldest_us: where the lowest stands when the expected curve is level (within 0.1 K)
            [us]: 05:00 local; None: midway.

    Returns:
        Temperature at the moments [degC].

    Raises:
        Refused: a figure outside its range; moments that do not rise or pair; a lowest above a
            reading of the same night.

    Valid for:
        One night with one coldest moment.
    Assumes:
        The night had the shape that was expected of it.
    Source:
        Our own: straight stretch on either side of the coldest moment.

    Example:
        >>> redraw_night([0, 1, 2], [14.0, 8.0, 10.0], 5.0)
        array([14.,  5., 10.])
    """
    at = rising_us(at_us, "moments of the night")
    expected = np.atleast_1d(shop_temp_c(expected_c, "expected temperature"))
    lowest = float(shop_temp_c(lowest_c, "lowest of the night"))
    if expected.shape != at.shape or len(at) < 3:
        raise Refused("moments of the night", f"{len(at)}", "three or more, each with its air")
    ends = min(expected[0], expected[-1])
    if lowest > ends:
        raise Refused("lowest of the night", f"{lowest:g} degC", f"not above {ends:g}, as read")
    coldest = _coldest(at, expected, coldest_us)
    before = _stretched(expected, 0, coldest, lowest, at)
    after = _stretched(expected, len(at) - 1, coldest, lowest, at)
    return np.where(np.arange(len(at)) <= coldest, before, after)


def _coldest(at: Ints, expected: Floats, else_us: int | None) -> int:
    if float(np.ptp(expected)) >= 0.1:
        inner = expected[1:-1]
        return int(np.argmin(inner)) + 1
    if else_us is None:
        return len(at) // 2
    return int(np.clip(np.searchsorted(at, else_us), 1, len(at) - 2))


def _stretched(expected: Floats, end: int, coldest: int, lowest: float, at: Ints) -> Floats:
    """From the reading at one end down to the lowest; straight where nothing was expected."""
    fall = float(expected[end] - expected[coldest])
    if fall >= 0.1:
        share = (expected[end] - expected) / fall
    else:
        share = (at - at[end]) / float(at[coldest] - at[end])
    redrawn: Floats = np.maximum(expected[end] - share * (expected[end] - lowest), lowest)
    return redrawn
