"""Lots of wood, as their happenings tell them: where each lies, and how it was metered and weighed."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from uuid import UUID

from cureclock.core.wood.meter import meter_corrected_pct
from cureclock.shop.models import Event, Place, StockLot, Workshop
from cureclock.shop.record import stand

KINDS = ("lot_taken_in", "metered", "weighed", "moved_place")
CORRECTABLE_PCT = (6.0, 30.0)  # the range in which a pin meter's figure can be put right


@dataclass(frozen=True)
class Metering:
    """One metering; `mc_pct` is what counts: the core where it was read, put right for warmth."""

    id: UUID
    at: datetime
    shown_pct: float
    core_pct: float | None
    mc_pct: float


@dataclass(frozen=True)
class Weighing:
    """One weighing."""

    id: UUID
    at: datetime
    weight_g: float


@dataclass
class LotStory:
    """What stands of what was told of one lot.

    Attributes:
        since: from when on it lies where it lies now; readings before say nothing of this place.
        known: somebody's taking it in stands.
    """

    lot: StockLot
    name: str
    wood: str
    place: Place | None = None
    since: datetime | None = None
    thickness_mm: float | None = None
    emc_pct: float | None = None
    wanted_pct: float | None = None
    known: bool = False
    metered: list[Metering] = field(default_factory=list)
    weighed: list[Weighing] = field(default_factory=list)

    @property
    def newest(self) -> Metering | None:
        """The last metering, wherever it lay then."""
        return self.metered[-1] if self.metered else None


def lot_stories(workshop: Workshop, lots: Collection[UUID] | None = None) -> list[LotStory]:
    """The lots of a workshop whose taking in stands, all or some, by name."""
    rows = StockLot.objects.filter(workshop=workshop).select_related("place__workshop")
    if lots is not None:
        rows = rows.filter(id__in=lots)
    by_id = {row.id: row for row in rows}
    events = Event.objects.filter(workshop=workshop, lot__in=by_id, kind__in=KINDS)
    told: dict[UUID, list[Event]] = {}
    for event in stand(events.select_related("place__workshop")):
        if event.lot_id is not None:
            told.setdefault(event.lot_id, []).append(event)
    stories = [_fold(row, told.get(ident, ())) for ident, row in by_id.items()]
    return sorted((one for one in stories if one.known), key=lambda one: (one.name, str(one.lot)))


def _fold(lot: StockLot, told: Sequence[Event]) -> LotStory:
    story = LotStory(lot, lot.name, lot.wood)
    for event in told:
        if event.kind == "lot_taken_in":
            _taken_in(story, event)
        elif event.kind == "moved_place":
            story.place, story.since, story.emc_pct = event.place, event.happened_at, None
        elif event.kind == "metered":
            story.metered.append(_metering(event))
        else:
            weight = float(event.body["weight_g"])
            story.weighed.append(Weighing(event.id, event.happened_at, weight))
    return story


def _taken_in(story: LotStory, event: Event) -> None:
    """What is said again replaces what was said before, as far as it is said."""
    body = event.body
    if event.place is not None and event.place != story.place:
        story.place, story.since = event.place, event.happened_at
    story.name, story.wood = body["name"], body.get("wood") or story.wood
    story.thickness_mm = body.get("thickness_mm", story.thickness_mm)
    story.emc_pct = body.get("emc_pct", story.emc_pct)
    story.wanted_pct = body.get("wanted_pct", story.wanted_pct)
    story.since = story.since or event.happened_at
    story.known = True


def _metering(event: Event) -> Metering:
    body = event.body
    shown, core = float(body["mc_pct"]), body.get("core_pct")
    counts = shown if core is None else max(shown, float(core))
    points = float(body.get("species_points", 0.0))
    low, high = CORRECTABLE_PCT
    if "wood_c" in body and low <= counts <= high:
        corrected = meter_corrected_pct(counts, body["wood_c"], species_points=points)
        mc_pct = float(corrected)
    else:
        mc_pct = counts + points
    return Metering(event.id, event.happened_at, shown, core, mc_pct)
