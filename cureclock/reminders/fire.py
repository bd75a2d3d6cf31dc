"""Fire: what has come due becomes an alert, once, in the transaction that marks it."""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, field
from datetime import datetime

from cureclock.reminders import points, promise, trouble
from cureclock.reminders.gather import Gathering, Key, gatherings
from cureclock.reminders.kinds import announced_as
from cureclock.reminders.models import Alert
from cureclock.reminders.outage import GAP
from cureclock.reminders.writing import writing
from cureclock.waits.due import DueClocks
from cureclock.waits.models import Clock
from cureclock.waits.passing import Passed


@dataclass
class Firing:
    """What a dispatcher keeps between one turn and the next: clocks and people, for a while.

    Attributes:
        summed_until: what was due before that, and late, is told in one summary.
        to_send: how many deliveries were written since somebody set it to none.
    """

    clocks: DueClocks = field(default_factory=DueClocks)
    houses: promise.Houses = field(default_factory=promise.Houses)
    summed_until: datetime | None = None
    to_send: int = 0

    def fire(self, at: datetime, only: int | None = None) -> int:
        """One short transaction: gates marked, alerts and deliveries written; how many gates."""
        if only is None and not self.clocks.build(at):
            return 0
        with writing():
            passed = self.clocks.take(at, only=only)
            points.reach("fire.marked")
            self.promise(passed, at)
            points.reach("fire.promised")
        points.reach("fire.committed")
        return len(passed)

    def fire_all(self, at: datetime) -> int:
        """Everything that is due by an instant; a clock that raises holds up no other."""
        taken = 0
        while True:
            try:
                more = self.fire(at)
            except Exception:  # noqa: BLE001  the one that raised is found by asking each
                more = self._one_by_one(at)
                self.clocks.full = True  # who raised may have stood before others
            taken += more
            if not more or not self.clocks.full:
                return taken

    def renew(self, at: datetime) -> None:
        """What will be needed soon and is getting old, while nothing else is to be done."""
        self.clocks.renew(at)
        self.houses.renew(at)

    def _one_by_one(self, at: datetime) -> int:
        taken = 0
        for pk in Clock.objects.filter(next_due_at__lte=at).values_list("pk", flat=True):
            try:
                taken += self.fire(at, only=pk)
            except Exception as raised:  # noqa: BLE001  whatever it is, the others are due
                trouble.push_ahead_clock(pk, raised, at)
        return taken

    def promise(self, passed: Sequence[Passed], at: datetime) -> None:
        """Alerts for the gates that passed, one for a group whose ends are near each other."""
        fresh, seqs = _untold(passed)
        promises = []
        for one in gatherings(fresh, at):
            seq = seqs.get(one.key, 0)
            seqs[one.key] = seq + 1
            late = self.summed_until is not None and self.summed_until - one.due_at > GAP
            promises.append(_promise(one, seq, at, late))
        self.to_send += promise.write(promises, at, self.houses)


def _untold(passed: Sequence[Passed]) -> tuple[dict[Key, list[Passed]], dict[Key, int]]:
    """What passed and no alert names yet, by what the alert would be; and the next number of each.

    The alerts are locked: one that is just being sent drops the pieces that are not ready, and
    those have to be told by the next.
    """
    groups: dict[Key, list[Passed]] = {}
    for one in passed:
        kind = announced_as(one)
        if kind is not None:
            groups.setdefault((one.about, one.kind, str(kind)), []).append(one)
    named: dict[Key, set[str]] = {}
    seqs: dict[Key, int] = {}
    for alert in _about(groups):
        key = (alert.about, alert.gate, alert.kind)
        named.setdefault(key, set()).update(alert.waits)
        seqs[key] = max(seqs.get(key, 0), alert.seq + 1)
    fresh = {
        key: [one for one in rows if str(one.wait) not in named.get(key, ())]
        for key, rows in groups.items()
    }
    return {key: rows for key, rows in fresh.items() if rows}, seqs


def _about(groups: Collection[Key]) -> Iterable[Alert]:
    if not groups:
        return []
    abouts, gates, kinds = (set(part) for part in zip(*groups, strict=True))
    same = Alert.objects.filter(about__in=abouts, gate__in=gates, kind__in=kinds)
    return same.select_for_update().only("about", "gate", "kind", "seq", "waits")


def _promise(one: Gathering, seq: int, at: datetime, late: bool) -> promise.Promise:
    about, gate, kind = one.key
    alert = promise.alert(
        workshop=one.first.workshop,
        about=about,
        subject=one.first.subject,
        gate=gate,
        kind=kind,
        seq=seq,
        waits=one.waits,
        due_at=one.due_at,
        at=at,
    )
    return promise.Promise(alert, max(one.tell_at, at), held=late)
