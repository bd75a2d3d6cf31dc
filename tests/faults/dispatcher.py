"""`remind`, told where to stop dead, in a process of its own.

Told: lease_s; settle_s and look_again_s, of a clock that jumped; point and turn: at which named
point, the how manieth time, this process kills itself with SIGKILL, counted from the time `after`;
wrong_by: a file that says by how many seconds this process takes the time of day wrong. SIGUSR1
lets no file grow any more, as on a full disk; SIGUSR2 ends that.
"""

import io
import os
import resource
import signal
import time
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from django.core.management import call_command

from cureclock.reminders import leases, points, steady
from cureclock.runtime import loop
from cureclock.runtime.clock import SystemClock
from tests.faults.child import Say


class Shown(io.StringIO):
    """Says that it is sending once it shows so."""

    def __init__(self, say: Say) -> None:
        super().__init__()
        self.say = say

    def flush(self) -> None:
        if self.getvalue():
            self.say(True)
            self.truncate(0)


def main(told: dict[str, Any], say: Say) -> None:
    steady.SETTLE_S = float(told.get("settle_s", steady.SETTLE_S))
    loop.LOOK_AGAIN_S = float(told.get("look_again_s", loop.LOOK_AGAIN_S))
    if "wrong_by" in told:
        take_wrong(Path(told["wrong_by"]))
    leases.LEASE_S = float(told.get("lease_s", leases.LEASE_S))
    point, left, after = told.get("point"), int(told.get("turn", 1)), float(told.get("after", 0))

    def die(reached: str) -> None:
        nonlocal left
        if reached == point and time.time() >= after:
            left -= 1
            if left <= 0:
                os.kill(os.getpid(), signal.SIGKILL)

    _, most = resource.getrlimit(resource.RLIMIT_FSIZE)
    signal.signal(
        signal.SIGUSR1, lambda *_: resource.setrlimit(resource.RLIMIT_FSIZE, (1024, most))
    )
    signal.signal(
        signal.SIGUSR2, lambda *_: resource.setrlimit(resource.RLIMIT_FSIZE, (most, most))
    )
    points.listen(die)
    call_command("remind", stdout=Shown(say))


def take_wrong(wrong_by: Path) -> None:
    """Let this process take the time of day wrong by what a file says; what passes is right."""
    right = SystemClock.now

    def now(self: SystemClock) -> datetime:
        return right(self) + timedelta(seconds=float(wrong_by.read_text() or 0))

    SystemClock.now = now  # type: ignore[method-assign]
