"""Drying by the scale: losses that shrink by a ratio, and the weight a turned blank settles at."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cureclock.core.refusal import Refused, within

Floats = NDArray[np.float64]

RATIOS = (0.05, 0.995)  # one week's loss beside the last; outside, weights say nothing
GRID = 190  # steps of 0.005
ZOOMS, ZOOM_POINTS = 3, 21
LONGEST_WEEKS = 520.0
SHORTEST_WEEKS = 0.1  # between weighings; less shows the scale, not the wood; our choice


@dataclass(frozen=True)
class Settling:
    """What weighing says of a blank.

    Attributes:
        ratio: loss of one week beside that of the week before [-].
        settles_g: weight it comes to in this place [g].
        to_come_g: loss still to come after the last weighing [g].
        last_week: week of the last weighing.
    """

    ratio: Floats
    settles_g: Floats
    to_come_g: Floats
    last_week: Floats


def settle(weights_g: ArrayLike, weeks: ArrayLike | None = None) -> Settling:
    """The weight a drying blank settles at, from three weighings or more.

    Args:
        weights_g: weights in the order they were taken [g], 1 to 1e6, on the last axis.
        weeks: week of each weighing [weeks], 0 to 520, at least 0.1 apart; None: one
            week apart.

    Returns:
        A Settling.

    Raises:
        Refused: a figure outside its range; fewer than three weighings; weights whose losses
            do not shrink (weigh again next week).

    Valid for:
        One blank in one place; below about 30 % moisture losses shrink by an even ratio.
    Assumes:
        w = w_end + a r^t, all weighings equally good.
    Source:
        Geometric series of losses, common practice of turners, no source; least squares.

    Example:
        >>> bowl = settle([1840, 1712, 1622, 1559, 1515])
        >>> print(f"{bowl.ratio:.2f} {bowl.settles_g:.0f} g")
        0.70 1411 g
    """
    weight = np.atleast_1d(within("weight", weights_g, 1, 1e6, "g"))
    count = weight.shape[-1]
    when = within("weeks", np.arange(count) if weeks is None else weeks, 0, LONGEST_WEEKS)
    if count < 3 or when.shape[-1:] != (count,) or np.any(np.diff(when, axis=-1) < SHORTEST_WEEKS):
        raise Refused(
            "weighings", f"{count}", "three or more, each at least 0.1 weeks after the one before"
        )
    when, weight = np.broadcast_arrays(when, weight)
    since = when - when[..., :1]
    ratio = _best_ratio(since, weight)
    end, drop, _ = _fitted(ratio[..., None], since, weight)
    to_come = (drop * ratio[..., None] ** since[..., -1:])[..., 0]
    _refuse_unsettled(ratio, end[..., 0], to_come)
    return Settling(ratio, end[..., 0], to_come, when[..., -1])


def _best_ratio(since: Floats, weight: Floats) -> Floats:
    grid = np.linspace(*RATIOS, num=GRID)
    tried = np.broadcast_to(grid, (*weight.shape[:-1], GRID))
    step = float(grid[1] - grid[0])
    best: Floats = grid[np.argmin(_fitted(tried, since, weight)[2], axis=-1)]
    span = np.linspace(-1.0, 1.0, ZOOM_POINTS)
    for _ in range(ZOOMS):
        tried = np.clip(best[..., None] + step * span, *RATIOS)
        at = np.argmin(_fitted(tried, since, weight)[2], axis=-1)
        best = np.take_along_axis(tried, at[..., None], axis=-1)[..., 0]
        step = step * 2 / (ZOOM_POINTS - 1)
    return best


def _fitted(ratio: Floats, since: Floats, weight: Floats) -> tuple[Floats, Floats, Floats]:
    """End weight, first gap and misfit for ratios on the last axis, by straight-line fit."""
    shape = ratio[..., None] ** since[..., None, :]
    centred = shape - shape.mean(axis=-1, keepdims=True)
    mean = weight.mean(axis=-1)[..., None]
    off = weight[..., None, :] - mean[..., None]
    drop = (centred * off).sum(axis=-1) / (centred**2).sum(axis=-1)
    misfit = ((off - drop[..., None] * centred) ** 2).sum(axis=-1)
    return mean - drop * shape.mean(axis=-1), drop, misfit


def _refuse_unsettled(ratio: Floats, end_g: Floats, to_come_g: Floats) -> None:
    shrinks = (ratio > RATIOS[0] + 1e-6) & (ratio < RATIOS[1] - 1e-6)
    if not np.all(shrinks & (end_g > 0) & (to_come_g > 0)):
        raise Refused(
            "weights", "as given", "losses that shrink from each weighing to the next; weigh on"
        )


def weeks_until_within(settling: Settling, within_g: ArrayLike) -> Floats:
    """Weeks from the first weighing until only a given weight is left to lose.

    Args:
        settling: from `settle`.
        within_g: weight left to lose that is near enough [g], 0.1 to 1e5.

    Returns:
        Weeks, counted as in the weighings; never before the last one, at most 520 after it.

    Raises:
        Refused: the weight outside its range.

    Valid for:
        As `settle`.
    Assumes:
        As `settle`.
    Source:
        ln(weight wanted / weight to come)/ln(ratio).

    Example:
        >>> bowl = settle([1840, 1712, 1622, 1559, 1515])
        >>> print(f"{weeks_until_within(bowl, 12.5):.0f}")
        10
    """
    left = within("weight left to lose", within_g, 0.1, 1e5, "g")
    share = np.minimum(left / np.maximum(settling.to_come_g, 1e-9), 1.0)
    after = np.minimum(np.log(share) / np.log(settling.ratio), LONGEST_WEEKS)
    return settling.last_week + after
