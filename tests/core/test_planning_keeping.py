"""Keeping a plan: what can stand stands, and what is late goes into the gaps."""

from collections import Counter
from dataclasses import replace

import pytest

from cureclock.core.planning.acts import plan_of
from cureclock.core.planning.greedy import place_all, rule_ranks
from cureclock.core.planning.keeping import place_kept, stands, times_kept
from cureclock.core.planning.layout import lay_out
from cureclock.core.planning.problem import Batch, Begun
from cureclock.core.planning.route import After, Step
from cureclock.core.planning.solve import Effort, solve
from cureclock.core.planning.verify import verify
from cureclock.core.units import HOUR_US, MINUTE_US
from tests.core.planning_samples import drawn, minutes, problem, steady

GLUE = Step("glue", minutes(10))
TURN = Step("turn", minutes(20), after=(After("glue", steady(2)),))


def planned(asked):
    layout = lay_out(asked)
    return plan_of(layout, place_all(layout, rule_ranks(layout)))


@pytest.mark.parametrize("seed", range(25))
def test_where_nothing_changed_every_time_stands(seed):
    asked = drawn(seed)
    layout = lay_out(asked)
    placed = place_all(layout, rule_ranks(layout))
    if not placed.sound:
        return
    times = times_kept(layout, plan_of(layout, placed))
    again = place_kept(layout, rule_ranks(layout), times)
    assert again.whole
    assert len(stands(layout, again, times)) == sum(len(own) for own in times.values())


@pytest.mark.parametrize("seed", range(25))
def test_a_kept_plan_has_no_fault_and_a_shop_with_other_routes_keeps_nothing(seed):
    asked = drawn(seed)
    layout = lay_out(asked)
    placed = place_kept(layout, rule_ranks(layout), times_kept(layout, planned(asked)))
    if placed.sound:
        assert verify(asked, plan_of(layout, placed)) == ()
    other = problem(Batch("box", 1, (GLUE, TURN)))
    assert times_kept(lay_out(other), planned(asked)) == {}


def test_one_piece_that_is_late_moves_no_other():
    asked = problem(Batch("box", 6, (GLUE, TURN)))
    before = planned(asked)
    now_us = 8 * HOUR_US + 30 * MINUTE_US
    begun = [act for act in before.acts if act.start_us < now_us]
    longer = 10 * MINUTE_US
    later = replace(
        asked,
        from_us=now_us,
        begun=tuple(
            Begun(
                a.batch,
                a.step,
                1,
                a.start_us,
                a.end_us + (longer if a is begun[-1] else 0),
                a.people,
            )
            for a in begun
        ),
    )
    after = solve(later, keep=before, effort=Effort(limit_s=1)).plan
    was = Counter((act.step, act.start_us) for act in before.acts)
    is_now = Counter((act.step, act.start_us) for act in after.acts if not act.pinned)
    assert sum((was & is_now).values()) >= 0.8 * is_now.total()
    assert verify(later, after) == ()
