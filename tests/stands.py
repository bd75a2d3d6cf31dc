"""A batch of any size: turned stands of eight joints each, told once and written out many times.

One stand is told by verbs: a ring of five joints, and a drum of three made from it. The others
are the same rows under other names, so that five hundred need not be told one by one.
"""

from collections.abc import Callable
from datetime import timedelta
from typing import Any
from uuid import UUID, uuid5

from django.db.models import Model

from cureclock.actions.pieces_made import PieceSaid, ZoneSaid
from cureclock.shop.models import Batch, CoatedZone, Event, Joint, MadeFrom, Piece, Zone
from cureclock.waits.models import Gate, Leg, Wait
from tests.cast import Cast, when

RING_JOINTS, DRUM_JOINTS = 5, 3


def batch_of(count: int) -> tuple[Cast, Batch]:
    """A cast with a batch of so many stands, glued on Monday and coated on Friday."""
    cast = Cast.open()
    cast.place()
    cast.material()
    cast.material("Varnish", "varnish_wiping", {"wipe_off": None, "states_rule": True})
    _read(cast, "Mon 00:00", "Mon 06:00")
    _tell_one(cast)
    _read(cast, "Mon 12:00", "Fri 12:00")
    _write_more(cast, count)
    return cast, Batch.objects.get(workshop=cast.workshop)


def _read(cast: Cast, since: str, until: str) -> None:
    at = when(since)
    while at <= when(until):
        cast.do("reading_taken", at, place=cast.id("Shed"), temp_c=20.0, rh_pct=50.0)
        at += timedelta(hours=6)


def _tell_one(cast: Cast) -> None:
    cast.piece("R-1", at="Mon 06:00")
    zones = (ZoneSaid(cast.id("drum"), "drum"),)
    stand = PieceSaid(cast.id("P-1"), "P-1", "stand", zones, (cast.id("R-1"),))
    cast.do("pieces_made", "Mon 06:00", pieces=(stand,), batch=cast.id("L"), batch_name="L")
    for number in range(RING_JOINTS + DRUM_JOINTS):
        tag = "R-1" if number < RING_JOINTS else "P-1"
        at = when("Mon 07:00") + timedelta(minutes=20 * number)
        cast.spread(f"G{number}", [tag], at)  # type: ignore[arg-type]
        cast.do("pressure_on", at + timedelta(minutes=5), glue_up=cast.id(f"G{number}"))
        cast.do("clamps_off", at + timedelta(minutes=65), glue_up=cast.id(f"G{number}"))
    cast.do("joints_declared", "Mon 12:00", piece=cast.id("P-1"))
    cast.do(
        "coat_began",
        "Fri 08:00",
        coat=cast.id("C"),
        name="C",
        label=cast.id("Varnish label"),
        place=cast.id("Shed"),
        zones=(cast.id("drum"),),
    )
    cast.do("coat_ended", "Fri 08:20", coat=cast.id("C"))


def _write_more(cast: Cast, count: int) -> None:
    """The same rows again, each under an id made from its own and the number of the stand."""
    for number in range(2, count + 1):
        made: dict[UUID, UUID] = {}

        def other(ident: UUID, number: int = number, made: dict[UUID, UUID] = made) -> UUID:
            return made.setdefault(ident, uuid5(ident, str(number)))

        _copy(cast, other, number)


def _copy(cast: Cast, other: Callable[[UUID], UUID], number: int) -> None:
    mine = {"workshop": cast.workshop}
    pieces = Piece.objects.filter(**mine, tag__in=["R-1", "P-1"])
    ids = list(pieces.values_list("id", flat=True))
    _again(pieces, other, tag=lambda row: f"{row.tag[:2]}{number}")
    _again(Zone.objects.filter(piece__in=ids), other, piece_id=lambda row: other(row.piece_id))
    MadeFrom.objects.create(
        whole_id=other(cast.id("P-1")), part_id=other(cast.id("R-1")), event=uuid5(ids[0], "made")
    )
    joints = Joint.objects.filter(piece__in=ids)
    _again(joints, other, piece_id=lambda row: other(row.piece_id))
    CoatedZone.objects.create(coat_id=cast.id("C"), zone_id=other(cast.id("drum")), order=number)
    told = Event.objects.filter(**mine, kind="joints_declared", piece__in=ids)
    _again(told, other, piece_id=lambda row: other(row.piece_id))
    waits = Wait.objects.filter(**mine, piece__in=ids)
    kept = list(waits.values_list("id", flat=True))
    _again(
        waits,
        other,
        piece_id=lambda row: other(row.piece_id),
        joint_id=lambda row: row.joint_id and other(row.joint_id),
        zone_id=lambda row: row.zone_id and other(row.zone_id),
    )
    gates = Gate.objects.filter(wait__in=kept)
    _again(gates, other, wait_id=lambda row: other(row.wait_id))
    Leg.objects.bulk_create(
        Leg(wait_id=other(leg.wait_id), place_id=leg.place_id, began_at=leg.began_at)
        for leg in Leg.objects.filter(wait__in=kept)
    )


def _again(rows: Any, other: Callable[[UUID], UUID], **changed: Callable[[Any], Any]) -> None:
    copies: list[Model] = []
    for row in rows:
        ident = row.pk
        values = {name: make(row) for name, make in changed.items()}
        for name, value in values.items():
            setattr(row, name, value)
        row.pk = other(ident)
        row._state.adding = True
        copies.append(row)
    if copies:
        type(copies[0])._default_manager.bulk_create(copies)
