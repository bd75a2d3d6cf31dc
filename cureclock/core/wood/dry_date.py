"""The date a drying lot is ready, with a range, and when to meter it again."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cureclock.core.refusal import within
from cureclock.core.wood.drying import METER_POINTS, NEVER_DAYS, DryingFit

Floats = NDArray[np.float64]

CENTRES = np.array([-(3**0.5), 0.0, 3**0.5])  # Gauss-Hermite, three points, for the first gap
CENTRE_WEIGHTS = np.array([1.0, 4.0, 1.0]) / 6
NEXT_POINTS = 2 * METER_POINTS  # a smaller fall than this drowns in the meter's error
NEXT_AT_LEAST_D, NEXT_AT_MOST_D = 1.0, 28.0  # common practice, no source


@dataclass(frozen=True)
class DryForecast:
    """When a lot is dry enough, counted from day 0 of its readings.

    Attributes:
        days: by the best fit [d].
        earliest_days, latest_days: one chance in ten that it is sooner, or later [d].
        never: this place does not get it there, however long; the days are then 36 525.
    """

    days: Floats
    earliest_days: Floats
    latest_days: Floats
    never: NDArray[np.bool_]


def forecast_dry(fit: DryingFit, target_pct: ArrayLike) -> DryForecast:
    """The day a lot reaches a wanted moisture, with a range, or never in this place.

    Args:
        fit: from `fit_drying`.
        target_pct: wanted moisture [%], 1 to 60.

    Returns:
        A DryForecast. It is never where the wanted moisture is not above the place's own.

    Raises:
        Refused: the target outside its range.

    Valid for:
        As `fit_drying`. A rule of thumb (one year per 25 mm) never overrules a reading.
    Assumes:
        The air stays as it was. The range covers meter error only.
    Source:
        ln(gap now / gap wanted)/kappa over the rates that fit, weighted by how well they do.

    Example:
        >>> from cureclock.core.wood.drying import fit_drying
        >>> fit = fit_drying([0, 60], [24, 18], 12)
        >>> [round(float(forecast_dry(fit, target).days)) for target in (15, 14, 13)]
        [120, 155, 215]
        >>> bool(forecast_dry(fit, 12).never)
        True
    """
    target = within("wanted moisture", target_pct, 1, 60, "%")
    wanted = target - fit.emc_pct
    never = wanted <= 0
    gap = np.where(never, 1.0, wanted)
    days = _days_to(fit.start_pct - fit.emc_pct, gap, fit.kappa_per_day)
    spread = fit.gap_points[..., None] + fit.gap_error[..., None] * CENTRES
    kappa = fit.grid_per_day[:, None]
    tried = _days_to(spread, gap[..., None, None], kappa)
    share = fit.weight[..., None] * CENTRE_WEIGHTS
    flat = (*tried.shape[:-2], -1)
    low, high = _quantiles(tried.reshape(flat), np.broadcast_to(share, tried.shape).reshape(flat))
    return DryForecast(
        days=np.where(never, NEVER_DAYS, days),
        earliest_days=np.where(never, NEVER_DAYS, np.minimum(low, days)),
        latest_days=np.where(never, NEVER_DAYS, np.maximum(high, days)),
        never=np.broadcast_to(never, days.shape),
    )


def _days_to(first_gap: Floats, gap: Floats, kappa: Floats) -> Floats:
    ratio = np.maximum(first_gap, gap) / gap
    return np.minimum(np.log(ratio) / kappa, NEVER_DAYS)


def _quantiles(values: Floats, share: Floats) -> tuple[Floats, Floats]:
    """Values with one tenth of the weight below, and above, on the last axis."""
    order = np.argsort(values, axis=-1)
    sorted_values = np.take_along_axis(values, order, axis=-1)
    summed = np.cumsum(np.take_along_axis(share, order, axis=-1), axis=-1)
    at_low = np.argmax(summed >= 0.1, axis=-1)
    at_high = np.argmax(summed >= 0.9, axis=-1)
    return (
        np.take_along_axis(sorted_values, at_low[..., None], axis=-1)[..., 0],
        np.take_along_axis(sorted_values, at_high[..., None], axis=-1)[..., 0],
    )


def next_meter_day(fit: DryingFit, target_pct: ArrayLike) -> Floats:
    """The day on which metering a lot again is worth the walk.

    Args:
        fit: from `fit_drying`.
        target_pct: wanted moisture [%], 1 to 60.

    Returns:
        Day [d], counted as in the readings: when the wood should have fallen by 2 points (twice
        the meter's error), but not after the earliest day it may be dry, and 1 to 28 days after
        the last reading.

    Raises:
        Refused: the target outside its range.

    Valid for:
        As `fit_drying`.
    Assumes:
        A smaller fall than twice the meter's error says nothing.
    Source:
        Common practice, no source.

    Example:
        >>> from cureclock.core.wood.drying import fit_drying
        >>> print(f"{next_meter_day(fit_drying([0, 60], [24, 18], 12), 15):.0f}")
        88
    """
    forecast = forecast_dry(fit, target_pct)
    gap_now = (fit.start_pct - fit.emc_pct) * np.exp(-fit.kappa_per_day * fit.last_day)
    falls = gap_now > NEXT_POINTS
    share_left = np.where(falls, 1 - NEXT_POINTS / np.where(falls, gap_now, 1.0), 1.0)
    fallen = np.where(falls, -np.log(share_left) / fit.kappa_per_day, NEXT_AT_MOST_D)
    wait = np.minimum(fallen, np.maximum(forecast.earliest_days - fit.last_day, 0.0))
    day: Floats = fit.last_day + np.clip(wait, NEXT_AT_LEAST_D, NEXT_AT_MOST_D)
    return day
