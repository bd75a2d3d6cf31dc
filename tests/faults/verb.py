"""Run in a process of its own: one verb told on a world's records, killed where it is told to be."""

import json
import os
import signal
import sys
from uuid import UUID

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "cureclock.runtime.settings")


def main(told: dict[str, object]) -> dict[str, object]:
    import django

    django.setup()
    from datetime import datetime

    from cureclock.actions.registry import verbs
    from cureclock.reminders import points
    from cureclock.shop.happening import Happening, Teller
    from cureclock.shop.models import Membership

    point = told.get("point")

    def die(reached: str) -> None:
        if reached == point:
            os.kill(os.getpid(), signal.SIGKILL)

    points.listen(die)
    member = Membership.objects.select_related("workshop", "person").get(role="owner")
    teller = Teller(member.workshop, member.person, member.role)
    at = datetime.fromisoformat(str(told["at"]))
    known = verbs()[str(told["verb"])]
    happening = Happening(UUID(str(told["id"])), teller, at, at)
    done = known.do(happening, known.shape(**told["said"]))  # type: ignore[arg-type]
    return {"new": done.new}


if __name__ == "__main__":
    sys.stdout.write(json.dumps(main(json.loads(sys.argv[1]))))
