"""What is said when something announced is not so."""

from cureclock.core.reminding.alerts import Correction
from cureclock.core.units import instant_us
from cureclock.reminders.models import Alert
from cureclock.reminders.speech.spoken import (
    NOTHING,
    Facts,
    Spoken,
    link_of,
    subject_of,
    waits_of,
)
from cureclock.waits.models import Gate


def correction(alert: Alert, facts: Facts) -> Spoken:
    """What was said, what is true now, and why; nothing where it has come true meanwhile."""
    rungs = [
        rung
        for rung in facts.rungs(alert, alert.gate)
        if rung.gate.state in (Gate.State.WAITING, Gate.State.WARNED)
    ]
    if not rungs:
        return NOTHING
    opens = rungs[0].gate.opens
    known = [rung.acts for rung in rungs if rung.acts is not None]
    pick = max if opens else min
    now = pick(known) if known and (len(known) == len(rungs) or not opens) else None
    said = Correction(
        subject=subject_of(alert, rungs),
        gate=alert.gate,
        was_us=int(alert.said["was_us"]),
        now_us=None if now is None else instant_us(now),
        why=str(alert.said["why"]),
    )
    return Spoken(said, waits_of(rungs), link_of(alert))
