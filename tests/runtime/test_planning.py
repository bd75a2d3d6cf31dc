"""The plan is made in a process of its own, which is gone when it is made."""

import json
import os
import subprocess
import sys
import threading
import time

import pytest
from celery.contrib.testing.worker import start_worker

from cureclock.planner.models import Plan
from cureclock.runtime import planning
from tests.planner.batch import routed, shop


class Child:
    """A process that ends when told."""

    def __init__(self, code: int | None = None) -> None:
        self.returncode, self.ended = code, False

    def poll(self) -> int | None:
        return self.returncode

    def terminate(self) -> None:
        self.ended, self.returncode = True, -15

    def wait(self, timeout: float) -> int:
        assert timeout > 0
        return self.returncode or 0


def test_a_child_is_ended_with_us():
    child, stopping = Child(), threading.Event()
    stopping.set()
    planning.wait_for(child, stopping)  # type: ignore[arg-type]
    assert child.ended


def test_a_child_that_ended_is_left_alone():
    child = Child(0)
    planning.wait_for(child, threading.Event())  # type: ignore[arg-type]
    assert not child.ended


@pytest.mark.slow
def test_a_server_that_has_a_plan_made_holds_no_more_memory_than_before(tmp_path):
    env = {name: value for name, value in os.environ.items() if name != "DATABASE_URL"}
    ran = subprocess.run(
        [sys.executable, "-m", "tests.runtime.planned_by_a_child"],
        cwd=planning.ROOT,
        env={**env, "CURECLOCK_VAR": str(tmp_path)},
        capture_output=True,
        check=False,
    )
    assert ran.returncode == 0, ran.stderr.decode()
    told = json.loads(ran.stdout.decode().splitlines()[-1])
    assert told["acts"] > 12
    assert not told["solver_here"]
    assert told["child_mb"] > told["idle_mb"] + 10, "whoever solves needs memory for it"
    assert told["after_mb"] < told["idle_mb"] + 10, told


@pytest.mark.scaled
@pytest.mark.django_db(transaction=True)
def test_a_worker_makes_the_plan_that_its_task_asks_for():
    from cureclock.runtime.celery import app, plan

    cast = routed(shop())
    with start_worker(app, pool="solo", perform_ping_check=False, shutdown_timeout=30):
        plan.apply_async(ignore_result=True)
        give_up = time.monotonic() + 60
        while Plan.objects.get(workshop=cast.workshop).made_at is None:
            assert time.monotonic() < give_up, "no plan was made"
            time.sleep(0.1)
    assert Plan.objects.get(workshop=cast.workshop).body["acts"]
