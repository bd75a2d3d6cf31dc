"""Tells a story by calling actions under a clock that the story moves."""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from typing import Any
from uuid import UUID, uuid5

from cureclock.actions.readings_taken import readings_taken
from cureclock.actions.registry import verbs
from cureclock.demo.log import POWER_CUT, hours, rows
from cureclock.shop.happening import Happening, Teller
from cureclock.shop.models import Place, Sensor, Workshop
from cureclock.shop.readings import ReadingSaid

Tick = Callable[[datetime], None]


@dataclass
class Story:
    """A workshop whose week is told: ids by name, a Monday, and who tells.

    Attributes:
        workshop: whose week.
        people: who may tell, by name.
        monday: the local day that the story calls Monday.
        end: where the story stops for this telling.
        tick: called before the story's clock moves on, when all of a moment has been told.
    """

    workshop: Workshop
    people: dict[str, Teller]
    monday: date
    end: str = "Sun 20:00"
    tick: Tick | None = None
    sensors: dict[str, Sensor] = field(default_factory=dict)
    _read_until: float = -1.0
    _acts: int = 0
    _now: datetime | None = None

    def id(self, name: str) -> UUID:
        """The id of a thing by its name in the story; the same in every telling of a workshop."""
        return uuid5(self.workshop.id, name)

    def when(self, at: str) -> datetime:
        """ "Wed 18:40" as an instant."""
        midnight = datetime.combine(self.monday, time(), tzinfo=self.workshop.tz)
        elapsed = timedelta(hours=hours(at))
        return midnight + elapsed

    def act(
        self, at: str, verb: str, *, by: str = "Maker", ago: timedelta = timedelta(), **said: Any
    ) -> None:
        """Something happens: the loggers first say what they have read until then.

        What the story tells of after its end is not told.

        Args:
            at: when it is told.
            verb: what happens.
            by: who tells it.
            ago: how long before it happened, for what was kept in a notebook.
            said: what is said with it.
        """
        if hours(at) > hours(self.end):
            return
        self.read_until(at)
        self._acts += 1
        moment = self.when(at)
        self._move_to(moment)
        told = verbs()[verb]
        ident = self.id(f"act {self._acts}")
        happening = Happening(ident, self.people[by], moment - ago, moment)
        told.do(happening, told.shape(**said))

    def read_until(self, at: str) -> None:
        """Everything the loggers said up to an instant arrives, late where the power was cut."""
        due = []
        for name, sensor in self.sensors.items():
            for row in rows(name):
                arrived = self._arrives(row[0])
                if self._read_until < hours(arrived) <= hours(at):
                    due.append((hours(arrived), hours(row[0]), name, sensor, row, arrived))
        for *_, sensor, row, arrived in sorted(due, key=lambda one: one[:3]):
            self._reading(sensor.place, sensor, row, arrived)
        self._read_until = max(self._read_until, hours(at))

    def _reading(
        self, place: Place, sensor: Sensor, row: tuple[str, float, float], arrived: str
    ) -> None:
        at, temp_c, rh_pct = row
        ident = self.id(f"{place.name} {at}")
        moment = self.when(arrived)
        said = [ReadingSaid(ident, self.when(at), temp_c, rh_pct)]
        self._move_to(moment)
        readings_taken(self.people["Maker"], place, said, moment, sensor)

    def _arrives(self, at: str) -> str:
        """When a logger's reading arrives: at once, or when the power is back."""
        off, on = POWER_CUT
        return on if hours(off) < hours(at) <= hours(on) else at

    def _move_to(self, moment: datetime) -> None:
        if self._now is not None and moment > self._now:
            self.ended()
        self._now = moment

    def ended(self) -> None:
        """All of this moment has been told."""
        if self.tick is not None and self._now is not None:
            self.tick(self._now)
