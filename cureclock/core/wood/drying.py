"""Drying stock: the drying law, and its rate fitted to meter readings."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cureclock.core.refusal import Refused, within
from cureclock.core.wood.air_drying import KappaPrior

Floats = NDArray[np.float64]

METER_POINTS = 1.0  # Wood Handbook (2010) ch. 13: a lot's average is within 1 % of true
SLOWEST_PER_DAY, FASTEST_PER_DAY = 1e-4, 2.0  # halving in 19 years, in 8 hours; our bounds
GRID = 481  # steps of 2 % in kappa over those bounds
TINY = 1e-30  # keeps a sum of squares from vanishing when everything has shrunk away
MOST_GAP = 1000.0  # points; no wood is wetter
ZOOMS, ZOOM_POINTS = 3, 41  # each zoom narrows the grid twentyfold
NEVER_DAYS = 36_525.0  # a hundred years stands for never, with the flag beside it


def moisture_after_pct(
    days: ArrayLike, start_pct: ArrayLike, emc_pct: ArrayLike, kappa_per_day: ArrayLike
) -> Floats:
    """The moisture of a board after some days in an air.

    Args:
        days: days since the start [d], 0 to 36 525.
        start_pct: moisture at the start [%], 0 to 250.
        emc_pct: moisture this air leads to [%], 0 to 30.
        kappa_per_day: drying rate [1/d], 0.0001 to 2. It halves the gap in ln 2/kappa.

    Returns:
        Moisture content [%].

    Raises:
        Refused: a figure outside its range.

    Valid for:
        One board or lot in one place whose air keeps its yearly mean.
    Assumes:
        dM/dt = -kappa (M - EMC): the gap shrinks by the same share each day. True boards
        start faster when very wet.
    Source:
        Method background: Simpson and Hart, Forest Products Journal 51 (2001).

    Example:
        >>> print(f"{moisture_after_pct(120, 24, 12, 0.011552):.1f}")
        15.0
    """
    when = within("days", days, 0, NEVER_DAYS, "d")
    start = within("moisture at the start", start_pct, 0, 250, "%")
    emc = within("equilibrium moisture", emc_pct, 0, 30, "%")
    kappa = within("drying rate", kappa_per_day, SLOWEST_PER_DAY, FASTEST_PER_DAY, "per day")
    return emc + (start - emc) * np.exp(-kappa * when)


@dataclass(frozen=True)
class DryingFit:
    """What the readings say of a lot: the best rate, and how far others fit as well.

    Attributes (leading axes are lots):
        kappa_per_day: best drying rate [1/d].
        start_pct: moisture at day 0 by the best fit [%].
        emc_pct: moisture the place leads to [%].
        last_day: day of the last reading [d].
        grid_per_day: rates tried [1/d].
        gap_points: start less EMC that fits each rate best [points], grid on the last axis.
        gap_error: standard error of that [points].
        weight: how well each rate fits, summing to 1 over the grid.
    """

    kappa_per_day: Floats
    start_pct: Floats
    emc_pct: Floats
    last_day: Floats
    grid_per_day: Floats
    gap_points: Floats
    gap_error: Floats
    weight: Floats

    @property
    def halving_days(self) -> Floats:
        """Days in which the gap to the place's own moisture halves."""
        days: Floats = np.log(2) / self.kappa_per_day
        return days


def fit_drying(
    days: ArrayLike,
    mc_pct: ArrayLike,
    emc_pct: ArrayLike,
    *,
    error_points: ArrayLike = METER_POINTS,
    prior: KappaPrior | None = None,
) -> DryingFit:
    """Fit the drying law to a lot's meter readings.

    Args:
        days: day of each reading [d], 0 to 36 525, readings on the last axis.
        mc_pct: the readings, corrected for temperature [%], 0 to 250.
        emc_pct: moisture the place leads to [%], 1 to 30; see `moisture.emc_pct`.
        error_points: standard error of one reading [points], 0.1 to 10. Default 1, Wood
            Handbook (2010) ch. 13.
        prior: rate to expect of this wood before any reading; needed with fewer than two days.

    Returns:
        A DryingFit.

    Raises:
        Refused: a figure outside its range; days and readings that do not pair; fewer than two
            different days and no prior.

    Valid for:
        One or more readings of one lot in one place. Move it and the fit starts anew.
    Assumes:
        Readings err independently; the place's EMC is known and steady.
    Source:
        Weighted least squares, the first gap solved for each rate; rates on a grid.

    Example:
        >>> fit = fit_drying([0, 60], [24, 18], 12)
        >>> print(f"halves every {fit.halving_days:.0f} d")
        halves every 60 d
    """
    when = within("days", days, 0, NEVER_DAYS, "d")
    emc = within("equilibrium moisture", emc_pct, 1, 30, "%")[..., None]
    gap = within("moisture content", mc_pct, 0, 250, "%") - emc
    error = within("meter error", error_points, 0.1, 10, "points")
    _refuse_unpaired(when, gap, prior)
    when, gap, error = np.broadcast_arrays(when, gap, error)
    lots = _Lots(when, gap, error**-2.0, prior)
    grid = np.linspace(np.log(SLOWEST_PER_DAY), np.log(FASTEST_PER_DAY), GRID)
    misfit, first_gap, gap_error = lots.misfit(np.broadcast_to(grid, (*gap.shape[:-1], GRID)))
    weight = np.exp(-(misfit - misfit.min(axis=-1, keepdims=True)) / 2)
    best = lots.zoomed(grid[np.argmin(misfit, axis=-1)], grid[1] - grid[0])
    best_gap = lots.misfit(best[..., None])[1][..., 0]
    return DryingFit(
        kappa_per_day=np.exp(best),
        start_pct=best_gap + emc[..., 0],
        emc_pct=np.broadcast_to(emc[..., 0], best.shape),
        last_day=when.max(axis=-1),
        grid_per_day=np.exp(grid),
        gap_points=first_gap,
        gap_error=gap_error,
        weight=weight / weight.sum(axis=-1, keepdims=True),
    )


def _refuse_unpaired(when: Floats, gap: Floats, prior: KappaPrior | None) -> None:
    if when.ndim == 0 or when.shape[-1] == 0 or when.shape[-1] != gap.shape[-1]:
        raise Refused("readings", f"{gap.shape} on days {when.shape}", "one reading for each day")
    if prior is None and np.any(np.ptp(when, axis=-1) == 0):
        raise Refused("days of the readings", "all the same", "two days, or a rate to expect")


@dataclass(frozen=True)
class _Lots:
    """Readings of many lots, ready to be held against any rate."""

    when: Floats
    gap: Floats
    weight: Floats
    prior: KappaPrior | None

    def misfit(self, log_kappa: Floats) -> tuple[Floats, Floats, Floats]:
        """Chi-square, best first gap and its error, for rates on the last axis."""
        shrunk = np.exp(-np.exp(log_kappa)[..., None] * self.when[..., None, :])
        weighted = self.weight[..., None, :] * shrunk
        square = np.maximum((weighted * shrunk).sum(axis=-1), TINY)
        first = (weighted * self.gap[..., None, :]).sum(axis=-1) / square
        first = np.clip(first, -MOST_GAP, MOST_GAP)
        off = self.gap[..., None, :] - first[..., None] * shrunk
        chi = (self.weight[..., None, :] * off**2).sum(axis=-1)
        return chi + self._prior_misfit(log_kappa), first, np.minimum(square**-0.5, MOST_GAP)

    def _prior_misfit(self, log_kappa: Floats) -> Floats:
        if self.prior is None:
            return np.zeros(log_kappa.shape)
        spread = np.asarray(self.prior.log_spread, dtype=np.float64)[..., None]
        misfit: Floats = ((log_kappa - self.prior.log_kappa) / spread) ** 2
        return misfit

    def zoomed(self, best: Floats, step: float) -> Floats:
        """The best rate's logarithm, from a grid narrowed around the best so far."""
        span = np.linspace(-1.0, 1.0, ZOOM_POINTS)
        for _ in range(ZOOMS):
            tried = best[..., None] + step * span
            at = np.argmin(self.misfit(tried)[0], axis=-1)
            best = np.take_along_axis(tried, at[..., None], axis=-1)[..., 0]
            step = step * 2 / (ZOOM_POINTS - 1)
        return np.clip(best, np.log(SLOWEST_PER_DAY), np.log(FASTEST_PER_DAY))
