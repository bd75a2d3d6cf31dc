"""What went wrong, a story each: every odd thing about one group together, and who was told before."""

from collections.abc import Sequence
from datetime import datetime
from uuid import UUID

from cureclock.core.reminding.kinds import Kind
from cureclock.exports.odd import Odd
from cureclock.exports.review.scope import Scope
from cureclock.exports.review.shapes import Mistake, OddLine
from cureclock.exports.review.shown import cold_shown_at, window_shown_at
from cureclock.reminders.models import Alert
from cureclock.shop.lineage import above, closure
from cureclock.shop.models import Piece
from cureclock.waits.shown import Thing

# Lines that are told in order but are no mistakes by themselves.
ONLY_TOLD = ("witness", "coat_stripped")
WARNS = (Kind.COLD, Kind.CLOSING, Kind.COAT_LEFT, Kind.SUSPECT, Kind.BEFORE_GO, Kind.ASLEEP)


def mistakes(scope: Scope) -> tuple[Mistake, ...]:
    """Each with its lines in order of time, and whether it had been announced."""
    stories: dict[UUID, list[Odd]] = {}
    for odd in scope.odd:
        if odd.about is not None:
            stories.setdefault(odd.about, []).append(odd)
    _fold_lost(scope, stories)
    kept = {
        about: told
        for about, told in stories.items()
        if any(odd.kind not in ONLY_TOLD for odd in told)
    }
    found = [_mistake(scope, about, told) for about, told in kept.items()]
    return tuple(sorted(found, key=lambda one: one.began_at))


def oddities(scope: Scope) -> tuple[OddLine, ...]:
    """Every odd line in order of time."""
    return tuple(_line(odd) for odd in scope.odd)


def _line(odd: Odd) -> OddLine:
    return OddLine(odd.at, odd.kind, odd.words, odd.who, odd.why)


def _fold_lost(scope: Scope, stories: dict[UUID, list[Odd]]) -> None:
    """A piece that was lost with what it was part of belongs to that story."""
    alone = [about for about, told in stories.items() if scope.group(about) is None]
    lost = [one for one in alone if {odd.kind for odd in stories[one]} == {"piece_lost"}]
    into = above(lost)
    for piece in lost:
        tags = set(
            Piece.objects.filter(id__in=closure([piece], into)).values_list("tag", flat=True)
        )
        when = stories[piece][0].at
        near = [
            told
            for about, told in stories.items()
            if about != piece and any(tags & {*odd.tags} and odd.at <= when for odd in told)
        ]
        if near:
            max(near, key=lambda told: told[-1].at).extend(stories.pop(piece))


def _mistake(scope: Scope, about: UUID, told: list[Odd]) -> Mistake:
    told.sort(key=lambda odd: odd.at)
    wrong = [odd for odd in told if odd.kind not in ONLY_TOLD]
    group = scope.group(about)
    announced_at, by = _announced(scope, about, wrong)
    lost = [
        float(event.body["hours"])
        for event in scope.of("hours_lost")
        if about in (event.glue_up_id, event.coat_id, event.piece_id)
    ]
    return Mistake(
        about=Thing(group.id, group.name) if group else None,
        pieces=tuple(dict.fromkeys(tag for odd in wrong for tag in odd.tags)),
        began_at=wrong[0].at,
        announced_at=announced_at,
        announced_by=by,
        hours_lost=round(sum(lost), 6),
        lines=tuple(_line(odd) for odd in told),
    )


def _announced(scope: Scope, about: UUID, wrong: Sequence[Odd]) -> tuple[datetime | None, str]:
    """When it was said before the first of it: by an alert, on the screen, or by an overridden no."""
    first = min(odd.at for odd in wrong)
    told = Alert.objects.filter(
        workshop=scope.workshop, about=about, kind__in=WARNS, told_at__lte=first
    )
    alert = told.order_by("told_at").values_list("told_at", flat=True).first()
    if alert is not None:
        return alert, "alert"
    group = scope.group(about)
    kinds = {odd.kind for odd in wrong}
    shown = None
    if group is not None and "cold" in kinds:
        shown = cold_shown_at(group)
    elif group is not None and "window" in kinds:
        shown = window_shown_at(group)
    if shown is not None and shown <= first:
        return shown, "shown"
    if wrong[0].kind == "override":
        return wrong[0].at, "override"
    return None, ""
