"""Run in a process of its own: `remind`, told where to stop dead.

Arguments as JSON: lease_s; point and turn: at which named point, the how manieth time, this
process kills itself with SIGKILL; skew_s: by how much its time of day is off.
"""

import json
import os
import signal
import sys

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "cureclock.runtime.settings")


def main(told: dict[str, object]) -> None:
    import django

    django.setup()
    from django.core.management import call_command

    from cureclock.reminders import leases, points

    leases.LEASE_S = float(told.get("lease_s", leases.LEASE_S))  # type: ignore[arg-type]
    point, left = told.get("point"), int(told.get("turn", 1))  # type: ignore[call-overload]

    def die(reached: str) -> None:
        nonlocal left
        if reached == point:
            left -= 1
            if left <= 0:
                os.kill(os.getpid(), signal.SIGKILL)

    points.listen(die)
    call_command("remind")


if __name__ == "__main__":
    main(json.loads(sys.argv[1]))
