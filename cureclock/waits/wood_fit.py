"""May these pieces be glued to each other? What their wood says: too wet, too dry, unlike."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from cureclock.core.materials.library import library
from cureclock.core.wood.meter import PARTS_POINTS
from cureclock.shop.lineage import below, closure
from cureclock.shop.models import LabelVersion, Piece, Workshop
from cureclock.shop.stock import LotStory, lot_stories

NO_POINTS = 5.0  # Wood Handbook (2010) p. 13-10 allows up to 5 points between laminations
DOUBT_POINTS = 2.0  # twice a meter's standard error (Wood Handbook 2010, ch. 13)
STALE = timedelta(days=28)  # an older metering is asked for anew; common practice, no source


@dataclass(frozen=True)
class WoodReason:
    """What speaks against it, of which lot, with the figure and the limit it was held against.

    key: too_wet, too_dry, unlike, not_metered, stale.
    """

    key: str
    lot: str
    mc_pct: float | None
    limit_pct: float | None


@dataclass(frozen=True)
class WoodAnswer:
    """go, care, no or unknown; every reason, the gravest first."""

    word: str
    reasons: tuple[WoodReason, ...]
    lots: tuple[UUID, ...]


GRAVE = ("no", "unknown", "care", "go")


def wood_answer(
    workshop: Workshop,
    pieces: Collection[UUID],
    label: LabelVersion | None,
    at: datetime,
    lots: Collection[UUID] = (),
) -> WoodAnswer:
    """What the wood of these pieces says to being glued together with this material.

    Args:
        workshop: whose pieces.
        pieces: those of one glue-up; the wood of their parts counts too.
        label: of the adhesive; None: only whether they match.
        at: now.
        lots: of wood that no piece is made of yet.
    """
    every = closure(pieces, below(pieces))
    rows = Piece.objects.filter(workshop=workshop, id__in=every, lot__isnull=False)
    own = {*rows.values_list("lot", flat=True), *lots}
    stories = lot_stories(workshop, [lot for lot in own if lot is not None])
    found = [*_windows(stories, label), *_unlike(stories), *_silent(stories, at)]
    found.sort(key=lambda one: GRAVE.index(one[0]))
    word = found[0][0] if found else "go" if stories else "unknown"
    return WoodAnswer(
        word, tuple(reason for _, reason in found), tuple(story.lot.id for story in stories)
    )


def _windows(
    stories: Sequence[LotStory], label: LabelVersion | None
) -> list[tuple[str, WoodReason]]:
    """Outside the range of the material: no where the meter's error does not explain it."""
    known = library().families.get(label.material.family) if label else None
    window = getattr(known, "wood_moisture_pct", None)
    if window is None:
        return []
    found = []
    for story in stories:
        if story.newest is None:
            continue
        mc_pct = story.newest.mc_pct
        if window.high is not None and mc_pct > window.high:
            word = "no" if mc_pct > window.high + DOUBT_POINTS else "care"
            found.append((word, WoodReason("too_wet", story.name, mc_pct, window.high)))
        elif window.low is not None and mc_pct < window.low:
            found.append(("care", WoodReason("too_dry", story.name, mc_pct, window.low)))
    return found


def _unlike(stories: Sequence[LotStory]) -> list[tuple[str, WoodReason]]:
    """Parts too far apart in moisture: the wetter one will shrink away from the other."""
    metered = [(story.newest.mc_pct, story.name) for story in stories if story.newest]
    if len(metered) < 2:
        return []
    driest, wettest = min(metered), max(metered)
    points = wettest[0] - driest[0]
    if points <= PARTS_POINTS:
        return []
    word = "no" if points > NO_POINTS else "care"
    return [(word, WoodReason("unlike", wettest[1], wettest[0], driest[0]))]


def _silent(stories: Sequence[LotStory], at: datetime) -> list[tuple[str, WoodReason]]:
    found = []
    for story in stories:
        if story.newest is None:
            found.append(("unknown", WoodReason("not_metered", story.name, None, None)))
        elif at - story.newest.at > STALE:
            found.append(("care", WoodReason("stale", story.name, story.newest.mc_pct, None)))
    return found
