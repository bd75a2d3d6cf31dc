"""Many quick plans by one rule with other ranks, of which the best is where a solver begins."""

from collections.abc import Iterator, Sequence

import numpy as np

from cureclock.core.planning.aims import Measure
from cureclock.core.planning.greedy import Placed, Ranks, levers_h, place_all, rule_ranks
from cureclock.core.planning.layout import Layout

EFFORT = 10_000  # goes placed in all, about half a second
FEWEST = 4
WEIGHTS = ((1.0, 0.0), (1.0, 1.0), (1.0, 3.0), (0.0, 1.0), (-1.0, 0.0))
WIDTHS = (3.0, 10.0, 30.0, 100.0)  # slots by which a good plan is shaken


def best_try(layout: Layout, goal: Measure, seed: int = 0) -> Placed | None:
    """The best of many quick plans; none where not one is sound.

    Args:
        layout: the goes.
        goal: how plans are counted.
        seed: of the draws.

    Returns:
        The goes as they are placed, or None.

    Raises:
        Nothing.

    Valid for:
        Any layout; it may find no plan where there is one.
    Assumes:
        A plan near a good one is often better.
    Source:
        Our own: the rule first, then lever against order of pieces, then ranks shaken about the
        best found.

    Example:
        >>> from cureclock.core.planning.aims import measure
        >>> from cureclock.core.planning.layout import lay_out
        >>> from cureclock.core.planning.plan import Goal
        >>> from cureclock.core.planning.problem import Batch, Problem
        >>> from cureclock.core.planning.route import Step
        >>> layout = lay_out(Problem(0, 10**10, (), (Batch("tray", 1, (Step("glue"),)),)))
        >>> best_try(layout, measure(layout, Goal())).start
        [0]
    """
    best: Placed | None = None
    for ranks in _plain_ranks(layout):
        best = _better(goal, best, place_all(layout, ranks))
    draws = np.random.default_rng(seed)
    for number in range(max(EFFORT // len(layout.goes), FEWEST)):
        if best is None:
            break
        ranks = _shaken(best, draws, WIDTHS[number % len(WIDTHS)])
        best = _better(goal, best, place_all(layout, ranks))
    return best


def _plain_ranks(layout: Layout) -> Iterator[Ranks]:
    yield rule_ranks(layout)
    lever = levers_h(layout)
    for long, early in WEIGHTS:
        yield [early * go.first - long * lever[go.index] for go in layout.goes]


def _shaken(placed: Placed, draws: np.random.Generator, width: float) -> Sequence[float]:
    """The order of a plan, with some goes drawn forward or back."""
    count = len(placed.start)
    shift = draws.normal(0.0, width, count) * (draws.random(count) < 0.3)
    ranks: list[float] = (np.array(placed.start) + shift).tolist()
    return ranks


def _better(goal: Measure, best: Placed | None, other: Placed) -> Placed | None:
    if not other.sound:
        return best
    return other if best is None or goal.of(other) < goal.of(best) else best
