"""What was done though the answer was no: kept, and its reason asked for.

A coat on a zone that is to stay bare, on a coat that was too fresh or too old, or under a hold
that had to be off, is a question about that coat until somebody says why, by name.
"""

from collections.abc import Iterable, Sequence
from datetime import datetime
from uuid import UUID

from cureclock.core.holding import FINISH, at_that_end, blocks
from cureclock.core.stance import Stance
from cureclock.core.units import instant_us
from cureclock.shop.coat_history import ZoneHistory
from cureclock.shop.conflicts import keep_conflicts
from cureclock.shop.glue_history import Contradiction
from cureclock.shop.holds import held_on, off_before
from cureclock.shop.models import Coat, CoatedZone, Reading
from cureclock.waits.ages import Ages
from cureclock.waits.coating import CoatStory, coat_story, lain_on, plan_zones
from cureclock.waits.models import Leg
from cureclock.waits.planned import PlannedGate, PlannedWait
from cureclock.waits.reread import Change

ACT = "coat"


def ask_about_coat(story: CoatStory) -> None:
    """Bring what contradicts about a coat, and what is asked about it, in step with its events."""
    found = [*story.contradictions, *_asked(story)]
    keep_conflicts(story.coat.workshop, {story.coat.id: list(dict.fromkeys(found))})


def ask_again(change: Change) -> None:
    """Ask anew about coats that a change of air may answer otherwise: begun on one that stood
    in it."""
    for coat in _begun_on(change):
        ask_about_coat(coat_story(coat))


def _begun_on(change: Change) -> list[Coat]:
    """Coats on zones whose earlier coat stood in the changed air at its end."""
    told = [*(row.at for row in (*change.added, *change.removed)), *filter(None, [change.since])]
    standing = Reading.objects.filter(place=change.place, struck_by=None, at__lt=min(told))
    since = standing.order_by("-at").values_list("at", flat=True).first() or min(told)
    ended = Leg.objects.filter(place=change.place, wait__open=False, ended_at__gt=since)
    zones = ended.filter(wait__coat__isnull=False).values("wait__zone")
    later = CoatedZone.objects.filter(zone__in=zones, coat__made_at__gte=since)
    rows = Coat.objects.filter(id__in=later.values("coat"))
    return list(rows.select_related("workshop", "place__workshop", "label"))


def _asked(story: CoatStory) -> Iterable[Contradiction]:
    """Every question about a coat, unless its reason was said with it."""
    began = next((e.id for e in story.told if e.kind in ("coat_began", "coat_ended")), None)
    said = any(e.kind == "override" and e.body.get("act") == ACT for e in story.told)
    if began is None or said:
        return
    zones = {one.coated.zone_id: one for one in story.zones if one.began_at is not None}
    if any(one.coated.zone.keep_bare for one in zones.values()):
        yield Contradiction("coated_bare", began)
    yield from _held(zones.values(), began)
    on = lain_on(story.coat.workshop_id, list(zones))
    below = {zone: _below(on.get(zone, {}), story.coat.id) for zone in zones}
    for ident in dict.fromkeys(coat for coat in below.values() if coat is not None):
        coat = Coat.objects.select_related("workshop", "place__workshop", "label").get(id=ident)
        mine = [one for zone, one in zones.items() if below[zone] == ident]
        yield from _too_fresh_or_too_old(coat_story(coat), mine, began)


def _below(coats: dict[UUID, datetime], own: UUID) -> UUID | None:
    """The coat that lay on a zone when this one was begun."""
    began = coats.get(own)
    earlier = [(at, str(c), c) for c, at in coats.items() if began is not None and at < began]
    return max(earlier)[2] if earlier else None


def _held(zones: Iterable[ZoneHistory], began: UUID) -> Iterable[Contradiction]:
    """Holds that had to be off before a finish went on."""
    pieces: dict[UUID, list[ZoneHistory]] = {}
    for one in zones:
        pieces.setdefault(one.coated.zone.piece_id, []).append(one)
    for held in held_on(pieces):
        steps = off_before(held.hold)
        for one in pieces[held.hold.piece_id]:
            other_end = at_that_end(steps) and held.hold.zone_id != one.coated.zone_id
            on = one.began_at is not None and held.holds_at(one.began_at)
            if on and blocks(steps, FINISH) and not other_end:
                yield Contradiction("coated_on_hold", began, held.on_by)


def _too_fresh_or_too_old(
    under: CoatStory, zones: Sequence[ZoneHistory], began: UUID
) -> Iterable[Contradiction]:
    """Whether the coat below was past its recoat gate then, and not past its window."""
    planned = {wait.zone.id: wait for wait in plan_zones(under) if wait.zone is not None}
    scuffed = {one.coated.zone_id: one.scuffed_at for one in under.zones}
    waits = [planned[one.coated.zone_id] for one in zones if one.coated.zone_id in planned]
    if not waits:
        return
    times = [one.began_at for one in zones if one.began_at is not None]
    ages = Ages(min(wait.began for wait in waits), max(times))
    for one in zones:
        wait, at = planned.get(one.coated.zone_id), one.began_at
        if wait is None or at is None:
            continue
        opens, closes = _gate(wait, "recoat_opens"), _gate(wait, "recoat_closes")
        wet = opens is None and _gate(wait, "dust_free") is None and _gate(wait, "touch") is None
        if wet or (opens and banked(wait, opens, Stance.SLOW, at, ages) < opens.gate.need_us):
            yield Contradiction("coated_early", began)
        keyed = scuffed[one.coated.zone_id]
        if closes is None or (keyed is not None and keyed <= at):
            continue
        if banked(wait, closes, Stance.QUICK, at, ages) >= closes.gate.need_us:
            yield Contradiction("coated_shut", began)


def _gate(wait: PlannedWait, kind: str) -> PlannedGate | None:
    return next((one for one in wait.gates if one.gate.kind.key == kind), None)


def banked(
    wait: PlannedWait, planned: PlannedGate, stance: Stance, until: datetime, ages: Ages
) -> int:
    """Label time banked from a gate's start to an instant, over every stay between."""
    total = 0
    for stay in wait.stays:
        begun = max(stay.began, planned.began)
        ended = until if stay.ended is None else min(stay.ended, until)
        if ended > begun:
            total += ages.between(
                stay.place, planned.gate.response, stance, instant_us(begun), instant_us(ended)
            )
    return total
