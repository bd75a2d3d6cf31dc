"""The wait of a hold, read from its events: until it holds, and by when it must be off."""

from datetime import datetime
from uuid import uuid5

from django.db.models import Q

from cureclock.core.ladder import ladder
from cureclock.shop.lineage import Links, above, closure
from cureclock.shop.models import Event, Hold, Place
from cureclock.shop.record import stand
from cureclock.shop.swaps import swaps_of
from cureclock.waits.carriers import Course, courses
from cureclock.waits.planned import PlannedGate, PlannedWait, stays_of


def plan_hold(hold: Hold) -> list[PlannedWait]:
    """The wait that a hold should have; none where nobody said what it is made with, or where."""
    if hold.label is None or hold.place is None:
        return []
    wholes = above([hold.piece_id])
    swaps = swaps_of(hold.piece.workshop_id)
    mixed = swaps.mixed(closure([hold.piece_id], wholes))
    rows = Event.objects.filter(Q(piece__in=mixed), glue_up=None, coat=None)
    told = swaps.counted(stand(rows))
    own = [event for event in told if event.body.get("hold") == str(hold.id)]
    on = [event.happened_at for event in own if event.kind == "hold_on"]
    if not on:
        return []
    off = [event.happened_at for event in own if event.kind == "hold_off"]
    course = _course(hold, min(off, default=None), wholes, told)
    over = course.over_at is not None
    gates = [PlannedGate(gate, on[0], over) for gate in ladder(hold.label.label)]
    if not gates:
        return []
    moved = Place.objects.select_related("workshop").in_bulk([place for _, place in course.moves])
    moves = [(at, moved[place]) for at, place in course.moves]
    return [
        PlannedWait(
            id=uuid5(hold.id, "wait"),
            piece=hold.piece,
            label=hold.label,
            stays=stays_of(hold.place, on[0], moves, course.over_at),
            gates=gates,
            floor_c=None,
            open=not over,
            hold=hold,
        )
    ]


def _course(hold: Hold, off_at: datetime | None, wholes: Links, told: list[Event]) -> Course:
    """Where it went with its piece; of a piece that was parted, with the part first told of."""
    own = [event for event in told if event.piece_id == hold.piece_id]
    moves = [(e.happened_at, e.place_id) for e in own if e.kind == "moved_place" and e.place_id]
    ends = [e.happened_at for e in own if e.kind == "piece_lost"]
    over_at = min([*ends, *([off_at] if off_at else [])], default=None)
    return courses(hold.piece_id, Course(None, tuple(moves), over_at), wholes, told)[0]
