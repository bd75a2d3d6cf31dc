"""The rags question: asked after every coat or wipe of a finish whose rags heat themselves,
until somebody says where they are. Nothing else ends it, and the record of it stays."""

from collections.abc import Iterable, Sequence
from datetime import datetime
from uuid import UUID

from cureclock.core.materials.finish import Finish
from cureclock.core.materials.library import library
from cureclock.core.reminding.kinds import Kind
from cureclock.core.reminding.rings import ANSWERS, Ring, ended, next_ring
from cureclock.core.units import instant_us, moment_of
from cureclock.reminders import promise
from cureclock.reminders.models import Alert, Delivery, RagsQuestion
from cureclock.reminders.people import House, When
from cureclock.shop.models import Coat, Event, Person, Workshop
from cureclock.shop.record import standing
from cureclock.shop.refusals import NotHere, Refusal

ACTS = ("coat_ended", "wiped")
TOLD = (*ACTS, "rag_placed", "struck_out")


def follow(workshop: Workshop, coats: Iterable[Coat], at: datetime) -> None:
    """Ask after what was just coated or wiped; end what was just answered or struck out."""
    burning = {coat.id: coat for coat in coats if _heats(coat)}
    open_ones = list(
        RagsQuestion.objects.filter(workshop=workshop, answered_at=None, struck_at=None)
    )
    if not burning and not open_ones:
        return
    about = {*burning, *(one.coat for one in open_ones)}
    rows = Event.objects.filter(workshop=workshop, coat__in=about, kind__in=TOLD)
    told = standing(list(rows.select_related("person")))
    for coat in burning.values():
        _ask(workshop, coat, [e for e in told if e.coat_id == coat.id], open_ones)
    for one in RagsQuestion.objects.filter(workshop=workshop, answered_at=None, struck_at=None):
        _settle(one, told, at)


def _heats(coat: Coat) -> bool:
    finish = library().families.get(coat.label.material.family)
    return isinstance(finish, Finish) and finish.rags_self_heat


def _ask(
    workshop: Workshop, coat: Coat, told: Sequence[Event], open_ones: Sequence[RagsQuestion]
) -> None:
    """One question a coat, about the last act that made rags oily."""
    acts = [event for event in told if event.kind in ACTS]
    if not acts:
        return
    last = acts[-1]
    row, new = RagsQuestion.objects.get_or_create(
        act=last.id,
        defaults={
            "workshop": workshop,
            "coat": coat.id,
            "which": coat.name,
            "material": coat.label.material.name,
            "acted_at": last.happened_at,
            "ask_at": last.happened_at,
        },
    )
    if not new and row.struck_at is not None and row.answered_at is None:
        row.ask_at, row.struck_at = last.happened_at, None  # a later act was struck out
        row.save(update_fields=["ask_at", "struck_at"])
    older = [one.id for one in open_ones if one.coat == coat.id and one.act != last.id]
    RagsQuestion.objects.filter(id__in=older).update(ask_at=None, struck_at=last.arrived_at)


def _settle(one: RagsQuestion, told: Sequence[Event], at: datetime) -> None:
    """Answered by what was told since the act; over if the act was struck out."""
    own = [event for event in told if event.coat_id == one.coat]
    placed = [e for e in own if e.kind == "rag_placed" and e.happened_at >= one.acted_at]
    if placed:
        answer(
            one, str(placed[-1].body.get("where", "")), placed[-1].person, placed[-1].happened_at
        )
    elif own and one.act not in {event.id for event in own}:
        one.ask_at, one.struck_at = None, at
        one.save(update_fields=["ask_at", "struck_at"])


def answer(one: RagsQuestion, where: str, person: Person | None, at: datetime) -> None:
    """Somebody says where they are: that ends it, and stays on record with a name."""
    if not ended(where):
        raise Refusal("where", f"{where!r} is no safe place", f"one of {', '.join(ANSWERS)}")
    one.answered_at, one.where, one.by, one.ask_at = at, where, person, None
    one.by_name = person.name if person else ""
    one.save()


def placed(workshop: Workshop, question: UUID, where: str, person: Person, at: datetime) -> None:
    """The same for a question whose coat is gone from the records."""
    one = RagsQuestion.objects.filter(workshop=workshop, id=question).first()
    if one is None:
        raise NotHere("question")
    if one.answered_at is None:
        answer(one, where, person, at)


def ring(one: RagsQuestion, home: House, at: datetime, houses: promise.Houses) -> None:
    """Ask again if it is time, and say when it will be; inside a transaction."""
    rung = Alert.objects.filter(about=one.id, kind=Kind.RAGS).order_by("seq")
    times = [instant_us(alert.made_at) for alert in rung]
    now = next_ring(home.shop.people, wiped_us=instant_us(one.acted_at), rung_us=times)
    if now.at_us <= instant_us(at):
        _write(one, now, at, houses)
        times.append(instant_us(at))
        now = next_ring(home.shop.people, wiped_us=instant_us(one.acted_at), rung_us=times)
    one.asked, one.ask_at = len(times), moment_of(now.at_us)
    one.save(update_fields=["asked", "ask_at"])


def _write(one: RagsQuestion, now: Ring, at: datetime, houses: promise.Houses) -> None:
    """The new ring takes the place of those before it."""
    older = Alert.objects.filter(about=one.id, kind=Kind.RAGS, settled_at=None)
    waiting = Delivery.objects.filter(alert__in=older, state=Delivery.State.PENDING)
    waiting.update(state=Delivery.State.SUPERSEDED)
    older.update(settled_at=at)
    alert = promise.alert(
        workshop=one.workshop_id,
        about=one.id,
        subject="rags",
        kind=Kind.RAGS,
        seq=now.repeat,
        said={"part": 0},
        due_at=one.acted_at,
        at=at,
    )
    whens = tuple(When(UUID(key), at) for key in now.people)
    promise.write([promise.Promise(alert, at, whens)], at, houses)
