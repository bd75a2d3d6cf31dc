"""What has to follow when a happening is struck out."""

from typing import TypedDict

from django.db.models import Q

from cureclock.shop.air import versions_of
from cureclock.shop.models import AirVersion, Coat, GlueUp, Reading
from cureclock.shop.striking import Struck
from cureclock.waits.coating import coats_under
from cureclock.waits.reread import Change
from cureclock.waits.subjects import coats_on, glue_ups_in


class Follow(TypedDict):
    """Subjects to settle and places to read anew."""

    glue_ups: list[GlueUp]
    coats: list[Coat]
    changes: list[Change]


def struck_follow(target: Struck) -> Follow:
    """Subjects and places that a happening concerned, asked before it is struck."""
    changes: list[Change] = []
    if target.place is not None and target.event is not None:
        changes = _air_changes(target)
    elif target.place is not None and target.reading is not None:
        changes = [Change(target.place, removed=[target.reading])]
    coats = [target.coat, *coats_under(target.coat)] if target.coat else coats_on(target.piece)
    glue_ups = [target.glue_up] if target.glue_up else glue_ups_in(target.piece)
    return Follow(glue_ups=glue_ups, coats=coats, changes=changes)


def _air_changes(target: Struck) -> list[Change]:
    """The air a struck event spoke of: what it said, or what the strike it undoes took away."""
    assert target.place is not None
    assert target.event is not None
    restored = Reading.objects.filter(struck_by=target.id).select_related("place__workshop")
    if restored:
        return [Change(target.place, added=list(restored))]
    version = AirVersion.objects.filter(Q(id=target.id) | Q(struck_by=target.id)).first()
    if version is None:
        return []
    return [Change(target.place, earlier=versions_of(target.place), since=version.since)]
