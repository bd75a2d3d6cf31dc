"""An alert speaks of what it is true of; the other pieces are told of when they are ready."""

from collections.abc import Sequence
from dataclasses import dataclass
from uuid import UUID

from cureclock.reminders.models import Alert
from cureclock.reminders.speech.spoken import Facts, Spoken
from cureclock.waits.models import Gate


@dataclass(frozen=True)
class Trim:
    """The pieces an alert goes on to speak of.

    Attributes:
        kept: its waits from now on.
        not_ready: waits that leave it because their gate had not come when that was looked up.
    """

    alert: UUID
    gate: str
    kept: Sequence[str]
    not_ready: Sequence[str]

    def write(self) -> bool:
        """Write it under a lock; False where one of those that leave has become ready since.

        Whoever fires takes the same lock, and tells of a piece by an alert of its own only where
        no alert names it.
        """
        alert = Alert.objects.select_for_update().get(id=self.alert)
        came = Gate.objects.filter(
            wait__in=map(UUID, self.not_ready), kind=self.gate, state=Gate.State.REACHED
        )
        if came.exists():
            return False
        if alert.told_at is None:
            alert.waits = list(self.kept)
            alert.save(update_fields=["waits"])
        return True


def trim_of(alert: Alert, told: Spoken, facts: Facts) -> Trim | None:
    """What to trim of an alert; None where nothing, or where somebody was told already."""
    if alert.told_at is not None or told.again_at is not None:
        return None
    kept = [] if told.said is None else list(told.waits or alert.waits)
    if set(kept) == set(alert.waits):
        return None
    ready = {
        str(rung.wait.id)
        for rung in facts.rungs(alert, alert.gate)
        if rung.gate.state == Gate.State.REACHED
    }
    left = [wait for wait in alert.waits if wait not in kept]
    return Trim(alert.id, alert.gate, kept, [wait for wait in left if wait not in ready])
