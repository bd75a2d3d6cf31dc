"""One verb told on a world's records, in a process of its own, killed where it is told to be."""

import os
import signal
from datetime import datetime
from typing import Any
from uuid import UUID

from cureclock.actions.registry import verbs
from cureclock.reminders import points
from cureclock.shop.happening import Happening, Teller
from cureclock.shop.models import Membership
from tests.faults.child import Say


def main(told: dict[str, Any], say: Say) -> None:
    def die(reached: str) -> None:
        if reached == told.get("point"):
            os.kill(os.getpid(), signal.SIGKILL)

    points.listen(die)
    member = Membership.objects.select_related("workshop", "person").get(role="owner")
    teller = Teller(member.workshop, member.person, member.role)
    at = datetime.fromisoformat(told["at"])
    known = verbs()[told["verb"]]
    happening = Happening(UUID(told["id"]), teller, at, at)
    done = known.do(happening, known.shape(**told["said"]))
    say({"new": done.new})
