"""Run in a process of its own: `remind`, told where to stop dead.

Arguments as JSON: lease_s; settle_s; point and turn: at which named point, the how manieth time,
this process kills itself with SIGKILL, counted from the time `after`; wrong_by: a file that says by
how many seconds this process takes the time of day wrong. SIGUSR1 lets no file grow any more, as on
a full disk; SIGUSR2 ends that.
"""

import json
import os
import resource
import signal
import sys
import time
from datetime import datetime, timedelta
from pathlib import Path

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "cureclock.runtime.settings")


def main(told: dict[str, object]) -> None:
    import django

    django.setup()
    from django.core.management import call_command

    from cureclock.reminders import leases, points, steady

    steady.SETTLE_S = float(told.get("settle_s", steady.SETTLE_S))  # type: ignore[arg-type]
    if "wrong_by" in told:
        take_wrong(Path(str(told["wrong_by"])))
    leases.LEASE_S = float(told.get("lease_s", leases.LEASE_S))  # type: ignore[arg-type]
    point, left = told.get("point"), int(told.get("turn", 1))  # type: ignore[call-overload]

    after = float(told.get("after", 0))  # type: ignore[arg-type]

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
    call_command("remind")


def take_wrong(wrong_by: Path) -> None:
    """Let this process take the time of day wrong by what a file says; what passes is right."""
    from cureclock.runtime.clock import SystemClock

    right = SystemClock.now

    def now(self: SystemClock) -> datetime:
        return right(self) + timedelta(seconds=float(wrong_by.read_text() or 0))

    SystemClock.now = now  # type: ignore[method-assign]


if __name__ == "__main__":
    main(json.loads(sys.argv[1]))
