"""What holds the clamps, forms and hooks: told when it began, and free only when somebody says so."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from uuid import UUID

from django.db.models import Exists, F, OuterRef, Q

from cureclock.shop.models import CoatedZone, Event, Workshop
from cureclock.shop.record import STRIKES, standing
from cureclock.waits.models import Wait

TAKES = ("spread_began", "pressure_on", "coat_began", "things_held")
LONG = timedelta(days=60)  # nobody leaves what is over on its hook so long; our choice
LETS_GO = ("clamps_off", "things_freed", "moved_place", "added_late", "taken_out")


@dataclass
class Holding:
    """So many of one thing, held by one glue-up or coat.

    Attributes:
        joints: the joints it presses, by id; None: all of the glue-up.
    """

    thing: UUID
    count: int
    since: datetime
    glue_up: UUID | None
    coat: UUID | None
    joints: frozenset[str] | None = None
    said: int = 0  # as it was told, whatever was let go since
    off: set[str] = field(default_factory=set)

    @property
    def group(self) -> UUID:
        """The glue-up or coat."""
        found = self.glue_up or self.coat
        assert found is not None
        return found

    def left(self, every: Collection[str]) -> int:
        """How many still hold, a part of one counted whole; `every` joint of the glue-up."""
        mine = self.joints if self.joints is not None else frozenset(every)
        if not mine:
            return self.count
        return -(-self.count * len(mine - self.off) // len(mine))


def holdings(workshop: Workshop, places: Mapping[UUID, UUID | None], at: datetime) -> list[Holding]:
    """Everything that is held by what was told and stands, in a few queries however much it is.

    Args:
        workshop: whose.
        at: now.
        places: where each thing is; what hangs there is free once its coat was carried away.
    """
    named = _candidates(workshop, at)
    glue_ups = {event.glue_up_id for event in named if event.glue_up_id}
    coats = _with_later({event.coat_id for event in named if event.coat_id})
    by_group: dict[UUID, list[Event]] = {}
    for event in standing(_told(glue_ups, coats)):
        group = event.glue_up_id or event.coat_id
        assert group is not None
        by_group.setdefault(group, []).append(event)
    found = {group: _fold(told, places) for group, told in by_group.items()}
    _taken_over({ident: found[ident] for ident in coats if ident in found}, coats)
    return [one for own in found.values() for one in own if one.count > 0]


def _candidates(workshop: Workshop, at: datetime) -> list[Event]:
    """Happenings that tie things up, but for those of groups that plainly let all go again."""
    rows = Event.objects.filter(workshop=workshop, kind__in=TAKES, body__has_key="things")
    strikes = Event.objects.filter(strikes=OuterRef("pk"))
    later = Event.objects.filter(happened_at__gte=OuterRef("happened_at")).exclude(Exists(strikes))
    off = Q(kind="clamps_off") & ~Q(body__has_key="joints")
    freed = Q(kind="things_freed") & ~Q(body__has_key="things")
    gone = later.filter(off | freed, glue_up=OuterRef("glue_up"))
    down = later.filter(freed, coat=OuterRef("coat"))
    still = rows.exclude(Exists(gone)).exclude(Exists(down)).exclude(_long_over(at))
    return list(still.only("glue_up_id", "coat_id").order_by())


def _long_over(at: datetime) -> Q:
    """Coats of long ago that every later one covered, or that are gone with their pieces."""
    waits = Wait.objects.filter(coat=OuterRef("coat"), open=True)
    return Q(~Exists(waits), coat__isnull=False, happened_at__lt=at - LONG)


def _told(glue_ups: Collection[UUID], coats: Collection[UUID]) -> list[Event]:
    groups = Q(glue_up__in=glue_ups) | Q(coat__in=coats)
    kinds = (*TAKES, *LETS_GO, *STRIKES)
    return list(Event.objects.filter(groups, kind__in=kinds).order_by())


def _fold(told: Sequence[Event], places: Mapping[UUID, UUID | None]) -> list[Holding]:
    """What one glue-up or coat holds; what was named with the pressure counts, not the plan."""
    pressed = any(e.kind == "pressure_on" and "things" in e.body for e in told)
    joints = _joints(told)
    held: list[Holding] = []
    for event in told:
        if event.kind in TAKES and not (pressed and event.kind == "spread_began"):
            held.extend(_taken(event))
        elif event.kind == "clamps_off":
            _off(held, event)
        elif event.kind == "things_freed":
            _freed(held, event, joints)
        elif event.kind == "moved_place" and event.coat_id and "zones" not in event.body:
            for one in held:
                one.count *= places.get(one.thing) in (None, event.place_id)
    for one in held:
        one.count, one.off = one.left(joints), set()
    return held


def _taken(event: Event) -> Iterable[Holding]:
    named = event.body.get("joints") if event.kind == "pressure_on" else None
    for said in event.body.get("things", ()):
        yield Holding(
            thing=UUID(said["thing"]),
            count=int(said["count"]),
            since=event.happened_at,
            glue_up=event.glue_up_id,
            coat=event.coat_id,
            joints=None if named is None else frozenset(named),
            said=int(said["count"]),
        )


def _joints(told: Sequence[Event]) -> set[str]:
    """Every joint of a glue-up by what was told, less those taken out of it."""
    found: set[str] = set()
    for event in told:
        named = [
            one["id"] if isinstance(one, dict) else one for one in event.body.get("joints", ())
        ]
        if event.kind in ("spread_began", "added_late"):
            found.update(named)
        elif event.kind == "taken_out":
            found.difference_update(named)
    return found


def _off(held: Sequence[Holding], event: Event) -> None:
    named = event.body.get("joints")
    for one in held:
        one.off.update(named or ())
        one.count = one.count if named else 0


def _freed(held: Sequence[Holding], event: Event, joints: Collection[str]) -> None:
    named = event.body.get("things")
    if named is None:
        for one in held:
            one.count = 0
        return
    for said in named:
        left = int(said["count"])
        for one in held:
            if str(one.thing) == said["thing"]:
                still = one.left(joints)
                one.count, one.off = max(still - left, 0), set()
                left = max(left - still, 0)


def _with_later(coats: Collection[UUID]) -> dict[UUID, set[UUID]]:
    """The pieces of these coats, and of every other coat that went onto the same ones."""
    pieces = CoatedZone.objects.filter(coat__in=coats).values("zone__piece")
    rows = CoatedZone.objects.filter(zone__piece__in=pieces).annotate(piece=F("zone__piece"))
    found: dict[UUID, set[UUID]] = {}
    for coat, piece in rows.values_list("coat", "piece"):
        found.setdefault(coat, set()).add(piece)
    return found


def _taken_over(coats: Mapping[UUID, Sequence[Holding]], pieces: Mapping[UUID, set[UUID]]) -> None:
    """The next coat of the same pieces hangs on the same hooks: they are counted once."""
    ordered = sorted((one for held in coats.values() for one in held), key=lambda one: one.since)
    for at, one in enumerate(ordered):
        for earlier in ordered[:at]:
            same = earlier.thing == one.thing and earlier.group != one.group
            if same and pieces[earlier.group] & pieces[one.group]:
                earlier.count = max(earlier.count - one.said, 0)
