"""The demo week lived: somebody hears each alert, plans are made anew, and clamps are counted."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any

from cureclock.core.planning.solve import Effort
from cureclock.planner.models import Plan
from cureclock.planner.resolve import Work, resolve_due
from cureclock.reminders import dates
from cureclock.reminders.channels.memory import Memory
from cureclock.reminders.channels.message import Outgoing
from cureclock.reminders.clock import FakeClock
from cureclock.reminders.dispatch import Dispatcher
from cureclock.reminders.models import Trouble, Way
from cureclock.reminders.promise import Houses
from cureclock.runtime.tick import Turn
from cureclock.shop.models import Membership, Workshop
from cureclock.waits.ages import Ages
from cureclock.waits.ledger import ledger

LITTLE = Work(Effort(limit_s=1.0), Effort(limit_s=0.3), None)
COUNTED = ("Mon 12:30", "Mon 13:40", "Tue 09:30", "Tue 11:45", "Wed 18:10", "Sun 10:00")
PLANNED_EVERY = timedelta(hours=8)
Heard = list[tuple[datetime, str, Outgoing]]


class Listener:
    """A dispatcher that turns whenever the story's clock has moved, and a phone for each person."""

    def __init__(self) -> None:
        self.clock = FakeClock(datetime.fromisoformat("2026-02-02T00:00:00+00:00"))
        self.memory = Memory()
        self.heard: Heard = []
        self.turn = Turn(self.clock, Dispatcher(self.clock, {"memory": self.memory}))
        houses = Houses()
        self.turn.firing.houses = self.turn.looking.houses = self.turn.dispatcher.houses = houses

    def tick(self, at: datetime) -> None:
        if not Way.objects.exists():
            self._give_phones(at)
        self.clock.move_to(at)
        self.turn.last_at = self.clock.now()
        self.turn.tick()
        self.clock.sleep(1)
        self.turn.dispatcher.dispatch()  # what the look found goes out in the next turn
        self.heard += [(at, to, message) for to, message in self.memory.sent]
        self.memory.sent.clear()
        assert list(Trouble.objects.values_list("what", "why")) == []

    def _give_phones(self, at: datetime) -> None:
        for member in Membership.objects.exclude(role="viewer").select_related("person"):
            Way.objects.create(
                workshop=member.workshop,
                person=member.person,
                kind="memory",
                host="memory",
                address=member.person.name,
                made_at=at,
            )


@dataclass(frozen=True)
class Planned:
    """A plan as it stood once it was made, and of how many batches it told that their date moved."""

    at: datetime
    body: Mapping[str, Any]
    told: int


@dataclass
class Life:
    """What ran beside the story: plans, counts of what was tied up, and a listener if any."""

    listener: Listener | None
    plans: list[Planned] = field(default_factory=list)
    held: dict[str, dict[str, tuple[int, int]]] = field(default_factory=dict)

    def tick(self, at: datetime) -> None:
        if (spoken := f"{at:%a %H:%M}") in COUNTED:
            (workshop,) = Workshop.objects.all()
            lines = ledger(workshop, Ages(at, at)).lines
            self.held[spoken] = {line.name: (line.held, line.free) for line in lines}
        if not self.plans or at - self.plans[-1].at >= PLANNED_EVERY:
            self._plan(at)
        if self.listener is not None:
            self.listener.tick(at)

    def _plan(self, at: datetime) -> None:
        for workshop in resolve_due(at, LITTLE, quiet=timedelta()):
            told = dates.tell(workshop, at)
            self.plans.append(Planned(at, Plan.objects.get(workshop=workshop).body, told))
