"""What is to be said of an alert now, or that there is nothing to say any more."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from cureclock.core.reminding.alerts import Subject
from cureclock.reminders.models import Alert
from cureclock.waits.current import Current, Rung


@dataclass(frozen=True)
class Spoken:
    """What is to be said of an alert at an instant.

    Attributes:
        said: what the core composes a message of; None where it is no longer true.
        waits: those of the alert's waits it is true of; None where it has none.
        link: path of the page that it opens.
        until: when it stops being worth delivering; None where it does not by itself.
        again_at: it is not true yet: when to look again.
        listed: alerts that a list tells of, in place of their own messages.
    """

    said: object | None
    waits: tuple[str, ...] | None = None
    link: str = "/now"
    until: datetime | None = None
    again_at: datetime | None = None
    listed: tuple[UUID, ...] = ()


NOTHING = Spoken(None)


@dataclass(frozen=True)
class Facts:
    """What a workshop's alerts are looked up in.

    Attributes:
        found: the waits that the alerts speak of, with their gates and figures.
        by_id: the gates of each wait.
    """

    found: Current
    by_id: Mapping[UUID, Sequence[Rung]]

    @property
    def at(self) -> datetime:
        """When it is said."""
        return self.found.at

    def rungs(self, alert: Alert, gate: str) -> list[Rung]:
        """One gate of each wait of an alert that is still open."""
        waits = (UUID(wait) for wait in alert.waits)
        return [
            rung
            for wait in waits
            for rung in self.by_id.get(wait, ())
            if rung.gate.kind == gate and rung.wait.open
        ]

    def firsts(self, alert: Alert) -> list[Rung]:
        """One gate, whichever, of each wait of an alert that is still open: for its piece."""
        return [own[0] for own in self._open(alert)]

    def every(self, alert: Alert) -> list[Rung]:
        """Every gate of the waits of an alert that are still open."""
        return [rung for own in self._open(alert) for rung in own]

    def _open(self, alert: Alert) -> list[Sequence[Rung]]:
        found = (self.by_id.get(UUID(wait), ()) for wait in alert.waits)
        return [own for own in found if own and own[0].wait.open]

    def ladder(self, rungs: Sequence[Rung]) -> list[Rung]:
        """Every gate of the waits of some rungs."""
        waits = {rung.wait.id for rung in rungs}
        return [rung for wait in waits for rung in self.by_id.get(wait, ())]


def subject_of(alert: Alert, rungs: Sequence[Rung]) -> Subject:
    """The group an alert is about, with the pieces it is true of."""
    wait = rungs[0].wait
    group = wait.glue_up or wait.coat
    return Subject(
        key=str(alert.about),
        called=str(group) if group else "",
        tags=sorted({rung.wait.piece.tag for rung in rungs}),
        place=wait.place.name,
        part=int(alert.said.get("part", alert.seq)),
    )


def waits_of(rungs: Sequence[Rung]) -> tuple[str, ...]:
    """The waits of some rungs, as an alert keeps them."""
    return tuple(str(rung.wait.id) for rung in rungs)


def link_of(alert: Alert) -> str:
    """The page an alert about a group opens."""
    return f"/wait/{alert.about}"
