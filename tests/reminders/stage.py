"""A shop whose people can be reached, a clock that moves when told, and what was sent."""

from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from cureclock.reminders.channels.memory import Memory
from cureclock.reminders.channels.message import Outgoing
from cureclock.reminders.clock import FakeClock
from cureclock.reminders.dispatch import Dispatcher
from cureclock.reminders.models import Way
from cureclock.reminders.promise import Houses
from cureclock.runtime.tick import Turn
from cureclock.shop.happening import Teller
from tests.cast import Cast, when


@dataclass
class Stage:
    """The cast, the clock, and a channel that keeps what it is given."""

    cast: Cast
    clock: FakeClock
    memory: Memory = field(default_factory=Memory)

    def __post_init__(self) -> None:
        self.turn = self.started()

    def started(self) -> Turn:
        """A dispatcher that was just started, with nothing remembered."""
        turn = Turn(self.clock, self.dispatcher())
        turn.firing.houses = turn.looking.houses = turn.dispatcher.houses = Houses()
        return turn

    @classmethod
    def open(cls, at: str = "Mon 08:00") -> "Stage":
        cast = Cast.open()
        cast.place()
        cast.material()
        stage = cls(cast, FakeClock(when(at)))
        stage.way(cast.owner)
        return stage

    def way(self, teller: Teller, address: str = "", **said: Any) -> Way:
        """A way by which one of the cast can be reached."""
        assert teller.person is not None
        return Way.objects.create(
            workshop=self.cast.workshop,
            person=teller.person,
            address=address or teller.role,
            made_at=self.clock.now(),
            **{"kind": "memory", "host": "memory", **said},
        )

    def tick(self, at: str | datetime | None = None) -> list[Outgoing]:
        """Let the time come and turn once; what was sent in that turn."""
        if at is not None:
            self.clock.move_to(when(at) if isinstance(at, str) else at)
        before = len(self.memory.sent)
        self.turn.last_at = self.clock.now()  # it was awake all the time
        self.turn.tick()
        return [message for _, message in self.memory.sent[before:]]

    def dispatcher(self) -> Dispatcher:
        return Dispatcher(self.clock, {"memory": self.memory})

    def glue(self, name: str, tags: list[str], pressed: str) -> None:
        """A glue-up of new pieces, spread ten minutes before it is pressed."""
        from datetime import timedelta

        for tag in tags:
            self.cast.piece(tag)
        self.cast.spread(name, tags, when(pressed) - timedelta(minutes=5))
        self.cast.press(name, pressed)
