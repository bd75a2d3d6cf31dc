"""The batch sheet: a batch on paper, with its stages, their figures, their air, and what went otherwise."""

from collections.abc import Sequence
from datetime import datetime

from cureclock.core.reminding.names import compressed
from cureclock.core.wording.say import say
from cureclock.exports.flow import BODY, MARGIN_MM, SMALL, TITLE, Flow
from cureclock.exports.review.lines import group_lines
from cureclock.exports.review.scope import Group, Scope
from cureclock.exports.review.shapes import GroupLine
from cureclock.shop.models import Batch, Event
from cureclock.waits.pieces import standing_pieces
from cureclock.waits.strip import Strip

ACTS = {
    "spread_began": "export.act.spread",
    "pressure_on": "export.act.pressed",
    "clamps_off": "export.act.off",
    "coat_began": "export.act.began",
    "coat_ended": "export.act.ended",
    "wiped": "export.act.wiped",
    "moved_place": "export.act.moved",
}
HEADS = ("export.sheet.gate", "export.sheet.bare", "export.sheet.acts", "export.sheet.sure")
COLUMNS_MM = (42.0, 46.0, 46.0, 46.0)
STRIP_MM = 12.0
LEAST_SPAN_K = 8.0  # of the line of air, so that a steady night is drawn as one


def batch_sheet(batch: Batch, scope: Scope) -> bytes:
    """A PDF of a batch.

    Args:
        batch: which.
        scope: what is looked back on of it.
    """
    title = say("export.sheet.title", batch=batch.name)
    at = scope.spoken.closes(scope.at)
    flow = Flow(title, say("export.sheet.printed", workshop=scope.workshop.name, at=at))
    flow.say(title, TITLE, bold=True)
    flow.gap()
    if batch.promised is not None:
        flow.say(say("export.sheet.promised", date=batch.promised.isoformat()))
    for words in _pieces(batch):
        flow.say(words)
    flow.head(say("export.sheet.odd"))
    for odd in scope.odd:
        flow.say(f"– {odd.words}", BODY)
    if not scope.odd:
        flow.say(say("export.sheet.odd_none"))
    flow.head(say("export.sheet.stages"))
    for line, group in zip(group_lines(scope), scope.groups, strict=True):
        _stage(flow, scope, group, line)
    return flow.bytes()


def _pieces(batch: Batch) -> list[str]:
    """How many of what, by their numbers."""
    kinds: dict[str, list[str]] = {}
    for piece in standing_pieces(batch):
        kinds.setdefault(piece.what, []).append(piece.tag)
    return [
        say("export.sheet.pieces", count=len(tags), what=what or "–", tags=compressed(tags))
        for what, tags in kinds.items()
    ]


def _stage(flow: Flow, scope: Scope, group: Group, line: GroupLine) -> None:
    flow.need(STRIP_MM + 26)
    flow.gap(4)
    flow.say(line.name, 10, bold=True)
    tags = compressed(group.tags)
    flow.say(say("export.sheet.of", material=line.material, tags=tags), SMALL)
    told = [event for event in scope.told if group.id in (event.glue_up_id, event.coat_id)]
    acts = _acts(scope, told)
    if acts:
        flow.say(" · ".join(acts), SMALL)
    _gates(flow, scope, group)
    _air(flow, line)


def _acts(scope: Scope, told: Sequence[Event]) -> list[str]:
    """Each kind of act once, at its first time."""
    first: dict[str, datetime] = {}
    for event in told:
        if event.kind in ACTS:
            first.setdefault(event.kind, event.happened_at)
    return [
        say("export.sheet.acted", act=say(ACTS[kind]), at=scope.spoken.closes(at))
        for kind, at in first.items()
    ]


def _gates(flow: Flow, scope: Scope, group: Group) -> None:
    """The figures of the piece that rules: the last of those that opened."""
    ruling = max(group.waits, key=lambda one: (one.wait.began_at, one.wait.piece.tag))
    flow.row([say(head) for head in HEADS], COLUMNS_MM, bold=True)
    spoken = scope.spoken
    for gate, times in ruling.gates:
        said = spoken.opens if gate.opens else spoken.closes
        sure = said(times.sure) if times.sure is not None else "–"
        cells = (say(f"gate.{gate.kind}.name"), said(times.bare), said(times.act), sure)
        flow.row(cells, COLUMNS_MM)


def _air(flow: Flow, line: GroupLine) -> None:
    """The line of air where it stood, its nights grey."""
    strip = line.strip
    places = line.place
    if len(strip.temps) < 2:
        flow.say(say("export.sheet.air_none", places=places), SMALL)
        return
    flow.say(say("export.sheet.air", places=places), SMALL)
    flow.need(STRIP_MM + 4)
    flow.y -= STRIP_MM + 2
    base, wide = flow.y, flow.room
    span = strip.to - strip.from_

    def x(moment: datetime) -> float:
        return MARGIN_MM + wide * min(max((moment - strip.from_) / span, 0.0), 1.0)

    for begun, ended in strip.nights:
        flow.sheet.box(x(begun), base, x(ended) - x(begun), STRIP_MM, grey=0.85)
    low, high = _span(strip)
    points = [
        (x(moment), base + (temp_c - low) / (high - low) * STRIP_MM)
        for moment, temp_c, _ in strip.temps
    ]
    flow.sheet.line(points, 0.3)
    flow.sheet.line([(MARGIN_MM, base), (MARGIN_MM + wide, base)], 0.1)
    temps = [temp_c for _, temp_c, _ in strip.temps]
    right = MARGIN_MM + wide
    flow.sheet.words(right, base + STRIP_MM - 2, f"{max(temps):.0f}", 6, align="right")
    flow.sheet.words(right, base + 0.5, f"{min(temps):.0f}", 6, align="right")
    flow.gap(1)


def _span(strip: Strip) -> tuple[float, float]:
    temps = [temp_c for _, temp_c, _ in strip.temps]
    middle, half = (max(temps) + min(temps)) / 2, max(max(temps) - min(temps), LEAST_SPAN_K) / 2
    return middle - half, middle + half
