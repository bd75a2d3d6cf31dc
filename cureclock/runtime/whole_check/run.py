"""Runs the parts one after the other, shows what each came to, and adds up."""

import os
import subprocess
import tempfile
import time
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path

from cureclock.runtime.webbuild import ROOT
from cureclock.runtime.whole_check.parts import Count, Part, one

Say = Callable[[str], object]
HOSTS_OWN = ("DATABASE_URL", "REDIS_URL")


@dataclass(frozen=True)
class Outcome:
    part: str
    count: Count
    trouble: str
    seconds: float


def run_all(parts: Iterable[Part], say: Say) -> bool:
    """True if every part ran, every check in it passed and none was skipped."""
    with tempfile.TemporaryDirectory(prefix="cureclock-check-") as var:
        outcomes = [run(part, say, environment(var)) for part in parts]
    say("")
    for outcome in outcomes:
        say(line(outcome))
    passed = sum(outcome.count.passed for outcome in outcomes)
    # A part can fail without a failing test: nothing ran, it was ended, or it skipped.
    failed = sum(outcome.count.failed or bool(outcome.trouble) for outcome in outcomes)
    say("")
    say(f"checks: {passed} passed, {failed} failed")
    return failed == 0 and passed > 0


def run(part: Part, say: Say, env: dict[str, str]) -> Outcome:
    say(f"--- {part.name}")
    began = time.monotonic()
    status = exit_status(part, env)
    count = part.count(ROOT)
    if status and part.count is one:
        count = Count(passed=0, failed=1)
    return Outcome(part.name, count, trouble(status, count), time.monotonic() - began)


def exit_status(part: Part, env: dict[str, str]) -> int | str:
    try:
        return subprocess.call(part.command, cwd=ROOT, env=env, timeout=part.minutes * 60)
    except subprocess.TimeoutExpired:
        return f"ended after {part.minutes} minutes"
    except OSError as failed:
        return f"could not be started: {failed}"


def trouble(status: int | str, count: Count) -> str:
    """Why a part is not good; empty if it is."""
    if count.failed:
        return f"{count.failed} failed"
    if status:
        return str(status) if isinstance(status, str) else f"exit status {status}"
    if count.skipped:
        return "skipped, and so not shown: " + ", ".join(count.skipped[:10])
    return "" if count.passed else "nothing ran"


def line(outcome: Outcome) -> str:
    result = f"FAILED: {outcome.trouble}" if outcome.trouble else "passed"
    return f"{outcome.part:<32}{outcome.count.passed:>6}  {outcome.seconds:6.1f} s  {result}"


def environment(var: str) -> dict[str, str]:
    """Nothing of this host's own set-up: not its records, its ports nor its secrets."""
    kept = {
        name: value
        for name, value in os.environ.items()
        if not name.startswith("CURECLOCK_") and name not in HOSTS_OWN
    }
    return {**kept, "CURECLOCK_VAR": var, "PYTHONPATH": str(Path(ROOT))}
