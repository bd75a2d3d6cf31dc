"""The plan at the size the house promises: 24 pieces, 13 steps, two weeks of 5-minute slots.

One pair of hands, three machines, 16 clamps. Waits are either the same whenever they begin, or
read from an air that swings with the day and the week. Printed; judged by the wanted figures.
"""

import os
import subprocess
import sys
import time
from collections import Counter
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from cureclock.core.coat.shop_hours import ReadyTable, ShopHours
from cureclock.core.planning.dates import simulate
from cureclock.core.planning.plan import Plan
from cureclock.core.planning.problem import Batch, Begun, Person, Problem
from cureclock.core.planning.route import After, Step, Take
from cureclock.core.planning.solve import Effort, solve
from cureclock.core.units import DAY_US, HOUR_US, MINUTE_US

PIECES, CLAMPS, DAYS = 24, 16, 14
GRID_US = np.arange(0, 60 * 48 + 1) * 30 * MINUTE_US

# Name, hands [min], machine, running alone [min], wait after it [h at 20 degC]. Invented.
ROUTE = (
    ("saw", 10, "bandsaw", 0, 0.0),
    ("rout", 5, "router", 20, 0.0),
    ("glue", 15, "", 0, 1.0),
    ("clamps off", 5, "", 0, 11.0),
    ("flatten", 10, "bandsaw", 0, 0.0),
    ("waste block", 10, "", 0, 24.0),
    ("turn", 25, "lathe", 0, 0.0),
    ("sand", 15, "lathe", 0, 2.0),
    ("coat 1", 5, "", 0, 8.0),
    ("coat 2", 5, "", 0, 8.0),
    ("coat 3", 5, "", 0, 12.0),
    ("part off", 10, "lathe", 0, 4.0),
    ("sign", 5, "", 0, 24.0),
)
WANTED = {"fixed": 0.02, "by start": 0.05}


def wait(hours: float, kind: str) -> ReadyTable:
    """A wait of so many hours at 20 degC, in 20 degC or in a shed that swings."""
    starts = GRID_US[: 40 * 48]
    if kind == "fixed":
        return ReadyTable(starts, starts + round(hours * HOUR_US))
    hour = GRID_US[:-1] / HOUR_US
    temp_c = 12 + 6 * np.sin(hour / 24 * 2 * np.pi - 2) - 2 * np.sin(hour / 120 * 2 * np.pi)
    rate = 2 ** ((temp_c - 20) / 10)
    age = np.concatenate([[0.0], np.cumsum(rate * 30 * MINUTE_US)])
    # Needs scaled so that both kinds wait about as long on the whole.
    ready = np.interp(age[: len(starts)] + 0.6 * hours * HOUR_US, age, GRID_US)
    return ReadyTable(starts, np.maximum.accumulate(np.ceil(ready).astype(np.int64)))


def problem(kind: str) -> Problem:
    steps: list[Step] = []
    before, hours = "", 0.0
    for name, hands, machine, alone, after_h in ROUTE:
        gate = (After(before, wait(hours, kind) if hours else None),) if before else ()
        takes = (Take("clamp", 2, "clamps off"),) if name == "glue" else ()
        minutes = (hands * MINUTE_US, 0, machine, alone * MINUTE_US)
        steps.append(Step(name, *minutes, takes=takes, after=gate))
        before, hours = name, after_h
    batch = Batch("stands", PIECES, tuple(steps), (After(before, wait(hours, kind)),))
    open_us = np.array([day for day in range(DAYS) if day % 7 != 6]) * DAY_US + 8 * HOUR_US
    maker = Person("Maker", ShopHours(open_us, open_us + 10 * HOUR_US))
    machines = {"bandsaw": 1, "router": 1, "lathe": 1}
    return Problem(0, DAYS * DAY_US, (maker,), (batch,), machines, {"clamp": CLAMPS})


@pytest.mark.parametrize("kind", WANTED)
def test_how_near_the_best_a_plan_of_ten_seconds_is(kind):
    asked = problem(kind)
    began = time.monotonic()
    first = solve(asked, effort=Effort(limit_s=0))
    first_s = time.monotonic() - began
    began = time.monotonic()
    found = solve(asked)
    took_s = time.monotonic() - began
    print(f"\n{kind} waits: first plan in {first_s:.2f} s, gap {first.gap:.2%};", end=" ")
    print(f"after {took_s:.1f} s gap {found.gap:.2%}{', proven' if found.proven else ''}", end="")
    print(
        f", done after {found.plan.all_done_us / DAY_US:.2f} days (load {os.getloadavg()[0]:.1f})"
    )
    assert found.gap <= WANTED[kind]


@pytest.mark.parametrize("kind", WANTED)
def test_a_plan_after_one_late_piece_changes_little(kind):
    asked = problem(kind)
    before = solve(asked, effort=Effort(limit_s=2)).plan
    later = a_day_later(asked, before)
    began = time.monotonic()
    after = solve(later, keep=before, effort=Effort(limit_s=1.5))
    took_s = time.monotonic() - began
    # Identical pieces: a step that begins when it did before is unchanged, whichever piece it has.
    was = Counter((act.step, act.start_us) for act in before.acts)
    others = [act for act in after.plan.acts if not act.pinned]
    same = sum((was & Counter((act.step, act.start_us) for act in others)).values()) / len(others)
    days = (before.all_done_us / DAY_US, after.plan.all_done_us / DAY_US)
    print(
        f"\n{kind} waits: planned anew in {took_s:.2f} s, {same:.0%} of {len(others)} starts",
        end="",
    )
    print(f" unchanged; done after {days[0]:.2f} days, then {days[1]:.2f}")
    assert same >= 0.8
    assert took_s < 3


def a_day_later(asked: Problem, plan: Plan) -> Problem:
    """Tuesday at noon, everything as planned but for the last thing begun: that takes an hour more."""
    now_us = DAY_US + 12 * HOUR_US
    acts = [act for act in plan.acts if act.start_us < now_us]
    last = max(acts, key=lambda act: act.start_us)
    begun = tuple(
        Begun(
            act.batch,
            act.step,
            act.pieces,
            act.start_us,
            act.end_us + (HOUR_US if act is last else 0),
            act.people,
        )
        for act in acts
    )
    return replace(asked, from_us=now_us, begun=begun)


@pytest.mark.parametrize("kind", WANTED)
def test_how_long_five_hundred_simulations_take(kind):
    asked = problem(kind)
    plan = solve(asked, effort=Effort(limit_s=0)).plan
    began = time.monotonic()
    dates = simulate(asked, plan)
    took_s = time.monotonic() - began
    likely, safe = (at / DAY_US for at in (dates.likely_us("stands"), dates.safe_us("stands")))
    print(f"\n{kind} waits: 500 in {took_s:.2f} s; planned {plan.all_done_us / DAY_US:.2f}", end="")
    print(f", likely {likely:.2f}, safe {safe:.2f} days")


def test_the_solver_is_gone_with_the_process_that_solved():
    """Solving is done in a child: what the parent holds before and after is the same."""
    script = (
        "from tests.bench.bench_planning import problem\n"
        "from cureclock.core.planning.solve import Effort, solve\n"
        "assert solve(problem('fixed'), effort=Effort(limit_s=1)).plan is not None\n"
    )
    idle = resident_mb()
    subprocess.run([sys.executable, "-c", script], check=True, cwd=Path(__file__).parents[2])
    print(f"\nresident before {idle:.1f} MB, after a child has solved {resident_mb():.1f} MB")
    assert resident_mb() - idle < 1


def resident_mb() -> float:
    pages = int(Path("/proc/self/statm").read_text().split()[1])
    return pages * os.sysconf("SC_PAGE_SIZE") / 1e6
