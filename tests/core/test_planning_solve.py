"""Solving: against the plain rule, when much is asked, and when what is asked cannot be."""

from dataclasses import replace
from itertools import count, islice

import numpy as np
import pytest

from cureclock.core.planning.acts import plan_of
from cureclock.core.planning.conflict import Clash
from cureclock.core.planning.greedy import place_all, rule_ranks
from cureclock.core.planning.layout import lay_out
from cureclock.core.planning.plan import Aim, Goal
from cureclock.core.planning.problem import Batch, Begun, Person, Problem
from cureclock.core.planning.route import After, Step, Take
from cureclock.core.planning.solve import Effort, solve
from cureclock.core.planning.verify import verify
from cureclock.core.refusal import Refused
from cureclock.core.units import DAY_US, HOUR_US, MINUTE_US
from tests.core.planning_samples import drawn, hours, minutes, problem, steady, workdays

SHORT = Effort(limit_s=0.5)


def by_rule_us(asked):
    """How long the plan by the plain rule takes; None where the rule finds none."""
    layout = lay_out(asked)
    placed = place_all(layout, rule_ranks(layout))
    return plan_of(layout, placed).all_done_us - asked.from_us if placed.sound else None


def comparable():
    """Problems drawn by chance for which the plain rule finds a plan."""
    return ((asked, us) for asked in map(drawn, count()) if (us := by_rule_us(asked)) is not None)


@pytest.mark.slow
def test_fifty_batches_are_never_planned_worse_than_by_the_rule(capsys):
    saved = []
    for asked, rule_us in islice(comparable(), 50):
        found = solve(asked, effort=SHORT)
        assert found.plan is not None
        assert verify(found.problem, found.plan) == ()
        took_us = found.plan.all_done_us - asked.from_us
        assert took_us <= rule_us
        saved.append(1 - took_us / rule_us)
    assert max(saved) > 0
    with capsys.disabled():
        print(  # noqa: T201 - the figure is what is wanted of it
            f"\nsaved against the rule: median {np.median(saved):.1%}, most {max(saved):.1%}"
        )


def test_what_is_begun_stands_and_the_rest_is_planned_about_it():
    steps = (
        Step("glue", minutes(30)),
        Step("turn", minutes(60), after=(After("glue", steady(4)),)),
    )
    begun = (Begun("box", "glue", 1, 8 * HOUR_US, 9 * HOUR_US, ("Maker",)),)
    asked = replace(problem(Batch("box", 2, steps)), from_us=9 * HOUR_US, begun=begun)
    found = solve(asked, effort=SHORT)
    assert found.plan.of("box", "glue")[0].pinned
    assert found.plan.of("box", "turn")[0].start_us == 13 * HOUR_US


def test_a_plan_made_anew_leaves_most_of_the_other_starts_alone():
    steps = [Step("s0", minutes(20))]
    steps += [Step(f"s{n}", minutes(20), after=(After(f"s{n - 1}"),)) for n in range(1, 5)]
    asked = problem(Batch("box", 8, tuple(steps)))
    before = solve(asked, effort=SHORT).plan
    late = tuple(
        replace(s, not_before_us=9 * HOUR_US) if s.key == "s0" else s
        for s in asked.batches[0].steps
    )
    moved = replace(asked, batches=(replace(asked.batches[0], steps=late),))
    after = solve(moved, effort=Effort(limit_s=2), keep=before)
    starts = {act.key: act.start_us for act in before.acts}
    assert verify(moved, after.plan) == ()
    assert set(starts) == {act.key for act in after.plan.acts}


def test_the_most_pieces_by_a_date_are_counted():
    asked = problem(Batch("box", 12, (Step("turn", minutes(120)),)))
    found = solve(asked, Goal(Aim.MOST, by_us=DAY_US), effort=SHORT)
    assert found.late == 7
    assert found.proven


def test_the_promise_that_is_closest_kept_has_its_slack_told():
    promised = Batch("box", 1, (Step("turn", minutes(60)),), promise_us=12 * HOUR_US)
    found = solve(problem(promised), Goal(Aim.SLACK), effort=SHORT)
    assert found.slack_us == 3 * HOUR_US


IMPOSSIBLE = {
    "a machine nobody owns": (
        problem(Batch("box", 1, (Step("rout", minutes(5), machine="router"),))),
        Clash.MACHINE,
    ),
    "more clamps at once than there are": (
        problem(Batch("box", 1, (Step("glue", minutes(5), takes=(Take("clamp", 4),)),))),
        Clash.THINGS,
    ),
    "zero hours": (
        problem(Batch("box", 1, (Step("glue", minutes(5)),)), people=(Person("Maker", None),)),
        Clash.HANDS,
    ),
    "zero hours, and a machine that would run alone": (
        problem(
            Batch("box", 1, (Step("rout", machine="router", alone_us=minutes(5)),)),
            people=(Person("Maker", None),),
            machines={"router": 1},
        ),
        Clash.HANDS,
    ),
    "a job longer than any day": (
        problem(Batch("box", 1, (Step("carve", 11 * HOUR_US),))),
        Clash.HOURS,
    ),
}


@pytest.mark.parametrize("name", IMPOSSIBLE)
def test_what_cannot_be_is_answered_by_what_stands_in_the_way(name):
    asked, clash = IMPOSSIBLE[name]
    found = solve(asked, effort=SHORT)
    assert found.plan is None
    assert clash in {conflict.clash for conflict in found.conflicts}
    assert all("{" not in conflict.says for conflict in found.conflicts)


def test_more_pieces_than_fit_are_planned_beyond_the_end_and_that_is_said():
    short = Problem(
        0,
        2 * DAY_US,
        (Person("Maker", hours(workdays(1))),),
        (Batch("box", 30, (Step("turn", 2 * HOUR_US),)),),
    )
    found = solve(short, effort=SHORT)
    assert found.plan is not None
    (told,) = found.given_up
    assert told.clash == Clash.HORIZON
    assert told.says.startswith("Only 10 of 30 pieces")


def test_a_gate_that_closes_at_night_is_given_up_and_named():
    window = After("coat", steady(8), closes=steady(9), name="recoat")
    steps = (
        Step("coat", minutes(60), not_before_us=16 * HOUR_US),
        Step("again", minutes(30), after=(window,)),
    )
    evening = Problem(
        0,
        14 * DAY_US,
        (Person("Maker", hours(workdays(2), 16, 18)),),
        (Batch("box", 1, steps),),
    )
    found = solve(evening, effort=SHORT)
    assert found.plan is not None
    assert {told.clash for told in found.given_up} == {Clash.WINDOW}
    assert "nobody is there" in found.given_up[0].says


def test_a_promise_in_the_past_is_answered_with_how_late_it_comes():
    past = Batch("box", 1, (Step("turn", minutes(60)),), promise_us=-DAY_US)
    found = solve(problem(past), Goal(Aim.SLACK), effort=SHORT)
    assert found.plan is not None
    assert found.slack_us == -(DAY_US + 9 * HOUR_US)


def test_a_slot_that_is_too_fine_for_so_long_a_span_is_refused():
    with pytest.raises(Refused, match="slots of the plan"):
        Problem(0, 200 * DAY_US, (), (Batch("box", 1, (Step("a"),)),), slot_us=MINUTE_US)
