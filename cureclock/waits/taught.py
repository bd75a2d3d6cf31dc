"""What was learned, as it is shown beside the label: the figure here, and every look behind it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db.models import Min

from cureclock.core.materials.label import Label
from cureclock.shop.models import Coat, GlueUp, LabelVersion, Place
from cureclock.waits.current import Rung
from cureclock.waits.learned import Bracket, Key, Lesson, Lessons
from cureclock.waits.models import Wait
from cureclock.waits.shown import Thing


@dataclass(frozen=True)
class LookShown:
    """What was seen of one joint or coat.

    Attributes:
        after_h: last seen not ready; `until_h` first seen ready, empty where it never was.
    """

    of: Thing
    at: datetime
    after_h: float | None
    until_h: float | None


@dataclass(frozen=True)
class LearnedShown:
    """What this shop has learned of one gate of a material in a place.

    Attributes:
        coat_number: 1 for first coats, 2 for second ones; 0 for joints.
        need_h: what is needed here; the label's hours while nothing seen contradicts them.
        margin: earned by what was seen since the container was opened; else that of the untried.
        checks: how many joints or coats were looked at, and how many agree.
    """

    gate: str
    place: Thing
    coat_number: int
    label_h: float
    need_h: float
    margin: float
    checks: int
    agreeing: int


@dataclass(frozen=True)
class LearnedWhy:
    """What counted for one wait, with its evidence."""

    label_h: float
    need_h: float
    margin: float
    checks: int
    agreeing: int
    looks: tuple[LookShown, ...]


def learned_of(
    lessons: Lessons, version: LabelVersion, label: Label, places: Iterable[Place], at: datetime
) -> tuple[LearnedShown, ...]:
    """What is known by now of a material, place by place, for what would be begun now."""
    names = {place.id: place.name for place in places}
    own = (key for key in lessons.rows if key.material == version.material_id)
    return tuple(
        LearnedShown(
            gate=one.gate,
            place=Thing(key.place, names[key.place]),
            coat_number=key.coat_number,
            label_h=one.label_h,
            need_h=one.need_h,
            margin=one.margin,
            checks=len(one.brackets),
            agreeing=one.agreeing,
        )
        for key in sorted(own, key=lambda key: (names[key.place], key.coat_number))
        for one in lessons.before(key, label, at)
    )


def starts_learned(
    lessons: Lessons, versions: Iterable[LabelVersion], places: Sequence[Place], at: datetime
) -> dict[tuple[UUID, UUID], Sequence[Lesson]]:
    """What counts for a joint or a first coat begun now, by label and place."""
    return {
        (version.id, place.id): lessons.before(key, version.label, at)
        for version in versions
        for place in places
        if (
            key := Key(
                version.material_id, place.id, int(version.label.role not in ("adhesive", "hold"))
            )
        )
        in lessons.rows
    }


def learned_why(rung: Rung) -> LearnedWhy | None:
    """What was learned before a wait began and counts for it; None where nothing was."""
    wait = rung.wait
    subject = wait.glue_up or wait.coat
    if subject is None:
        return None
    key = Key(wait.label.material_id, subject.place_id, wait.coat_number)
    lessons = Lessons.of_key(key.material, key.place)
    if not lessons.rows:
        return None
    own = Wait.objects.filter(glue_up=wait.glue_up_id, coat=wait.coat_id)
    began = own.aggregate(at=Min("began_at"))["at"] or wait.began_at
    found = [
        one for one in lessons.before(key, wait.label.label, began) if one.gate == rung.gate.kind
    ]
    return _why(found[0]) if found else None


def _why(lesson: Lesson) -> LearnedWhy:
    return LearnedWhy(
        label_h=lesson.label_h,
        need_h=lesson.need_h,
        margin=lesson.margin,
        checks=len(lesson.brackets),
        agreeing=lesson.agreeing,
        looks=_looks(lesson.brackets),
    )


def _looks(brackets: Sequence[Bracket]) -> tuple[LookShown, ...]:
    idents = [one.of for one in brackets]
    names: dict[UUID, str] = dict(GlueUp.objects.filter(id__in=idents).values_list("id", "name"))
    names |= dict(Coat.objects.filter(id__in=idents).values_list("id", "name"))
    return tuple(
        LookShown(Thing(one.of, names[one.of]), one.at, one.after_h, one.until_h)
        for one in brackets
    )
