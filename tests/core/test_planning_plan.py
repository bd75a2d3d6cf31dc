"""Goals and plans: what they refuse, and how goes are found."""

import pytest

from cureclock.core.planning.plan import Act, Aim, Goal, Plan
from cureclock.core.planning.problem import Batch, Problem
from cureclock.core.planning.route import Step
from cureclock.core.refusal import Refused


def test_most_done_needs_a_date_and_nothing_else_takes_one():
    assert Goal(Aim.MOST, by_us=5).by_us == 5
    for aim, by_us in ((Aim.MOST, None), (Aim.EARLIEST, 5), (Aim.SLACK, 5)):
        with pytest.raises(Refused, match="most done by"):
            Goal(aim, by_us)


def test_slack_needs_a_promise_to_have_slack_to():
    problem = Problem(0, 10**10, (), (Batch("tray", 1, (Step("glue"),)),))
    with pytest.raises(Refused, match="promise"):
        Goal(Aim.SLACK).suits(problem)
    Goal().suits(problem)


def test_the_goes_of_a_step_are_told_in_the_order_of_their_pieces():
    acts = (
        Act("b", "s", 2, 1, 0, 1, 1),
        Act("b", "s", 0, 2, 5, 6, 6),
        Act("b", "t", 0, 3, 7, 8, 8),
    )
    plan = Plan(acts, {"b": 8, "c": 9})
    assert [act.first for act in plan.of("b", "s")] == [0, 2]
    assert plan.all_done_us == 9
