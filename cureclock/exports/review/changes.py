"""What to do otherwise next time: each proposal out of what was seen, never out of the air."""

from collections.abc import Iterator
from datetime import datetime, time
from uuid import UUID

from cureclock.core.reminding.names import compressed
from cureclock.core.wording.say import say
from cureclock.exports.odd import late_coats
from cureclock.exports.review.scope import Group, Scope
from cureclock.exports.review.shapes import Change, Term
from cureclock.exports.waited import Waited
from cureclock.shop.lineage import closure, parts_of
from cureclock.shop.models import Piece

HOUR_S = 3600.0
EVENING = time(15)  # pressed later, a film forms into the night; our choice
RULED_BY_H = 12.0  # a night: what ruled a date by less is not worth moving; our choice
HELD_UP_H = 4.0  # a sleep of less is not worth an alarm; our choice


def changes(scope: Scope) -> tuple[Change, ...]:
    """Every proposal, the ones that keep pieces whole first."""
    return (
        *_press_earlier(scope),
        *_watch_place(scope),
        *_surfacing_stays(scope),
        *_oldest_first(scope),
        *_glue_earlier(scope),
    )


def _press_earlier(scope: Scope) -> Iterator[Change]:
    """A film that was too cold, pressed late in the day: an evening cut-off from the night line."""
    for group in scope.groups:
        cold = [doubt for one in group.waits for doubt in one.doubts if doubt.cause == "cold"]
        gate = group.waits[0].gate("keep_warm")
        if not cold or gate is None:
            continue
        pressed = gate[0].began_at
        if pressed.astimezone(scope.workshop.tz).time() < EVENING:
            continue
        first = min(cold, key=lambda doubt: doubt.at)
        banked = (first.banked_us or 0) / 3.6e9
        words = say(
            "export.change.press_earlier",
            material=group.first.label.material.name,
            place=group.first.place.name,
            at=scope.spoken.closes(first.at),
            need=scope.spoken.hours(gate[0].need_us / 3.6e9),
        )
        yield Change(
            "press_earlier", words, (Term(group.name, first.at, round(banked, 3), group.id),)
        )


def _watch_place(scope: Scope) -> Iterator[Change]:
    """What fell asleep before its clamps could come off: somebody has to hear of it at once."""
    held: dict[str, list[Term]] = {}
    for group in scope.groups:
        label = group.first.label.label
        gate = group.waits[0].gate("clamps_off_stressed") or group.waits[0].gate("clamps_off")
        if label.sleep_below_c is None or gate is None or gate[1].bare is None:
            continue
        took_h = (gate[1].bare - gate[0].began_at).total_seconds() / HOUR_S
        late_h = took_h - gate[0].need_us / 3.6e9
        if late_h >= HELD_UP_H:
            term = Term(group.name, gate[1].bare, round(late_h, 3), group.id)
            held.setdefault(group.first.place.name, []).append(term)
    for place, terms in held.items():
        hours = scope.spoken.plain_hours(max(term.value for term in terms))
        names = ", ".join(term.name for term in terms)
        words = say("export.change.watch_place", place=place, hours=hours, which=names)
        yield Change("watch_place", words, tuple(terms))


def _surfacing_stays(scope: Scope) -> Iterator[Change]:
    """Joints that sank were surfaced before the water of the glue had left: the wait stays."""
    for event in scope.of("checked"):
        group = scope.group(event.glue_up_id)
        gate = group.waits[0].gate("final_surfacing") if group else None
        if event.body.get("gate") != "final_surfacing" or event.body.get("result") != "bad":
            continue
        if group is None or gate is None or gate[1].bare is None:
            continue
        words = say(
            "export.change.surfacing_stays",
            hours=scope.spoken.hours(gate[0].need_us / 3.6e9),
            which=group.name,
            at=scope.spoken.opens(gate[1].bare),
        )
        yield Change("surfacing_stays", words, (Term(group.name, gate[1].bare, 1, group.id),))


def _oldest_first(scope: Scope) -> Iterator[Change]:
    """Windows that shut: the next coat begins with the oldest, early enough for all of them."""
    coats = [one for group in scope.groups if group.kind == "coat" for one in group.waits]
    late: dict[UUID | None, list[tuple[str, datetime]]] = {}
    for one in late_coats(coats):
        late.setdefault(one.below, []).append((one.wait.piece.tag, one.shut_at))
    for below, rows in late.items():
        group = scope.group(below)
        if group is None:
            continue
        shut = min(at for _, at in rows)
        words = say(
            "export.change.oldest_first",
            which=compressed(group.tags),
            count=len(rows),
            at=scope.spoken.closes(shut),
        )
        yield Change("oldest_first", words, (Term(group.name, shut, len(rows), group.id),))


def _glue_earlier(scope: Scope) -> Iterator[Change]:
    """One glue-up that ruled when pieces may spin, by a night or more over all their others."""
    ruled: dict[UUID, dict[str, float]] = {}
    anew = {one.wait.piece_id for group in scope.groups for one in group.waits if _gone(one)}
    for tag, (own, by_h) in _ruled(scope).items():
        mended = anew >= {one.wait.piece_id for one in own.waits}
        if by_h >= RULED_BY_H and not mended:  # what was glued anew could not have been earlier
            ruled.setdefault(own.id, {})[tag] = by_h
    for ident, pieces in ruled.items():
        group = scope.group(ident)
        if group is None:
            continue
        least = min(pieces.values())
        words = say(
            "export.change.glue_earlier",
            name=group.name,
            which=compressed(pieces),
            hours=scope.spoken.plain_hours(least),
        )
        term = Term(group.name, group.first.began_at, round(least, 3), group.id)
        yield Change("glue_earlier", words, (term,))


def _ruled(scope: Scope) -> dict[str, tuple[Group, float]]:
    """For each piece that is part of nothing more: what ruled its lathe, and by how many hours."""
    sure: dict[UUID, list[tuple[datetime, Group]]] = {}
    for group in scope.groups:
        for one in group.waits:
            moment = _spins_at(one)
            if moment is not None:
                sure.setdefault(one.wait.piece_id, []).append((moment, group))
    parts = parts_of(scope.workshop)
    inside = {part for own in parts.values() for part in own}
    found = {}
    tops = Piece.objects.filter(id__in=sure.keys() - inside)
    for piece in tops.order_by("tag"):
        every = [row for part in closure([piece.id], parts) for row in sure.get(part, ())]
        last, group = max(every, key=lambda row: row[0])
        others = [moment for moment, other in every if other.id != group.id]
        if others:
            by_h = (last - max(others)).total_seconds() / HOUR_S
            found[piece.tag] = (group, by_h)
    return found


def _gone(one: Waited) -> bool:
    return one.wait.joint_id is not None and not one.wait.open


def _spins_at(one: Waited) -> datetime | None:
    found = one.gate("spin") if one.wait.open else None
    return found[1].sure if found else None
