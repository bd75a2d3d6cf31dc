"""Very many waits on one clock, written in bulk as the verbs would have written them."""

from collections.abc import Sequence
from datetime import datetime, timedelta
from uuid import UUID, uuid4, uuid5

from django.db import connection, transaction

from cureclock.reminders.models import Way
from cureclock.shop.models import GlueUp, Joint, Piece, Place
from cureclock.waits.ages import Ages
from cureclock.waits.clocks import set_next
from cureclock.waits.models import Clock, Gate, Leg, Wait
from tests.cast import PVA_G, Cast

BATCH = 2000


def shop(at: datetime, temp_c: float = 20.0) -> Cast:
    """A shop at the label's temperature, read an hour ago, with one wait begun since."""
    cast = Cast.open()
    cast.workshop.hours = {str(day): ["00:00", "23:59"] for day in range(7)}
    cast.workshop.save(update_fields=["hours"])
    began = at - timedelta(hours=1)
    cast.place()
    cast.material(values={**PVA_G, "clamps_off": 0.75, "keep_warm": 0.1})
    cast.do("reading_taken", began, place=cast.id("Shed"), temp_c=temp_c)
    return cast


def waits(
    cast: Cast, due: Sequence[datetime], *, kind: str = "clamps_off", pressed: datetime
) -> list[UUID]:
    """One glue-up of one piece for each instant, whose gate is due then; the glue-ups' ids.

    Every wait began before the place's last reading, so that its gate is a plain threshold.
    """
    template = _template(cast, pressed)
    gate = template.gates.get(kind=kind)
    clock = Clock.objects.select_related("place__workshop").get(pk=gate.act_clock_id)
    glue_ups: list[UUID] = []
    for start in range(0, len(due), BATCH):
        glue_ups += _write(cast, template, gate, clock, due[start : start + BATCH])
    Gate.objects.filter(wait=template).update(state=Gate.State.OVER)
    set_next(clock, Ages(clock.read_at, max(due)))
    clock.save()
    return glue_ups


def _template(cast: Cast, pressed: datetime) -> Wait:
    cast.piece("T-0", at=pressed - timedelta(hours=1))
    cast.spread("template", ["T-0"], pressed - timedelta(minutes=1))
    cast.do("pressure_on", pressed, glue_up=cast.id("template"))
    return Wait.objects.get(glue_up=cast.id("template"))


def _subjects(cast: Cast, template: Wait, gate: Gate, count: int, place: Place) -> list[UUID]:
    """Glue-ups of one piece and one joint each, with their waits and stays; their ids."""
    workshop, label = cast.workshop, template.label
    idents = [uuid4() for _ in range(count)]
    Piece.objects.bulk_create(
        Piece(id=uuid5(one, "piece"), workshop=workshop, tag=one.hex[:20], made_at=gate.began_at)
        for one in idents
    )
    GlueUp.objects.bulk_create(
        GlueUp(
            id=one,
            workshop=workshop,
            name=one.hex[:8],
            label=label,
            place=place,
            made_at=gate.began_at,
        )
        for one in idents
    )
    Joint.objects.bulk_create(
        Joint(id=uuid5(one, "joint"), glue_up_id=one, piece_id=uuid5(one, "piece"), name="j")
        for one in idents
    )
    Wait.objects.bulk_create(
        Wait(
            id=uuid5(one, "wait"),
            workshop=workshop,
            glue_up_id=one,
            joint_id=uuid5(one, "joint"),
            piece_id=uuid5(one, "piece"),
            label=label,
            began_at=gate.began_at,
            place=place,
        )
        for one in idents
    )
    Leg.objects.bulk_create(
        Leg(wait_id=uuid5(one, "wait"), place=place, began_at=gate.began_at) for one in idents
    )
    return idents


def _write(
    cast: Cast, template: Wait, gate: Gate, clock: Clock, due: Sequence[datetime]
) -> list[UUID]:
    idents = _subjects(cast, template, gate, len(due), clock.place)
    Gate.objects.bulk_create(
        Gate(
            id=uuid5(one, gate.kind),
            workshop=cast.workshop,
            wait_id=uuid5(one, "wait"),
            kind=gate.kind,
            opens=gate.opens,
            hurts=gate.hurts,
            began_at=gate.began_at,
            stay_at=gate.stay_at,
            need_us=gate.need_us,
            sure_need_us=gate.sure_need_us,
            margin=gate.margin,
            bare_clock_id=gate.bare_clock_id,
            bare_us=gate.bare_us,
            act_clock=clock,
            act_us=clock.age_us + (at - clock.read_at) // timedelta(microseconds=1),
            placed=gate.placed,
        )
        for one, at in zip(idents, due, strict=True)
    )
    return idents


def due_again(glue_ups: Sequence[UUID], due: Sequence[datetime]) -> None:
    """Say anew when the gates of glue-ups made by `waits` are due."""
    gate = Gate.objects.get(id=uuid5(glue_ups[0], "clamps_off"))
    clock = Clock.objects.select_related("place__workshop").get(pk=gate.act_clock_id)
    pk = Gate._meta.pk
    rows = [
        (
            clock.age_us + (at - clock.read_at) // timedelta(microseconds=1),
            pk.get_db_prep_value(uuid5(one, "clamps_off"), connection),
        )
        for one, at in zip(glue_ups, due, strict=True)
    ]
    with transaction.atomic(), connection.cursor() as cursor:
        cursor.executemany(f"UPDATE {Gate._meta.db_table} SET act_us = %s WHERE id = %s", rows)
    set_next(clock, Ages(clock.read_at, max(due)))
    clock.save()


def push_way(cast: Cast, address: str, keys: dict[str, str], at: datetime) -> Way:
    """A phone of the owner's."""
    return Way.objects.create(
        workshop=cast.workshop,
        person=cast.owner.person,
        kind="webpush",
        address=address,
        host=address.split("/")[2],
        keys=keys,
        made_at=at,
    )
