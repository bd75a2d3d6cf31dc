"""Invented batches for the tests of the plan: one by hand, and many drawn by chance."""

from dataclasses import replace

import numpy as np

from cureclock.core.coat.shop_hours import ReadyTable, ShopHours
from cureclock.core.planning.acts import plan_of
from cureclock.core.planning.greedy import place_all, rule_ranks
from cureclock.core.planning.layout import lay_out
from cureclock.core.planning.problem import Batch, Begun, Person, Problem
from cureclock.core.planning.route import After, Step, Take
from cureclock.core.units import DAY_US, HOUR_US, MINUTE_US

# Monday 00:00 is 0.
WEEKDAYS = tuple(range(5))


def hours(days, opens_h=8, closes_h=18):
    return ShopHours(
        [d * DAY_US + opens_h * HOUR_US for d in days],
        [d * DAY_US + closes_h * HOUR_US for d in days],
    )


def workdays(weeks=2, last=4):
    """Days of so many weeks, Monday to Friday or later."""
    return [7 * week + day for week in range(weeks) for day in range(last + 1)]


def steady(wait_h, days=60):
    """A wait that is as long whenever it begins."""
    wait = round(wait_h * HOUR_US)
    return ReadyTable([0, days * DAY_US], [wait, days * DAY_US + wait])


def night_slows(wait_h, days=60, slow=0.5):
    """A wait whose clock runs at `slow` from 20:00 to 08:00, and full by day; by half hours."""
    edge = np.arange(0, days * 48 + 1) * 30 * MINUTE_US
    hour = edge[:-1] // HOUR_US % 24
    rate = np.where((hour >= 20) | (hour < 8), slow, 1.0)
    age = np.concatenate([[0.0], np.cumsum(rate * 30 * MINUTE_US)])
    starts = edge[: len(edge) // 2]
    ready = np.interp(age[: len(starts)] + wait_h * HOUR_US, age, edge)
    return ReadyTable(starts, np.ceil(ready).astype(np.int64))


def problem(*batches, people=None, weeks=2, **more):
    """One maker, Monday to Friday, eight to six."""
    people = (Person("Maker", hours(workdays(weeks))),) if people is None else people
    return Problem(0, weeks * 7 * DAY_US, people, batches, **more)


def minutes(count):
    return count * MINUTE_US


def coats(count, *, hands_min=40, recoat=None, closes=None, late_min=None, at_once=24, **more):
    """A chain of coats, each after the last one's recoat gate."""
    recoat = steady(8) if recoat is None else recoat
    late_us = None if late_min is None else minutes(late_min)
    steps = [Step("coat 1", minutes(hands_min), at_once=at_once, **more)]
    for number in range(2, count + 1):
        gate = After(f"coat {number - 1}", recoat, closes=closes, late_us=late_us, name="recoat")
        steps.append(
            Step(f"coat {number}", minutes(hands_min), after=(gate,), at_once=at_once, **more)
        )
    return tuple(steps)


def drawn(seed):
    """A problem drawn by chance: two people, three machines, things, windows, wet places."""
    draws = np.random.default_rng(seed)
    people = [Person("Maker", hours(workdays(2)))]
    if draws.random() < 0.6:
        days = workdays(2) if draws.random() < 0.5 else [5, 12]
        people.append(Person("Helper", hours(days, 9, 15)))
    batches = [_batch(draws, f"B{n}", people) for n in range(int(draws.integers(1, 4)))]
    asked = Problem(
        0,
        14 * DAY_US,
        tuple(people),
        tuple(batches),
        machines={"lathe": 1, "saw": 1, "cnc": int(draws.integers(1, 3))},
        things={"clamp": int(draws.integers(4, 17)), "hook": 24},
    )
    return part_done(asked, draws) if draws.random() < 0.4 else asked


def _batch(draws, name, people):
    count, steps = int(draws.integers(1, 9)), []
    for number in range(int(draws.integers(2, 8))):
        steps.append(_step(draws, f"s{number}", steps, count, people))
    if any(s.key == "s1" for s in steps) and draws.random() < 0.6:
        take = Take("clamp", int(draws.integers(1, 4)), until="s1")
        if any(gate.step == "s0" for gate in steps[1].after):
            # Freed by goes no larger than those that took them, so that they can come round.
            steps[0] = replace(steps[0], takes=(take,), at_once=1)
            steps[1] = replace(steps[1], at_once=1)
    done = (After(steps[-1].key, _wait(draws)),)
    return Batch(name, count, tuple(steps), done, promise_us=int(draws.integers(3, 12)) * DAY_US)


def _wait(draws):
    wait = float(draws.choice([0.5, 1, 2, 4, 8, 12, 24]))
    return steady(wait) if draws.random() < 0.4 else night_slows(wait)


def _step(draws, key, before, count, people):
    after = []
    if before:
        chosen = {before[-1].key}
        if len(before) > 1 and draws.random() < 0.25:
            chosen.add(before[int(draws.integers(len(before) - 1))].key)
        after = [_gate(draws, name) for name in sorted(chosen)]
    machine = str(draws.choice(["", "", "lathe", "saw", "cnc"]))
    alone = minutes(int(draws.integers(1, 90))) if machine == "cnc" else 0
    wet = draws.random() < 0.25
    return Step(
        key,
        hands_us=minutes(int(draws.integers(1, 50))),
        each_us=minutes(int(draws.integers(0, 4))),
        machine=machine,
        alone_us=alone,
        who=("Maker",) if draws.random() < 0.3 else (),
        place=str(draws.choice(["", "shed", "cupboard"])),
        after=tuple(after),
        at_once=int(draws.choice([1, 1, 2, count])),
        dusty=not wet and draws.random() < 0.3,
        sparks=not wet and draws.random() < 0.2,
        dust_free=steady(2) if wet else None,
        fumes=steady(4) if wet and draws.random() < 0.5 else None,
        not_before_us=int(draws.integers(0, 3)) * DAY_US if draws.random() < 0.1 else None,
    )


def _gate(draws, name):
    kind = draws.random()
    if kind < 0.3:
        return After(name)
    if kind < 0.7:
        return After(name, _wait(draws))
    if kind < 0.9:
        closes = steady(float(draws.choice([24, 30, 48])))
        return After(name, steady(8), closes=closes, late_us=minutes(int(draws.integers(0, 30))))
    return After(name, steady(0.5), prompt_us=HOUR_US * 2, late_us=minutes(10))


def part_done(asked, draws):
    """The same a day later, with what was begun by then by the plain rule, a little off."""
    layout = lay_out(asked)
    placed = place_all(layout, rule_ranks(layout))
    if not placed.whole:
        return asked
    plan = plan_of(layout, placed)
    now = DAY_US + 8 * HOUR_US + int(draws.integers(0, 60)) * 5 * MINUTE_US
    begun = tuple(
        Begun(act.batch, act.step, act.pieces, act.start_us, act.end_us, act.people)
        for act in plan.acts
        if act.start_us < now
    )
    return replace(asked, from_us=now, begun=begun)
