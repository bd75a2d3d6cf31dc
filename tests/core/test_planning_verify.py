"""A plan broken in a hundred ways is refused a hundred times, each time for what is wrong."""

from dataclasses import replace
from functools import cache
from itertools import islice, pairwise

import pytest

from cureclock.core.planning.plan import Act, Plan
from cureclock.core.planning.problem import Batch, Begun, Person, Problem
from cureclock.core.planning.route import After, Step, Take
from cureclock.core.planning.solve import Effort, solve
from cureclock.core.planning.verify import Wrong, verify
from cureclock.core.units import DAY_US, HOUR_US, MINUTE_US
from tests.core.planning_samples import hours, minutes, steady, workdays

MORNING = DAY_US + 8 * HOUR_US  # Tuesday 08:00, when the plan begins
STANDS = (
    Step("saw", minutes(20), machine="saw", place="shed", dusty=True),
    Step("cnc", minutes(5), machine="cnc", alone_us=minutes(25), after=(After("saw"),)),
    Step("glue", minutes(30), after=(After("cnc"),), takes=(Take("clamp", 3, "unclamp"),)),
    Step("unclamp", minutes(5), after=(After("glue", steady(1)),)),
    Step(
        "turn", minutes(40), machine="lathe", who=("Maker",), after=(After("unclamp", steady(20)),)
    ),
    Step(
        "sand",
        minutes(15),
        place="shed",
        dusty=True,
        after=(After("turn", closes=steady(48), late_us=minutes(10)),),
    ),
    Step(
        "coat",
        minutes(10),
        each_us=minutes(2),
        place="shed",
        at_once=2,
        after=(After("sand"),),
        takes=(Take("hook", 1, each=True),),
        dust_free=steady(3),
        fumes=steady(6),
    ),
    Step("wipe", minutes(10), at_once=2, after=(After("coat", steady(0.25), prompt_us=HOUR_US),)),
    Step(
        "second coat", minutes(20), at_once=2, after=(After("wipe", steady(8), closes=steady(72)),)
    ),
)
TRAYS = (
    Step("grind", minutes(30), place="shed", sparks=True),
    Step("press", minutes(20), after=(After("grind"),), takes=(Take("clamp", 2),), at_once=2),
    Step("mark", minutes(5), after=(After("press", steady(2)),), not_before_us=2 * DAY_US),
)


@cache
def sound() -> tuple[Problem, Plan]:
    begun = (
        Begun("stands", "saw", 1, DAY_US - HOUR_US, DAY_US, ("Maker",)),
        Begun("stands", "cnc", 1, MORNING - HOUR_US // 6, MORNING + HOUR_US // 3, ("Helper",)),
    )
    asked = Problem(
        MORNING,
        19 * DAY_US,
        (Person("Maker", hours(workdays(3))), Person("Helper", hours(workdays(3), 9, 16))),
        (
            Batch("stands", 4, STANDS, (After("second coat", steady(24)),)),
            Batch("trays", 3, TRAYS),
        ),
        machines={"saw": 1, "cnc": 1, "lathe": 1},
        things={"clamp": 6, "hook": 2},
        begun=begun,
    )
    answer = solve(asked, effort=Effort(0))
    assert answer.plan is not None
    return asked, answer.plan


def faults_of(plan: Plan, problem: Problem | None = None) -> set[Wrong]:
    return {fault.wrong for fault in verify(problem or sound()[0], plan)}


# How a plan is broken: an act in, acts out.


def moved(act: Act, by_us: int) -> Act:
    times = {name: getattr(act, name) + by_us for name in ("start_us", "hands_end_us", "end_us")}
    return replace(act, **times)


def moved_to(act: Act, at_us: int) -> Act:
    return moved(act, at_us - act.start_us)


def with_act(plan: Plan, old: Act, *new: Act) -> Plan:
    acts = tuple(act for act in plan.acts if act is not old)
    return replace(plan, acts=(*acts, *new))


def planned(key: str, number: int = -1) -> Act:
    """A go of a step that is not begun; the last unless told."""
    batch = "trays" if key in {step.key for step in TRAYS} else "stands"
    return [act for act in sound()[1].of(batch, key) if not act.pinned][number]


def before(act: Act) -> Act:
    """The go before, of the first step before it."""
    problem, plan = sound()
    gate = problem.batch(act.batch).step(act.step).after[0]
    return next(
        one
        for one in plan.of(act.batch, gate.step)
        if one.first <= act.first + act.pieces - 1 < one.first + one.pieces
    )


KEYS = [step.key for step in (*STANDS, *TRAYS)]
GATED = [step.key for step in (*STANDS, *TRAYS) if step.after]
CASES: dict[str, tuple[Wrong, Plan]] = {}


def case(name: str, wrong: Wrong, plan: Plan) -> None:
    assert name not in CASES
    CASES[name] = (wrong, plan)


def change(name: str, wrong: Wrong, act: Act, *new: Act) -> None:
    case(name, wrong, with_act(sound()[1], act, *new))


def fill() -> None:
    _, plan = sound()
    for key in KEYS:
        act = planned(key)
        change(f"{key} left out", Wrong.MISSING, act)
        change(f"{key} done twice", Wrong.TWICE, act, act, moved(act, DAY_US))
        change(f"{key} at night", Wrong.NOT_THERE, act, moved_to(act, 7 * DAY_US + 2 * HOUR_US))
        change(f"{key} on Sunday", Wrong.NOT_THERE, act, moved_to(act, 13 * DAY_US + 10 * HOUR_US))
        change(
            f"{key} a minute short", Wrong.LENGTH, act, replace(act, end_us=act.end_us - MINUTE_US)
        )
        short = replace(act, hands_end_us=act.hands_end_us - MINUTE_US)
        change(f"{key} with hands a minute short", Wrong.LENGTH, act, short)
        change(f"{key} by nobody", Wrong.NO_HANDS, act, replace(act, people=()))
        change(f"{key} by two", Wrong.NO_HANDS, act, replace(act, people=("Maker", "Helper")))
        change(f"{key} by a stranger", Wrong.UNABLE, act, replace(act, people=("Stranger",)))
        late = replace(moved(act, 0), late=True)
        change(f"{key} late for nothing", Wrong.LATE_FOR_NOTHING, act, late)
        change(f"{key} after the end", Wrong.BEYOND, act, moved_to(act, 20 * DAY_US + 10 * HOUR_US))
        change(f"{key} said to be begun", Wrong.NOT_BEGUN, act, replace(act, pinned=True))
        change(f"{key} of another batch", Wrong.UNKNOWN, act, replace(act, batch="bowls"))
        change(f"{key} under another name", Wrong.UNKNOWN, act, replace(act, step="polish"))
        change(f"{key} of a piece too many", Wrong.UNKNOWN, act, replace(act, first=9))
        change(f"{key} of no piece", Wrong.UNKNOWN, act, replace(act, pieces=0))
        change(f"{key} before the plan", Wrong.PAST, act, moved_to(act, MORNING - DAY_US))
    for key in GATED:
        act = planned(key)
        change(f"{key} before its gate", Wrong.GATE, act, moved_to(act, before(act).start_us))
    fill_shared()
    fill_air()
    fill_hours()
    fill_limits()
    fill_begun()
    for name in ("stands", "trays"):
        for by_us in (-1, 1, DAY_US):
            done = {**plan.done_us, name: plan.done_us[name] + by_us}
            case(f"{name} done {by_us:+d} us", Wrong.DONE, replace(plan, done_us=done))
        done = {other: at for other, at in plan.done_us.items() if other != name}
        case(f"{name} with no date", Wrong.DONE, replace(plan, done_us=done))


def fill_shared() -> None:
    """Hands, machines, things and air, taken twice."""
    _, plan = sound()
    by_maker = [act for act in plan.acts if act.people == ("Maker",) and not act.pinned]
    for act, other in islice(pairwise(by_maker), 12):
        name = f"{act.step} {act.first} while at {other.step} {other.first}"
        change(name, Wrong.TWO_AT_ONCE, act, moved_to(act, other.start_us))
    for key in ("saw", "cnc", "turn"):
        act, other = planned(key, -1), planned(key, -2)
        change(f"{key} on a machine in use", Wrong.MACHINE, act, moved_to(act, other.start_us))
    glue, other = planned("glue", -1), planned("glue", -2)
    third = planned("glue", -3)
    crowded = with_act(plan, glue, moved_to(glue, third.start_us))
    case(
        "three glued with clamps for two",
        Wrong.THINGS,
        with_act(crowded, other, moved_to(other, third.start_us)),
    )
    press = planned("press", 0)
    held = with_act(crowded, press, moved_to(press, third.start_us))
    case("pressed with clamps that are on", Wrong.THINGS, held)
    coat = planned("coat", -1)
    case(
        "coated on hooks in use",
        Wrong.THINGS,
        with_act(plan, coat, moved_to(coat, planned("coat", 0).start_us)),
    )


def fill_air() -> None:
    """Dust and sparks beside what is wet, a go of more pieces than it takes, hands that cannot."""
    _, plan = sound()
    wet = planned("coat", 0)
    for key in ("saw", "sand"):
        act = planned(key)
        change(f"{key} beside a wet coat", Wrong.DUST, act, moved_to(act, wet.end_us + HOUR_US))
        change(f"{key} while coating", Wrong.DUST, act, moved_to(act, wet.start_us))
        coating = moved_to(wet, act.start_us)
        change(f"coated while {key} makes dust", Wrong.DUST, wet, coating)
    act = planned("grind")
    change("grind in fumes", Wrong.SPARKS, act, moved_to(act, wet.end_us + 5 * HOUR_US))
    change("grind while coating", Wrong.SPARKS, act, moved_to(act, wet.start_us))
    both = replace(planned("saw", 0), pieces=3)
    rest = [one for one in plan.acts if one.step != "saw" or one.pinned]
    case("three sawn in one go", Wrong.TOO_MANY, replace(plan, acts=(*rest, both)))
    change(
        "turned by who cannot",
        Wrong.UNABLE,
        planned("turn"),
        replace(planned("turn"), people=("Helper",)),
    )


def fill_hours() -> None:
    """Work while the shop is shut, or its hands are not in yet."""
    saw = planned("saw")
    early = replace(saw, people=("Helper",))
    change(
        "sawn before the helper is in",
        Wrong.NOT_THERE,
        saw,
        moved_to(early, 8 * DAY_US + 8 * HOUR_US),
    )
    change(
        "sawn past closing",
        Wrong.NOT_THERE,
        saw,
        moved_to(saw, 8 * DAY_US + 18 * HOUR_US - MINUTE_US),
    )
    change(
        "sawn before opening",
        Wrong.NOT_THERE,
        saw,
        moved_to(saw, 8 * DAY_US + 8 * HOUR_US - MINUTE_US),
    )


def fill_limits() -> None:
    """Gates that close, and acts that cannot wait."""
    wipe = planned("wipe")
    change("wiped after its limit", Wrong.CLOSED, wipe, moved(wipe, 2 * HOUR_US))
    second = planned("second coat")
    change("second coat after the window", Wrong.CLOSED, second, moved(second, 5 * DAY_US))
    sand = planned("sand")
    late = moved_to(sand, planned("turn").start_us + 3 * DAY_US)
    change("sanded late, and not said", Wrong.LATE_UNSAID, sand, late)
    change("sanded late in the old time", Wrong.LENGTH, sand, replace(late, late=True))
    mark = planned("mark")
    soon = moved_to(mark, 2 * DAY_US - MINUTE_US)
    change("marked before its first day", Wrong.TOO_SOON, mark, soon)


def fill_begun() -> None:
    """What is begun stands where it stands."""
    _, plan = sound()
    for act in (one for one in plan.acts if one.pinned):
        change(f"{act.step} never begun", Wrong.MISSING, act)
        change(f"{act.step} begun sooner", Wrong.BEGUN_MOVED, act, moved(act, -1))
        ended = replace(act, end_us=act.end_us + 1)
        change(f"{act.step} ended later", Wrong.BEGUN_MOVED, act, ended)
        change(f"{act.step} begun by another", Wrong.BEGUN_MOVED, act, replace(act, people=()))
        change(
            f"{act.step} not begun after all", Wrong.BEGUN_MOVED, act, replace(act, pinned=False)
        )
        change(f"{act.step} a fact that is none", Wrong.NOT_BEGUN, act, moved(act, -1))


fill()


def test_the_sound_plan_has_no_fault():
    problem, plan = sound()
    assert verify(problem, plan) == ()


def test_there_are_more_than_a_hundred_kinds_and_every_fault_is_among_them():
    assert len(CASES) > 100
    assert {wrong for wrong, _ in CASES.values()} == set(Wrong)


@pytest.mark.parametrize("name", CASES)
def test_a_broken_plan_is_refused_for_what_is_wrong(name):
    wrong, plan = CASES[name]
    assert wrong in faults_of(plan)


def test_hands_given_where_none_are_needed_are_a_fault():
    batch = Batch("tray", 1, (Step("dry", machine="box", alone_us=HOUR_US),))
    problem = Problem(0, DAY_US, (Person("Maker", hours([0])),), (batch,), {"box": 1})
    act = Act("tray", "dry", 0, 1, 8 * HOUR_US, 8 * HOUR_US, 9 * HOUR_US)
    plan = Plan((act,), {"tray": 9 * HOUR_US})
    assert faults_of(plan, problem) == set()
    assert faults_of(replace(plan, acts=(replace(act, people=("Maker",)),)), problem) == {
        Wrong.NO_HANDS
    }


def test_two_facts_that_contradict_each_other_are_no_fault_of_the_plan():
    step = Step("turn", HOUR_US, machine="lathe")
    both = tuple(Begun("legs", "turn", 1, 0, HOUR_US, ("Maker",)) for _ in range(2))
    problem = Problem(
        2 * HOUR_US,
        DAY_US,
        (Person("Maker", hours([0])),),
        (Batch("legs", 2, (step,)),),
        {"lathe": 1},
        begun=both,
    )
    answer = solve(problem, effort=Effort(0))
    assert answer.plan is not None
    assert verify(problem, answer.plan) == ()
