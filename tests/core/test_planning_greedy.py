"""The plain rule of one pair of hands, with its worked figure."""

import pytest

from cureclock.core.planning.acts import plan_of
from cureclock.core.planning.greedy import levers_h, place_all, rule_ranks
from cureclock.core.planning.layout import lay_out
from cureclock.core.planning.problem import Batch, Person, Problem
from cureclock.core.planning.route import After, Step
from cureclock.core.planning.verify import verify
from cureclock.core.units import DAY_US, HOUR_US, MINUTE_US
from tests.core.planning_samples import drawn, hours, minutes, problem, steady

BLANKS, LOAD, RUN, TURN = 8, 3, 11, 22


def blanks():
    """Eight blanks: CNC load 3 min and run 11 alone, then 22 on the lathe; one pair of hands."""
    steps = (
        Step("cnc", minutes(LOAD), machine="cnc", alone_us=minutes(RUN)),
        Step("turn", minutes(TURN), machine="lathe", after=(After("cnc"),)),
    )
    maker = Person("Maker", hours([0], 0, 24))
    owned = {"cnc": 1, "lathe": 1}
    return Problem(0, DAY_US, (maker,), (Batch("blanks", BLANKS, steps),), owned, slot_us=MINUTE_US)


def by_rule(asked):
    layout = lay_out(asked)
    placed = place_all(layout, rule_ranks(layout))
    return placed, plan_of(layout, placed) if placed.whole else None


def test_loading_the_next_before_each_turning_takes_211_minutes():
    """One after the other 8 x (3 + 11 + 22) = 288; 14 + 8 x 22 + 7 x 3 = 211; saving 7 x 11."""
    one_after_the_other = BLANKS * (LOAD + RUN + TURN)
    _, plan = by_rule(blanks())
    assert one_after_the_other == 288
    assert plan.all_done_us == 211 * MINUTE_US
    assert one_after_the_other - plan.all_done_us // MINUTE_US == 77
    assert verify(blanks(), plan) == ()


def test_unattended_things_come_first():
    steps = (Step("sand", minutes(300)), Step("cut", minutes(5), machine="cnc", alone_us=HOUR_US))
    _, plan = by_rule(problem(Batch("box", 1, steps), machines={"cnc": 1}))
    assert [act.step for act in plan.acts] == ["cut", "sand"]


def test_then_comes_what_has_the_longest_way_before_it():
    steps = (
        Step("drill", minutes(10)),
        Step("glue", minutes(10)),
        Step("turn", minutes(10), after=(After("drill"),)),
        Step("sand", minutes(10), after=(After("turn"),)),
    )
    layout = lay_out(problem(Batch("box", 1, steps)))
    lever = dict(zip((go.step.key for go in layout.goes), levers_h(layout), strict=True))
    assert lever["drill"] == pytest.approx(0.5)
    assert lever["glue"] == pytest.approx(1 / 6)
    _, plan = by_rule(problem(Batch("box", 1, steps)))
    assert plan.acts[0].step == "drill"


def test_nothing_is_begun_whose_next_act_falls_when_nobody_is_there():
    """Wiped within the hour after two hours: not begun after 15:50, and not on the way home."""
    wipe = After("coat", steady(2), prompt_us=HOUR_US)
    steps = (
        Step("turn", minutes(480)),
        Step("coat", minutes(10), after=(After("turn"),)),
        Step("wipe", minutes(10), after=(wipe,)),
    )
    placed, plan = by_rule(problem(Batch("panel", 1, steps)))
    assert placed.sound
    coat, wiped = plan.of("panel", "coat")[0], plan.of("panel", "wipe")[0]
    assert coat.start_us == DAY_US + 8 * HOUR_US
    assert wiped.start_us == coat.end_us + 2 * HOUR_US


def test_where_waiting_is_harmless_it_is_begun_all_the_same():
    steps = (
        Step("turn", minutes(480)),
        Step("glue", minutes(10), after=(After("turn"),)),
        Step("unclamp", minutes(10), after=(After("glue", steady(2)),)),
    )
    _, plan = by_rule(problem(Batch("panel", 1, steps)))
    assert plan.of("panel", "glue")[0].start_us == 16 * HOUR_US
    assert plan.of("panel", "unclamp")[0].start_us == DAY_US + 8 * HOUR_US


def test_long_work_is_put_off_for_what_cannot_wait():
    wipe = After("coat", steady(1), prompt_us=HOUR_US // 4)
    steps = (
        Step("coat", minutes(10)),
        Step("wipe", minutes(10), after=(wipe,)),
        Step("sand", minutes(120)),
    )
    placed, plan = by_rule(problem(Batch("panel", 1, steps)))
    assert placed.sound
    assert [act.step for act in plan.acts] == ["coat", "wipe", "sand"]


def test_a_gate_that_had_to_be_missed_is_told():
    closing = After("coat", closes=steady(3))
    steps = (Step("coat", minutes(10)), Step("recoat", minutes(10), after=(closing, After("sand"))))
    steps += (Step("sand", minutes(400), after=(After("coat"),)),)
    placed, _ = by_rule(problem(Batch("panel", 1, steps)))
    assert placed.whole
    assert [link.gate.step for link in placed.missed] == ["coat"]
    assert not placed.sound


def test_what_does_not_fit_leaves_the_plan_unfinished():
    placed, plan = by_rule(problem(Batch("box", 200, (Step("turn", minutes(60)),))))
    assert (placed.whole, plan) == (False, None)


def test_a_first_position_is_kept():
    layout = lay_out(problem(Batch("box", 2, (Step("turn", minutes(60)),))))
    assert place_all(layout, rule_ranks(layout), {1: 40}).start == [0, 40]


@pytest.mark.parametrize("seed", range(40))
def test_a_plan_by_rule_has_no_fault(seed):
    asked = drawn(seed)
    placed, plan = by_rule(asked)
    if placed.sound:
        assert verify(asked, plan) == ()
    else:
        assert placed.missed or not placed.whole
