"""How far a material is trusted here: the spread of its need, learned apart from the need itself."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cureclock.core.checks import LONGEST_H, SHORTEST_H, Checks, Floats
from cureclock.core.confidence import LEAST_MARGIN, UNTRIED_MARGIN
from cureclock.core.learning import ENOUGH
from cureclock.core.normal import below, density, share_between
from cureclock.core.refusal import Refused, within

OF_TEN = 0.9  # nine waits of ten are done by then; our choice
MIDDLE_SPREAD = 0.35  # prior of ln(need/label), standard deviation; weak, our choice
USUAL_SPREAD = 0.12  # prior of the spread itself, its middle; our choice
SPREAD_OF_SPREAD = 0.5  # and how far it may lie from there, in ln; weak, our choice
LONGEST_STEP = 0.5
STEPS, HALVINGS = 6, 40
OPEN = 1e3  # ln(need/label) at which an open end of a bracket stands
OF_TEN_Z = 1.2815515655446004  # standard deviations below which nine of ten lie
START_SPREAD = (0.05, 0.5)
MOST_TILTED = 0.95  # of a curvature's two axes, so that it stays one
POINTS = 16
CELLS_AT_ONCE = 40_000  # a block that stays in the processor's own memory; four times as fast
# Gauss-Hermite nodes and weights of order 4 over the two unknowns: within 0.4 % from five checks on.
_NODES, _WEIGHTS = np.polynomial.hermite.hermgauss(4)
_X = np.sqrt(2) * np.array(np.meshgrid(_NODES, _NODES)).reshape(2, -1)
_LOG_W = np.log(np.outer(_WEIGHTS, _WEIGHTS).ravel()) + (_X**2).sum(axis=0) / 2


@dataclass(frozen=True)
class Trust:
    """How far a material is trusted at one gate.

    Attributes:
        margin: m, by which the sure figure is longer than the need [-].
        nine_of_ten_h: the need that nine waits of ten stay below [label h].
        middle_h: the middle of the need, as the checks have it [label h].
        spread: standard deviation of ln(need) [-].
        agreeing: how many checks agree with the bare need.
    """

    margin: Floats
    nine_of_ten_h: Floats
    middle_h: Floats
    spread: Floats
    agreeing: NDArray[np.int64]


def trust(checks: Checks, label_h: ArrayLike, need_h: ArrayLike) -> Trust:
    """The margin that checks have earned, from the spread of what they saw.

    Args:
        checks: brackets since the container was opened; the last axis goes over checks, those
            before it over materials. For gates that can hurt only witnesses broken in wood.
        label_h: the label's own figure [label h], one second to 9600.
        need_h: the bare need here [label h], one second to 9600 (`learning.learn_need`).

    Returns:
        Trust. The margin is the 90 % point of the need over the bare need, less 1, never under
        0.08 nor over 1, once five checks agree with the bare need; until then 0.20.

    Raises:
        Refused: naming the argument.

    Valid for:
        Up to some hundreds of checks a material; many materials at once.
    Assumes:
        The need is spread log-normally; brackets are what is known of it. The prior is weak: the
        label within a third either way, a spread of about an eighth.
    Source:
        Interval-censored log-normal posterior by adaptive Gauss-Hermite quadrature at its mode;
        held against lifelines. The prior is our choice.

    Example:
        >>> seen = Checks([[11.0] * 8], [[12.0] * 8])
        >>> trust(seen, 12, 12).margin.round(2).tolist()
        [0.08]
    """
    label = within("label hours", label_h, SHORTEST_H, LONGEST_H, "h")
    need = within("need", need_h, SHORTEST_H, LONGEST_H, "h")
    materials = checks.after_h.shape[:-1]
    try:
        label, need = np.broadcast_to(label, materials), np.broadcast_to(need, materials)
    except ValueError as error:
        raise Refused(
            "label hours and need", f"{label.shape}, {need.shape}", "one a material"
        ) from error
    nine_of_ten, middle, spread = _believed(checks, label).reshape(3, *materials)
    agreeing = checks.agree_with(need).sum(axis=-1)
    earned = np.clip(nine_of_ten / need - 1, LEAST_MARGIN, 1.0)
    margin = np.where(agreeing >= ENOUGH, earned, UNTRIED_MARGIN)
    return Trust(margin, nine_of_ten, middle, spread, agreeing)


def _believed(checks: Checks, label: Floats) -> Floats:
    """The 90 % point, the middle [label h] and the spread of many materials, block by block."""
    of_label, count = label.ravel(), checks.after_h.shape[-1]
    shape = (len(of_label), count)
    rows = Checks(checks.after_h.reshape(shape), checks.until_h.reshape(shape))
    mind = _Mind.of(rows, of_label)
    step = max(CELLS_AT_ONCE // max(count, 1), 1)
    blocks = [
        mind.part(first, first + step).told() for first in range(0, max(len(of_label), 1), step)
    ]
    told = np.concatenate(blocks, axis=-1)
    return np.array([of_label * told[0], of_label * told[1], told[2]])


@dataclass(frozen=True)
class _Mind:
    """What is believed of ln(need/label), for many materials: its checks, and the prior."""

    low: Floats  # ln of the brackets' ends over the label; far out where they are open
    high: Floats

    @classmethod
    def of(cls, checks: Checks, label: Floats) -> "_Mind":
        log_label = np.log(label)[..., None]
        never, ever = checks.after_h == 0, checks.until_h == LONGEST_H
        low = np.log(np.where(never, 1.0, checks.after_h)) - log_label
        high = np.log(checks.until_h) - log_label
        return cls(np.where(never, -OPEN, low), np.where(ever, OPEN, high))

    def part(self, first: int, after: int) -> "_Mind":
        """Some of the materials."""
        return _Mind(self.low[first:after], self.high[first:after])

    def told(self) -> Floats:
        """90 % point and middle of need/label, and the spread, of each material."""
        middle, log_spread, weight = self.nodes(*self.mode())
        point = _point(middle, log_spread, weight)
        mean, mean_spread = ((weight * each).sum(axis=-1) for each in (middle, log_spread))
        told: Floats = np.exp(np.array([point, mean, mean_spread]))
        return told

    def _ends(self, middle: Floats, log_spread: Floats) -> tuple[Floats, Floats]:
        """The brackets' ends in standard deviations; one material a row."""
        finer = np.exp(-log_spread)[..., None]
        return (self.low - middle[..., None]) * finer, (self.high - middle[..., None]) * finer

    def log_belief(self, middle: Floats, log_spread: Floats) -> Floats:
        """Log of the posterior, but for a constant."""
        seen: Floats = np.log(share_between(*self._ends(middle, log_spread))).sum(axis=-1)
        off = (middle / MIDDLE_SPREAD) ** 2 + self._off(log_spread) ** 2
        return seen - off / 2

    @staticmethod
    def _off(log_spread: Floats) -> Floats:
        off: Floats = (log_spread - np.log(USUAL_SPREAD)) / SPREAD_OF_SPREAD
        return off

    def _start(self) -> tuple[Floats, Floats]:
        """A first guess: mean and scatter of the middles of what each check saw."""
        never, ever = self.low == -OPEN, self.high == OPEN
        low, high = np.where(never, self.high, self.low), np.where(ever, self.low, self.high)
        says = ~(never & ever)
        count = np.maximum(says.sum(axis=-1), 1)
        saw = np.where(says, (low + high) / 2, 0.0)
        middle = saw.sum(axis=-1) / count
        scatter = np.where(says, saw - middle[..., None], 0.0)
        spread = np.sqrt((scatter**2).sum(axis=-1) / count)
        return middle, np.log(np.clip(spread, *START_SPREAD))

    def mode(self) -> tuple[Floats, Floats, Floats]:
        """Where the posterior is highest, and how it is curved there, by Newton's steps."""
        middle, log_spread = self._start()
        for _ in range(STEPS):
            slope, curve = self._slope_and_curve(middle, log_spread)
            step = _solved(curve, slope)
            most = LONGEST_STEP * np.exp(log_spread)
            middle = middle + np.clip(step[0], -most, most)
            log_spread = log_spread + np.clip(step[1], -LONGEST_STEP, LONGEST_STEP)
        return middle, log_spread, self._slope_and_curve(middle, log_spread)[1]

    def _slope_and_curve(self, middle: Floats, log_spread: Floats) -> tuple[Floats, Floats]:
        """Gradient of the log posterior, and the curvature (its three parts), kept positive."""
        spread = np.exp(log_spread)
        low, high = self._ends(middle, log_spread)
        share = share_between(low, high)
        at_low, at_high = density(low) / share, density(high) / share
        zeroth = at_high - at_low
        at_low, at_high = at_low * low, at_high * high
        first = at_high - at_low
        at_low, at_high = at_low * low, at_high * high
        second = at_high - at_low
        third = at_high * high - at_low * low
        slope = np.array([
            -zeroth.sum(axis=-1) / spread - middle / MIDDLE_SPREAD**2,
            -first.sum(axis=-1) - self._off(log_spread) / SPREAD_OF_SPREAD,
        ])  # fmt: skip
        of_middle = (first + zeroth * zeroth).sum(axis=-1) / spread**2 + MIDDLE_SPREAD**-2
        of_spread = (third - first + first * first).sum(axis=-1) + SPREAD_OF_SPREAD**-2
        of_middle = np.maximum(of_middle, MIDDLE_SPREAD**-2)
        of_spread = np.maximum(of_spread, SPREAD_OF_SPREAD**-2)
        of_both = (second + zeroth * first - zeroth).sum(axis=-1) / spread
        most = MOST_TILTED * np.sqrt(of_middle * of_spread)
        return slope, np.array([of_middle, np.clip(of_both, -most, most), of_spread])

    def nodes(
        self, middle: Floats, log_spread: Floats, curve: Floats
    ) -> tuple[Floats, Floats, Floats]:
        """Points around the mode that stand for the whole posterior, and their weights.

        The last axis goes over the points.
        """
        across = 1 / np.sqrt(curve[2] - curve[1] ** 2 / curve[0])
        along = 1 / np.sqrt(curve[0])
        s = log_spread[..., None] + across[..., None] * _X[1]
        lean = (curve[1] / curve[0])[..., None]
        m = middle[..., None] + along[..., None] * _X[0] - lean * (s - log_spread[..., None])
        belief = np.stack([self.log_belief(m[..., n], s[..., n]) for n in range(POINTS)], axis=-1)
        height = belief + _LOG_W
        weight = np.exp(height - height.max(axis=-1, keepdims=True))
        return m, s, weight / weight.sum(axis=-1, keepdims=True)


def _solved(curve: Floats, slope: Floats) -> Floats:
    """The step that a positive curvature makes of a slope."""
    whole = curve[0] * curve[2] - curve[1] ** 2
    return np.array([
        (curve[2] * slope[0] - curve[1] * slope[1]) / whole,
        (curve[0] * slope[1] - curve[1] * slope[0]) / whole,
    ])  # fmt: skip


def _point(middle: Floats, log_spread: Floats, weight: Floats) -> Floats:
    """ln(need/label) that nine of ten needs stay below, over all that is believed, by halving."""
    spread = np.exp(log_spread)
    reach = middle + OF_TEN_Z * spread
    low: Floats = reach.min(axis=-1)
    high: Floats = reach.max(axis=-1)
    for _ in range(HALVINGS):
        half = (low + high) / 2
        share = (weight * below((half[..., None] - middle) / spread)).sum(axis=-1)
        low, high = np.where(share < OF_TEN, half, low), np.where(share < OF_TEN, high, half)
    return high
