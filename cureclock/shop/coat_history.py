"""What happened to each zone of a coat, folded from the events that stand."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise
from uuid import UUID

from cureclock.core.groups import PieceTimes, share_out
from cureclock.core.units import instant_us, moment_of
from cureclock.shop.glue_history import SAME_ACT, Contradiction, members_of
from cureclock.shop.models import CoatedZone, Event


@dataclass(frozen=True)
class ZoneHistory:
    """One coated zone's own story.

    Attributes:
        began_at, ended_at: when this zone was coated: begun and left wet.
        last_act_at: end of the last hands-on act (wiped, else ended); None while it goes on.
        between: its times lie between two taps.
        wiped_at: when it was wiped off, None if not told.
        scuffed_at: when it was last scuffed, None if not told.
        moves: (when, to which place), in order.
        over_at: when it ended (lost, recoated, stripped), None while it stands.
    """

    coated: CoatedZone
    began_at: datetime | None
    last_act_at: datetime | None
    wiped_at: datetime | None
    scuffed_at: datetime | None
    between: bool
    moves: list[tuple[datetime, UUID]]
    over_at: datetime | None


def fold_coat(
    coated: Sequence[CoatedZone], told: Sequence[Event]
) -> tuple[list[ZoneHistory], list[Contradiction]]:
    """The story of each coated zone, whatever the order of arrival.

    Piece i of n done between began and ended has the time began + (i - 1)/(n - 1) of the span
    less pauses, marked between; a tap on one piece stands over it.
    """
    whole = [event for event in told if _of_all(event)]
    began, ended = _first(whole, "coat_began"), _last(whole, "coat_ended")
    members = members_of(told, "zones", "coat_began")
    inside = [one for one in coated if str(one.zone_id) not in members.out]
    late = {one.pk for one in inside if members.since(str(one.zone_id)) is not None}
    together = [one for one in inside if one.pk not in late]
    times = _times(together, began, ended, whole)
    places = {one.pk: place for place, one in enumerate(together)}
    several = len(together) > 1
    stories = [
        _fold_zone(one, _shared(times, places.get(one.pk)), began, told, several=several)
        for one in inside
    ]
    return stories, _contradictions(whole)


def _shared(times: PieceTimes | None, place: int | None) -> datetime | None:
    """When one zone was done by the taps on the group; none of what came in late."""
    return None if times is None or place is None else moment_of(int(times.at_us[place]))


def _times(
    coated: Sequence[CoatedZone],
    began: datetime | None,
    ended: datetime | None,
    whole: Sequence[Event],
) -> PieceTimes | None:
    """When each zone was done by the two taps on the group, None while it is not ended."""
    if ended is None or not coated:
        return None
    start = min(began or ended, ended)
    paused = [instant_us(event.happened_at) for event in whole if event.kind == "coat_paused"]
    resumed = [instant_us(event.happened_at) for event in whole if event.kind == "coat_resumed"]
    pauses = []
    for stop in paused:
        again = next((us for us in resumed if us > stop), instant_us(ended))
        if again > stop:
            pauses.append((stop, again))
    return share_out(instant_us(start), instant_us(ended), len(coated), pauses)


def _fold_zone(
    one: CoatedZone,
    shared: datetime | None,
    began: datetime | None,
    told: Sequence[Event],
    *,
    several: bool,
) -> ZoneHistory:
    own = [event for event in told if _concerns(event, one)]
    taps = ("coat_ended", "added_late")
    tapped = [event for event in own if event.kind in taps and _named(event, one)]
    ended = tapped[-1].happened_at if tapped else shared
    wiped = _first(own, "wiped")
    last = ended if wiped is None else max(wiped, ended or wiped)
    ends = [e.happened_at for e in own if e.kind in ("piece_lost", "coat_stripped")]
    return ZoneHistory(
        coated=one,
        began_at=ended if ended is not None and not tapped else (began or ended),
        last_act_at=last,
        wiped_at=wiped,
        scuffed_at=_last(own, "scuffed"),
        between=several and shared is not None and not tapped,
        moves=[(e.happened_at, e.place_id) for e in own if e.kind == "moved_place" and e.place_id],
        over_at=min(ends, default=None),
    )


def _of_all(event: Event) -> bool:
    """Whether an event speaks of the coat as a whole; its beginning names its zones in order."""
    return event.kind == "coat_began" or ("zones" not in event.body and event.piece_id is None)


def _named(event: Event, one: CoatedZone) -> bool:
    return str(one.zone_id) in event.body.get("zones", ())


def _concerns(event: Event, one: CoatedZone) -> bool:
    """Whether an event speaks of this zone: of the whole coat, of it by name, of its piece."""
    if "zones" in event.body:
        return _named(event, one)
    return event.piece_id in (None, one.zone.piece_id)


def _first(events: Sequence[Event], kind: str) -> datetime | None:
    return min((event.happened_at for event in events if event.kind == kind), default=None)


def _last(events: Sequence[Event], kind: str) -> datetime | None:
    return max((event.happened_at for event in events if event.kind == kind), default=None)


def _contradictions(whole: Sequence[Event]) -> list[Contradiction]:
    """A coat ended before it began, or begun or ended twice."""
    found = []
    for kind in ("coat_began", "coat_ended"):
        told = [event for event in whole if event.kind == kind]
        found += [
            Contradiction(f"twice_{kind}", first.id, second.id)
            for first, second in pairwise(told)
            if second.happened_at - first.happened_at > SAME_ACT
        ]
    began = [event for event in whole if event.kind == "coat_began"]
    ended = [event for event in whole if event.kind == "coat_ended"]
    if began and ended and ended[-1].happened_at < began[0].happened_at:
        found.append(Contradiction("ended_before_began", ended[-1].id, began[0].id))
    return found
