"""A reading made an announced "ready" untrue: one correction, to whoever was told."""

from collections.abc import Sequence
from datetime import datetime, timedelta
from uuid import UUID

from django.db.models import Max

from cureclock.core.reminding.kinds import CLOSES, Kind
from cureclock.core.units import instant_us
from cureclock.reminders import promise
from cureclock.reminders.models import Alert, Delivery
from cureclock.waits.ages import Ages
from cureclock.waits.figures import figures_of
from cureclock.waits.models import Gate
from cureclock.waits.reread import Reread

WORTH_SAYING = timedelta(minutes=10)  # a gate that can hurt is corrected whatever the size
READY = (Kind.OPENS, Kind.ASK_LATHE)
OUT = (Delivery.State.SENT, Delivery.State.SENDING)


def correct(reread: Reread, at: datetime, why: str) -> None:
    """Corrections for gates that were reached and, by a reading, are not."""
    undone: dict[tuple[UUID, str], list[Gate]] = {}
    for gate in reread.undone:
        wait = gate.wait
        about = wait.glue_up_id or wait.coat_id or wait.hold_id
        if about is not None:
            undone.setdefault((about, gate.kind), []).append(gate)
    for (about, kind), gates in undone.items():
        alerts = Alert.objects.filter(about=about, gate=kind, kind__in=READY, settled_at=None)
        for alert in alerts.select_for_update():
            _take_back(alert, gates, at, why)


def _take_back(alert: Alert, gates: Sequence[Gate], at: datetime, why: str) -> None:
    """Where nobody was told yet there is nothing to take back: an alert is looked up anew when it
    is sent. Where it was wrong by little it stands, and is not told a second time."""
    untrue = [gate for gate in gates if str(gate.wait_id) in alert.waits]
    told = set(alert.deliveries.filter(state__in=OUT).values_list("person_id", flat=True))
    if not untrue or not told or not _worth_saying(untrue, alert, at):
        return
    waits = [gate.wait_id for gate in untrue]
    take_off(alert, waits, at)
    correction = of(alert, waits, instant_us(alert.due_at), why, at)
    houses = promise.Houses()
    home = houses.of(alert.workshop_id, at)
    if home is not None:
        keys = [one.key for one in home.shop.people if UUID(one.key) in told]
        whens = home.told_of(correction.kind, correction.gate, at, keys)
        promise.write([promise.Promise(correction, at, whens)], at, houses)


def _worth_saying(gates: Sequence[Gate], alert: Alert, at: datetime) -> bool:
    """Any size where it can hurt; else what is out by more than ten minutes, or out of reach."""
    if any(gate.hurts for gate in gates):
        return True
    loaded = list(Gate.objects.with_clocks().filter(id__in=[gate.id for gate in gates]))
    times = figures_of(loaded, Ages(min(gate.stay_at for gate in loaded), at))
    return any(one.act is None or one.act - alert.due_at > WORTH_SAYING for one in times.values())


def take_off(alert: Alert, waits: Sequence[UUID], at: datetime) -> bool:
    """Pieces that are not ready leave an alert, so that they are told of when they are.

    The alert is locked. False where they have left it already: that was corrected.
    """
    gone = {str(wait) for wait in waits}
    if not gone & set(alert.waits):
        return False
    alert.waits = [wait for wait in alert.waits if wait not in gone]
    alert.settled_at = None if alert.waits else at
    alert.save(update_fields=["waits", "settled_at"])
    return True


def _why(alert: Alert, why: str) -> str:
    """What closes sooner does not because it was colder."""
    return "reading" if alert.gate in CLOSES and why in ("colder", "lowest") else why


def of(alert: Alert, waits: Sequence[UUID], was_us: int, why: str, at: datetime) -> Alert:
    """The correction of an alert, not yet written."""
    same = Alert.objects.filter(about=alert.about, gate=alert.gate, kind=Kind.CORRECTION)
    last = same.aggregate(last=Max("seq"))["last"]
    return promise.alert(
        workshop=alert.workshop_id,
        about=alert.about,
        subject=alert.subject,
        gate=alert.gate,
        kind=Kind.CORRECTION,
        seq=0 if last is None else last + 1,
        waits=waits,
        said={"was_us": was_us, "why": _why(alert, why), "part": alert.said.get("part", alert.seq)},
        due_at=at,
        at=at,
    )
