"""What is said of gates: opened, about to close, closed."""

from collections.abc import Iterable, Sequence
from datetime import datetime

from cureclock.core.materials.library import library
from cureclock.core.reminding.alerts import CheckFrom, Closed, Closing, Forbidden, Opens
from cureclock.core.reminding.due_gates import TOLD_IF_SUSPECT
from cureclock.core.reminding.kinds import BARS
from cureclock.core.units import instant_us, moment_of
from cureclock.reminders.models import Alert
from cureclock.reminders.speech.lets_go import in_its_words
from cureclock.reminders.speech.spoken import (
    NOTHING,
    Facts,
    Spoken,
    link_of,
    subject_of,
    waits_of,
)
from cureclock.waits.current import Rung
from cureclock.waits.models import Gate

State = Gate.State


def opened(alert: Alert, facts: Facts) -> Spoken:
    """A gate that opened, for the pieces for which it is still open and not yet used."""
    rungs = _standing(alert, facts, (State.REACHED,))
    if not rungs:
        return NOTHING
    closes = _earliest(_acts(facts, rungs, "recoat_closes"))
    said = Opens(
        subject=subject_of(alert, rungs),
        gate=alert.gate,
        forbidden=tuple(forbidden(facts, rungs)),
        closes_us=None if closes is None else instant_us(closes),
        cautions=cautions_of(rungs),
    )
    until = closes if alert.gate == "recoat_opens" else None
    return Spoken(in_its_words(said, rungs), waits_of(rungs), link_of(alert), until)


def closing(alert: Alert, facts: Facts) -> Spoken:
    """A gate that is about to close, for the pieces whose act is not done."""
    rungs = _standing(alert, facts, (State.WAITING, State.WARNED))
    closes = _earliest(rung.acts for rung in rungs)
    if closes is None or closes <= facts.at:
        return NOTHING
    start_by = alert.said.get("start_by_us")
    said = Closing(
        subject=subject_of(alert, rungs),
        gate=alert.gate,
        closes_us=instant_us(closes),
        start_by_us=start_by if start_by and moment_of(start_by) <= closes else None,
        before_home=bool(alert.said.get("before_home")),
        cautions=cautions_of(rungs),
    )
    return Spoken(said, waits_of(rungs), link_of(alert), closes)


def closed(alert: Alert, facts: Facts) -> Spoken:
    """A gate that closed before its act was done."""
    rungs = _standing(alert, facts, (State.REACHED,))
    shut = _earliest(rung.acts for rung in rungs)
    if shut is None:
        return NOTHING
    said = Closed(subject_of(alert, rungs), alert.gate, instant_us(shut), cautions_of(rungs))
    return Spoken(said, waits_of(rungs), link_of(alert))


def check(alert: Alert, facts: Facts) -> Spoken:
    """A try makes sense, and the gate itself is not open yet."""
    rungs = _standing(alert, facts, (State.WAITING,))
    if not rungs:
        return NOTHING
    opens = [rung.acts for rung in rungs]
    last = None if None in opens else max(one for one in opens if one is not None)
    said = CheckFrom(
        subject_of(alert, rungs), alert.gate, None if last is None else instant_us(last)
    )
    return Spoken(said, waits_of(rungs), link_of(alert), last)


def forbidden(facts: Facts, rungs: Sequence[Rung]) -> Iterable[Forbidden]:
    """The gates ahead of some pieces that still forbid something, each by its last piece."""
    ahead: dict[str, list[datetime | None]] = {}
    for rung in facts.ladder(rungs):
        gate = rung.gate
        if gate.kind in BARS and gate.state in (State.WAITING, State.WARNED):
            ahead.setdefault(gate.kind, []).append(rung.acts)
    for kind, instants in ahead.items():
        known = [one for one in instants if one is not None]
        never = len(known) < len(instants)
        yield Forbidden(kind, None if never else instant_us(max(known)))


def cautions_of(rungs: Sequence[Rung]) -> tuple[str, ...]:
    """The cautions of a group's material."""
    family = library().families.get(rungs[0].wait.label.material.family)
    return family.cautions if family else ()


def _standing(alert: Alert, facts: Facts, states: Sequence[str]) -> list[Rung]:
    """The gate of each wait in one of these states; of a suspect one only what frees clamps."""
    return [
        rung
        for rung in facts.rungs(alert, alert.gate)
        if rung.gate.state in states
        and (alert.gate in TOLD_IF_SUSPECT or not facts.found.suspect(rung.wait))
    ]


def _acts(facts: Facts, rungs: Sequence[Rung], gate: str) -> Iterable[datetime | None]:
    return (rung.acts for rung in facts.ladder(rungs) if rung.gate.kind == gate and not rung.over)


def _earliest(moments: Iterable[datetime | None]) -> datetime | None:
    return min((one for one in moments if one is not None), default=None)
