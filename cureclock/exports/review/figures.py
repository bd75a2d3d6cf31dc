"""The numbers of a review, each with the terms it adds up from."""

from collections.abc import Iterable, Iterator, Sequence
from uuid import UUID

from cureclock.exports.odd import late_coats
from cureclock.exports.review.scope import Group, Scope
from cureclock.exports.review.shapes import Figure, Term
from cureclock.shop.models import Event

EARLY = ("override", "off_early")  # causes of doubt that are acts before their time


def figures(scope: Scope) -> tuple[Figure, ...]:
    """How many, of what, and what it cost."""
    glue_ups = [group for group in scope.groups if group.kind == "glue_up"]
    coats = [group for group in scope.groups if group.kind == "coat"]
    bends = [one for one in glue_ups if one.first.glue_up and one.first.glue_up.stressed]
    doubted = [one for one in glue_ups if _causes(one) - {*EARLY}]
    early = [one for one in glue_ups if _causes(one) & {*EARLY} and one not in doubted]
    return (
        Figure("glue_ups", len(glue_ups), _counted(glue_ups)),
        Figure("bends", len(bends), _counted(bends)),
        Figure("suspect", len(doubted), _counted(doubted)),
        _sum("joints_lost", _lost(scope)),
        Figure("early", len(early), _counted(early)),
        Figure("coats", len(coats), _counted(coats)),
        _sum("coated_pieces", _coated(coats)),
        _sum("late", _late(coats)),
        _sum("hours_lost", _hours(scope.of("hours_lost"))),
    )


def _sum(key: str, terms: Iterable[Term]) -> Figure:
    every = tuple(terms)
    return Figure(key, round(sum(term.value for term in every), 6), every)


def _counted(groups: Sequence[Group]) -> tuple[Term, ...]:
    return tuple(Term(one.name, one.first.began_at, 1, one.id) for one in groups)


def _causes(group: Group) -> set[str]:
    return {doubt.cause for one in group.waits for doubt in one.doubts}


def _lost(scope: Scope) -> Iterator[Term]:
    """Joints that came open by themselves; what was split by hand to be glued anew is not lost."""
    for event in scope.of("joint_opened"):
        group = scope.group(event.glue_up_id)
        if event.body.get("by_hand") or group is None:
            continue
        named = event.body.get("joints")
        count = len(group.waits) if named is None else len(named)
        yield Term(group.name, event.happened_at, count, event.id)


def _coated(coats: Sequence[Group]) -> Iterator[Term]:
    """Each piece once, at its first coat."""
    seen: set[UUID] = set()
    for group in coats:
        fresh = {one.wait.piece_id for one in group.waits} - seen
        seen |= fresh
        if fresh:
            yield Term(group.name, group.first.began_at, len(fresh), group.id)


def _late(coats: Sequence[Group]) -> Iterator[Term]:
    """Pieces coated after the window of the coat below had shut, by the coat that was late."""
    found: dict[UUID, set[UUID]] = {}
    names = {group.id: group for group in coats}
    for late in late_coats([one for group in coats for one in group.waits]):
        if late.wait.coat_id is not None:
            found.setdefault(late.wait.coat_id, set()).add(late.wait.piece_id)
    for coat, pieces in found.items():
        yield Term(names[coat].name, names[coat].first.began_at, len(pieces), coat)


def _hours(told: Sequence[Event]) -> Iterator[Term]:
    for event in told:
        about = event.glue_up_id or event.coat_id or event.piece_id
        yield Term(event.body["why"], event.happened_at, float(event.body["hours"]), about)
