"""Run by a test: a server's process with a plan that is due, and what its memory was. Prints JSON."""

import json
import os
import resource
import sys
import time
from pathlib import Path

import django

os.environ["DJANGO_SETTINGS_MODULE"] = "cureclock.runtime.settings"
LONGEST_S = 120.0


def resident_mb() -> float:
    """What this process holds now [MB]."""
    pages = int(Path("/proc/self/statm").read_text().split()[1])
    return pages * resource.getpagesize() / 1e6


def main() -> None:
    django.setup()
    from django.core.management import call_command

    from cureclock.planner.models import Plan
    from cureclock.runtime import planning
    from cureclock.runtime.clock import SystemClock
    from tests.planner.batch import routed, shop

    call_command("migrate", verbosity=0)
    routed(shop(), count=12)
    idle_mb = resident_mb()
    stop = planning.start(SystemClock())
    give_up = time.monotonic() + LONGEST_S
    while not Plan.objects.filter(claimed_until=None, made_at__isnull=False).exists():
        assert time.monotonic() < give_up, "no plan was made"
        time.sleep(0.1)
    stop()
    told = {
        "idle_mb": idle_mb,
        "after_mb": resident_mb(),
        "child_mb": resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss * 1024 / 1e6,
        "solver_here": "ortools" in sys.modules,
        "acts": len(Plan.objects.get().body["acts"]),
    }
    sys.stdout.write(json.dumps(told))


if __name__ == "__main__":
    main()
