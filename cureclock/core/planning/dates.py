"""Likely and safe dates: the plan gone through some hundred times, as long as things may take."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from cureclock.core.joint.count import whole
from cureclock.core.planning.plan import Plan
from cureclock.core.planning.problem import LONGEST_US, Problem
from cureclock.core.planning.replay import Draws, Floats, replay
from cureclock.core.planning.route import WIDEST_SPREAD
from cureclock.core.refusal import within

TIMES = 500
LIKELY, SAFE = 0.5, 0.9
NINE_IN_TEN = 1.2815515655446004  # standard normal deviate that nine in ten stay below
HANDS = 0.20  # nine jobs in ten are done in so much more than planned; our choice
AIR = 0.15  # +-2 K of air that is only expected, at a rate doubling per 10 K: x 2^0.2


@dataclass(frozen=True)
class Spreads:
    """How much longer things take than planned in the tenth worst of ten.

    Args:
        hands: on the minutes of each step [-], 0 to 3.
        air: on all waits together, for air that is only expected [-], 0 to 3.

    Raises:
        Refused: a figure outside its range.
    """

    hands: float = HANDS
    air: float = AIR

    def __post_init__(self) -> None:
        within("spread of hands", self.hands, 0, WIDEST_SPREAD)
        within("spread of the air", self.air, 0, WIDEST_SPREAD)


@dataclass(frozen=True)
class Dates:
    """When it is done, each of many times.

    Attributes:
        pieces_us: for each batch, when each piece was done [us], pieces by times.
        missed: the share of times in which a gate closed although nothing may come late.
    """

    pieces_us: Mapping[str, Floats]
    missed: float

    def by(self, batch: str, share: float) -> int:
        """By when all of a batch is done in so many of all times [us].

        Args:
            batch: its name.
            share: of all times [-], 0 to 1.
        """
        within("share of times", share, 0, 1)
        last = self.pieces_us[batch].max(axis=0)
        return int(np.quantile(last, share, method="higher"))

    def likely_us(self, batch: str) -> int:
        """Done by then in half of all times [us]."""
        return self.by(batch, LIKELY)

    def safe_us(self, batch: str) -> int:
        """Done by then in nine of ten [us]."""
        return self.by(batch, SAFE)


def simulate(
    problem: Problem,
    plan: Plan,
    spreads: Spreads | None = None,
    *,
    times: int = TIMES,
    seed: int = 0,
) -> Dates:
    """Go through a plan many times with hands, films and air as they may turn out.

    Args:
        problem: what is planned.
        plan: a plan that holds.
        spreads: how much longer things take; those of the waits are in the routes.
        times: how often [-], whole, 1 to 100000.
        seed: of the draws [-], whole, 0 to 1000000000.

    Returns:
        Dates.

    Raises:
        Refused: naming the argument.

    Valid for:
        Plans without faults; some hundred goes take about a second for 500 times.
    Assumes:
        The order of the plan is kept. Hands of a step, and the film or glue of a gate, are slow
        or quick alike for all pieces; a wait is never over before its gate, only later; warmer or
        colder air than expected moves all waits together. All of them log-normal about what is
        planned.
    Source:
        Our own; spreads as in the figures of a wait (untried 20 %, air guessed 15 %).

    Example:
        >>> from cureclock.core.planning.plan import Act
        >>> from cureclock.core.planning.problem import Batch
        >>> from cureclock.core.planning.route import Step
        >>> hour = 3_600_000_000
        >>> problem = Problem(0, 100 * hour, (), (Batch("tray", 1, (Step("glue", hour),)),))
        >>> plan = Plan((Act("tray", "glue", 0, 1, 0, hour, hour),), {"tray": hour})
        >>> dates = simulate(problem, plan, times=2000)
        >>> round(dates.likely_us("tray") / hour, 1), round(dates.safe_us("tray") / hour, 1)
        (1.0, 1.2)
    """
    count = int(whole("times", times, 1, 100_000))
    start = int(whole("seed", seed, 0, 1_000_000_000))
    span_us = min(3 * (problem.until_us - problem.from_us), LONGEST_US)
    longer = problem.until(problem.from_us + span_us)
    run = replay(longer, plan, draw(problem, spreads or Spreads(), count, start))
    return Dates(run.piece_done_us, float((run.missed > 0).mean()))


def draw(problem: Problem, spreads: Spreads, times: int, seed: int) -> Draws:
    """Draw how long things take, many times.

    Args:
        problem: what is planned.
        spreads: how much longer things take.
        times: how often [-], whole, 1 to 100000.
        seed: of the draws [-], whole, 0 to 1000000000.

    Returns:
        Draws for `replay`.

    Raises:
        Refused: naming the argument.

    Valid for:
        Any problem.
    Assumes:
        As `simulate`.
    Source:
        Our own.

    Example:
        >>> from cureclock.core.planning.problem import Batch
        >>> from cureclock.core.planning.route import Step
        >>> problem = Problem(0, 10**10, (), (Batch("tray", 1, (Step("glue"),)),))
        >>> drawn = draw(problem, Spreads(hands=0.2), 10_000, 0)
        >>> float(np.quantile(drawn.hands["tray", "glue"], 0.9).round(2))
        1.2
    """
    chance = np.random.default_rng(int(whole("seed", seed, 0, 1_000_000_000)))
    count = int(whole("times", times, 1, 100_000))
    air = _factor(chance, spreads.air, count)
    hands, waits = {}, {}
    for batch in problem.batches:
        for step in batch.steps:
            hands[batch.name, step.key] = _factor(chance, spreads.hands, count)
            for gate in step.after:
                own = np.maximum(_factor(chance, gate.spread, count), 1.0)
                waits[batch.name, gate.step, step.key] = own * air
        for gate in batch.done:
            own = np.maximum(_factor(chance, gate.spread, count), 1.0)
            waits[batch.name, gate.step, ""] = own * air
    return Draws(count, hands, waits)


def _factor(chance: np.random.Generator, spread: float, times: int) -> Floats:
    """Log-normal factors about 1, of which nine in ten are below 1 + spread."""
    factors: Floats = np.exp(chance.standard_normal(times) * np.log1p(spread) / NINE_IN_TEN)
    return factors
