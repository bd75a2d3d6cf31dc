"""What is said of doubt: suspect, cold ahead, asleep, a place that is silent, rags."""

from uuid import UUID

from cureclock.core.reminding.alerts import (
    Asleep,
    ColdAhead,
    Forbidden,
    Rags,
    Subject,
    SuspectFound,
    Unsure,
)
from cureclock.core.reminding.kinds import BARS
from cureclock.core.units import instant_us
from cureclock.reminders.models import Alert, RagsQuestion
from cureclock.reminders.silence import last_word
from cureclock.reminders.speech.spoken import (
    NOTHING,
    Facts,
    Spoken,
    link_of,
    subject_of,
    waits_of,
)
from cureclock.shop.models import Place
from cureclock.waits.current import Rung
from cureclock.waits.foretold import Foresight, foretold_of
from cureclock.waits.models import Gate
from cureclock.waits.shown import ForetoldShown


def suspect(alert: Alert, facts: Facts) -> Spoken:
    """Doubt that stands; nothing once a person has cleared it."""
    rungs = [
        rung
        for rung in facts.firsts(alert)
        if any(
            doubt.cause == alert.gate and doubt.cleared_by is None
            for doubt in facts.found.doubts.get(rung.wait.id, ())
        )
    ]
    if not rungs:
        return NOTHING
    film = rungs[0].wait.coat_id is not None
    said = SuspectFound(subject_of(alert, rungs), alert.gate, film)
    return Spoken(said, waits_of(rungs), link_of(alert))


def cold(alert: Alert, facts: Facts) -> Spoken:
    """The expected air still spoils it before it sets."""
    rungs = facts.every(alert)
    ends = [told for told in _foretold(facts, rungs) if told.cause == "cold"]
    if not ends:
        return NOTHING
    pressed = any(rung.gate.kind == "keep_warm" for rung in rungs)
    said = ColdAhead(subject_of(alert, rungs), instant_us(ends[0].at), None, pressed)
    return Spoken(said, waits_of(facts.firsts(alert)), link_of(alert), ends[0].at)


def asleep(alert: Alert, facts: Facts) -> Spoken:
    """The expected air is still too cold for it to go on."""
    rungs = facts.every(alert)
    ends = [told for told in _foretold(facts, rungs) if told.cause == "asleep"]
    if not ends:
        return NOTHING
    ahead = [rung for rung in rungs if _bars(rung)]
    if not ahead:
        return NOTHING
    needs = min(_sleep_c(rung) for rung in ahead)
    air = float(facts.found.ages.air(ahead[0].wait.place).readings.temp_c[-1:].sum())
    said = Asleep(
        subject=subject_of(alert, ahead),
        air=f"{air:.0f} °C",
        needs=f"{needs:.0f} °C",
        forbidden=Forbidden(ahead[0].gate.kind, None),
    )
    return Spoken(said, waits_of(facts.firsts(alert)), link_of(alert))


def _foretold(facts: Facts, rungs: list[Rung]) -> tuple[ForetoldShown, ...]:
    return foretold_of(facts.found, Foresight(facts.found.ages), rungs) if rungs else ()


def _bars(rung: Rung) -> bool:
    waiting = rung.gate.state == Gate.State.WAITING
    return waiting and rung.gate.kind in BARS and _sleep_c(rung) > -273


def _sleep_c(rung: Rung) -> float:
    row = rung.gate.act_clock
    found = None if row is None else row.response["sleep_below_c"]
    return -274.0 if found is None else float(found)


def unsure(alert: Alert, facts: Facts) -> Spoken:
    """A place in which something waits and that has still not been read."""
    place = Place.objects.filter(id=alert.about).first()
    if place is None:
        return NOTHING
    last = last_word(place.id)
    if not last.is_missed(facts.at):
        return NOTHING
    newest = None if last.at is None else instant_us(last.at)
    return Spoken(Unsure(str(place.id), place.name, newest), link="/now")


def rags(alert: Alert, facts: Facts) -> Spoken:  # noqa: ARG001  every speaker takes the facts
    """Where are the rags? Until somebody says so."""
    question = RagsQuestion.objects.filter(id=alert.about).first()
    if question is None or question.answered_at is not None or question.struck_at is not None:
        return NOTHING
    subject = Subject(str(question.id), called=question.which)
    return Spoken(Rags(subject, question.material, alert.seq), link=f"/rags/{question.id}")


def rags_open(workshop: UUID) -> list[RagsQuestion]:
    """Questions nobody has answered."""
    rows = RagsQuestion.objects.filter(workshop=workshop, answered_at=None, struck_at=None)
    return list(rows.order_by("acted_at"))
