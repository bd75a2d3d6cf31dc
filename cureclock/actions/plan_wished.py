"""What the plan is to try for."""

from dataclasses import dataclass
from datetime import date

from django.db import transaction

from cureclock.actions.follow import follow
from cureclock.actions.verb import Done, plain, verb
from cureclock.core.planning.plan import Aim
from cureclock.core.refusal import Refused
from cureclock.shop.happening import Happening
from cureclock.shop.record import append


@dataclass(frozen=True)
class PlanWished:
    """`earliest` done, most `slack` to what is promised, or the `most` pieces done by the end of a `day`."""

    aim: str
    day: date | None = None

    def __post_init__(self) -> None:
        if self.aim not in {aim.value for aim in Aim}:
            raise Refused("aim", self.aim, f"one of {', '.join(aim.value for aim in Aim)}")
        if (self.aim == Aim.MOST) != (self.day is not None):
            raise Refused("day", self.day, "a day for the most by a day, and only then")


@verb("plan_wished", PlanWished)
def plan_wished(happening: Happening, said: PlanWished) -> Done:
    """The next plan tries for it."""
    workshop = happening.told_by.workshop
    with transaction.atomic():
        event, new = append(happening, "plan_wished", plain(said))
        if new:
            follow(workshop, happening.arrived_at)
    return Done(event.id, new)
