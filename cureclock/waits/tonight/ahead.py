"""What waits through the night: what is spoiled, what sleeps, what closes, what goes in the box."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from cureclock.core.reminding.kinds import OF_MINUTES
from cureclock.core.units import instant_us
from cureclock.core.wording.say import say
from cureclock.waits.check.scene import Scene
from cureclock.waits.current import Current
from cureclock.waits.groups import Group, group_shown, groups_of
from cureclock.waits.ledger import Ledger
from cureclock.waits.minute import to_minute
from cureclock.waits.tonight.air import PlaceNight
from cureclock.waits.tonight.when import Night

RECOAT = "recoat_closes"


@dataclass(frozen=True)
class GroupNight:
    """One glue-up or coat to which something happens in the night.

    Attributes:
        what: spoils, sleeps or closes.
        gate: which gate closes; empty otherwise.
    """

    group: UUID
    name: str
    place: UUID
    place_name: str
    what: str
    gate: str
    at: datetime
    says: str


@dataclass(frozen=True)
class IntoBox:
    """One that the night would spoil or put to sleep, and where it stays warm enough."""

    group: UUID
    name: str
    to: UUID
    to_name: str
    free_litres: int | None
    says: str


def nights_of(found: Current, scene: Scene, night: Night) -> tuple[GroupNight, ...]:
    """Everything that waits, by what the night does to it, in order of time."""
    until = night.back or night.by
    rows: list[GroupNight] = []
    for group in groups_of(found):
        rows += _foretold(found, scene, group, until)
        rows += _closing(found, scene, group, until)
    return tuple(sorted(rows, key=lambda one: (one.at, one.name)))


def _foretold(found: Current, scene: Scene, group: Group, until: datetime) -> Iterable[GroupNight]:
    shown = group_shown(found, scene.foresight, group)
    for one in shown.foretold:
        if one.at > until:
            continue
        told = {"name": group.name, "at": scene.reader.closes(instant_us(one.at))}
        cold = one.cause == "cold"
        says = say("check.tonight.spoils", **told) if cold else say("check.tonight.sleeps", **told)
        what = "spoils" if cold else "sleeps"
        yield GroupNight(
            group.id, group.name, shown.place.id, shown.place.name, what, "", one.at, says
        )


def _closing(found: Current, scene: Scene, group: Group, until: datetime) -> Iterable[GroupNight]:
    """What closes before anyone is back, of what is counted in hours."""
    first: dict[str, datetime] = {}
    for rung in group.rungs:
        kind = rung.gate.kind
        if rung.gate.opens or rung.over or kind in OF_MINUTES or rung.acts is None:
            continue
        if found.at < rung.acts < until:
            first[kind] = min(first.get(kind, rung.acts), rung.acts)
    place = group.waits[0].place
    for kind, acts in first.items():
        at = to_minute(acts, opens=False)
        assert at is not None
        told = {"name": group.name, "at": scene.reader.closes(instant_us(at))}
        if kind == RECOAT:
            says = say("check.tonight.recoat", **told)
        else:
            says = say("check.tonight.closes", gate=say(f"gate.{kind}.name"), **told)
        yield GroupNight(group.id, group.name, place.id, place.name, "closes", kind, at, says)


def into_box(
    found: Current,
    rows: Sequence[GroupNight],
    nights: Sequence[PlaceNight],
    stock: Ledger,
) -> tuple[IntoBox, ...]:
    """What should go where it stays warm: the warm box, else the warmest place that will do."""
    floors = {group.id: _floor_c(group) for group in groups_of(found)}
    boxes = {one.place: one for one in stock.lines if one.kind == "box" and one.place}
    found_rows = []
    for row in rows:
        floor = floors.get(row.group)
        if row.what == "closes" or floor is None:
            continue
        warm = [
            one
            for one in nights
            if one.place != row.place and one.low_c is not None and one.low_c >= floor
        ]
        if not warm:
            continue
        best = max(warm, key=lambda one: (one.place in boxes, one.low_c or 0.0))
        box = boxes.get(best.place)
        told = {"name": row.name, "place": best.name}
        says = say("check.tonight.into", **told)
        free = None if box is None else box.free
        found_rows.append(IntoBox(row.group, row.name, best.place, best.name, free, says))
    return tuple(found_rows)


def _floor_c(group: Group) -> float | None:
    """The temperature it must not fall below: where its film is lost, or where it sleeps."""
    label = group.waits[0].label.label
    return label.min_c if label.spoils else label.sleep_below_c
