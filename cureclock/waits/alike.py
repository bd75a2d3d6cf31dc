"""Large groups whose waits are alike in all that is shown of them: one is loaded for all."""

from collections.abc import Collection, Iterator, Mapping, Sequence
from typing import Any, NamedTuple
from uuid import UUID

from django.db.models import Count, Q, QuerySet, UUIDField
from django.db.models.functions import Coalesce

from cureclock.waits.models import Gate, Leg, Suspicion, Wait

MANY = 8  # a group of fewer is loaded as it stands: to ask whether it is alike costs more
SUBJECTS = ("glue_up", "coat", "hold")

# All that the figures and lines of a wait depend on, except whose piece it is.
OF_WAIT = ("label", "place", "began_at", "between", "floor_c", "lag_s", "coat_number")
OF_LEG = ("place", "began_at", "ended_at")
OF_GATE = (
    *("kind", "opens", "hurts", "began_at", "stay_at", "need_us", "sure_need_us", "margin"),
    *("bare_clock", "bare_us", "act_clock", "act_us", "warn_us", "sure_clock", "sure_us"),
    *("placed", "state"),
)


class Member(NamedTuple):
    """One wait, and its piece by number."""

    wait: UUID
    piece: UUID
    tag: str

    @classmethod
    def of(cls, wait: Wait) -> "Member":
        """A wait that is loaded."""
        return cls(wait.id, wait.piece_id, wait.piece.tag)

    @property
    def order(self) -> tuple[str, str]:
        """By the number of the piece."""
        return self.tag, str(self.wait)


Groups = dict[UUID, Sequence[Member]]


def alike_in(shown: QuerySet[Wait]) -> Groups:
    """The members of each large group all of whose open waits are shown and alike, by subject."""
    groups: dict[UUID, list[Member]] = {}
    rows = shown.order_by().values_list(_subject(), "id", "piece_id", "piece__tag")
    for subject, *member in rows:
        groups.setdefault(subject, []).append(Member(*member))
    large: Groups = {
        subject: sorted(own, key=lambda member: member.order)
        for subject, own in groups.items()
        if len(own) >= MANY
    }
    for same in (_same_waits, _same_gates, _same_legs):
        large = {subject: large[subject] for subject in same(large)} if large else {}
    doubted = Suspicion.objects.filter(_in(large, "wait__")) if large else Suspicion.objects.none()
    for subject in doubted.values_list(_subject("wait__"), flat=True).distinct():
        large.pop(subject, None)
    return large


def one_of_each(shown: QuerySet[Wait], alike: Groups) -> QuerySet[Wait]:
    """The waits shown, of those alike the first."""
    first = [members[0].wait for members in alike.values()]
    return shown.filter(Q(id__in=first) | ~_in(alike)) if alike else shown


def _same_waits(groups: Groups) -> Iterator[UUID]:
    return _same(Wait.objects.filter(_in(groups), open=True), "", OF_WAIT, groups)


def _same_gates(groups: Groups) -> Iterator[UUID]:
    return _same(
        Gate.objects.filter(_in(groups, "wait__"), wait__open=True), "wait__", OF_GATE, groups
    )


def _same_legs(groups: Groups) -> Iterator[UUID]:
    rows = Leg.objects.filter(_in(groups, "wait__"), wait__open=True, before=False).order_by()
    return _same(rows, "wait__", OF_LEG, groups)


def _same(
    rows: QuerySet[Any], prefix: str, columns: Sequence[str], groups: Groups
) -> Iterator[UUID]:
    """The groups in which whatever one wait has, each of them has: the same columns, row by row."""
    counted = rows.values(*columns, subject=_subject(prefix)).annotate(many=Count("pk"))
    counts: dict[UUID, set[int]] = {}
    for subject, many in counted.values_list("subject", "many"):
        counts.setdefault(subject, set()).add(many)
    for subject, own in counts.items():
        if own == {len(groups[subject])}:
            yield subject


def _subject(prefix: str = "") -> Coalesce:
    return Coalesce(*(prefix + name for name in SUBJECTS), output_field=UUIDField())


def _in(groups: Mapping[UUID, object] | Collection[UUID], prefix: str = "") -> Q:
    """Belongs to one of these groups."""
    every = Q()
    for name in SUBJECTS:
        every |= Q(**{f"{prefix}{name}__in": list(groups)})
    return every
