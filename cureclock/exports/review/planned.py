"""What was planned against what came, and how cold each film was while it formed."""

from collections.abc import Iterator, Sequence
from datetime import datetime
from uuid import UUID

import numpy as np

from cureclock.core.units import HOUR_US, instant_us, moment_of
from cureclock.exports.review.scope import Group, Scope
from cureclock.exports.review.shapes import Against, Coldest
from cureclock.exports.waited import Waited
from cureclock.shop.glue_history import JointHistory
from cureclock.shop.models import Place
from cureclock.waits.joints import glue_story
from cureclock.waits.minute import to_minute
from cureclock.waits.models import Gate
from cureclock.waits.shown import Thing
from cureclock.waits.suspect import Walk

HOUR_S = 3600.0
OFF = ("clamps_off", "clamps_off_stressed")


def against(scope: Scope) -> tuple[Against, ...]:
    """For each glue-up its clamps; for each coat the one that followed it."""
    found: list[Against] = []
    for group in scope.groups:
        if group.kind == "glue_up":
            found += _clamps(group)
        elif group.kind == "coat":
            found += _recoat(scope, group)
    return tuple(found)


def _clamps(group: Group) -> Iterator[Against]:
    """Of the slowest joint that was pressed."""
    glue_up = group.first.glue_up
    assert glue_up is not None
    stories = {story.joint.id: story for story in glue_story(glue_up).joints}
    for kind in OFF:
        rows = [(one, gate) for one in group.waits if (gate := one.gate(kind)) is not None]
        if rows:
            one, _ = max(rows, key=lambda row: row[1][1].bare or row[1][0].began_at)
            yield _row(group, one, kind, _off_at(stories, one))
            return


def _off_at(stories: dict[UUID, JointHistory], one: Waited) -> datetime | None:
    story = stories.get(one.wait.joint_id) if one.wait.joint_id else None
    return story.off_at if story else None


def _recoat(scope: Scope, group: Group) -> Iterator[Against]:
    """The last piece of a coat rules when the next one could begin."""
    rows = [one for one in group.waits if one.gate("recoat_opens") is not None]
    if not rows:
        return
    zones = {one.wait.zone_id for one in group.waits}
    later = [
        other.first.began_at
        for other in scope.groups
        if other.kind == "coat"
        and other.first.began_at > group.first.began_at
        and zones & {one.wait.zone_id for one in other.waits}
    ]
    ruling = max(rows, key=lambda one: one.wait.began_at)
    yield _row(group, ruling, "recoat_opens", min(later, default=None))


def _row(group: Group, one: Waited, kind: str, done_at: datetime | None) -> Against:
    found = one.gate(kind)
    assert found is not None
    gate, times = found
    spare = None
    if done_at is not None and times.bare is not None:
        spare = round((done_at - times.bare).total_seconds() / HOUR_S, 3)
    return Against(
        group=Thing(group.id, group.name),
        kind=kind,
        label_h=gate.need_us / HOUR_US,
        took_h=_hours(gate, times.bare),
        opened_at=to_minute(times.bare, opens=True),
        done_at=done_at,
        spare_h=spare,
    )


def _hours(gate: Gate, bare: datetime | None) -> float | None:
    return None if bare is None else round((bare - gate.began_at).total_seconds() / HOUR_S, 3)


def coldest(scope: Scope) -> tuple[Coldest, ...]:
    """Of each glue-up whose film can be spoiled by cold: the coldest it had until it was formed."""
    walk = Walk(scope.ages)
    found = []
    for group in scope.groups:
        rows = [
            one for one in group.waits if one.wait.floor_c is not None and one.gate("keep_warm")
        ]
        lows = [low for one in rows[:1] if (low := _low(walk, scope, one)) is not None]
        found += [
            Coldest(Thing(group.id, group.name), round(temp, 2), at, floor, temp < floor)
            for temp, at, floor in lows
        ]
    return tuple(found)


def _low(walk: Walk, scope: Scope, one: Waited) -> tuple[float, datetime, float] | None:
    """The coldest of the air between pressure and keep-warm, over every place it stood in."""
    told = one.gate("keep_warm")
    assert told is not None
    floor = one.wait.floor_c
    assert floor is not None
    begun, ended = instant_us(told[0].began_at), instant_us(told[1].act or scope.at)
    points: list[tuple[float, int]] = []
    for leg in one.stays:
        start = max(begun, instant_us(leg.began_at))
        end = ended if leg.ended_at is None else min(ended, instant_us(leg.ended_at))
        end = min(end, walk.known_us(leg.place))
        if end > start:
            points += _temps(walk, leg.place, start, end)
    if not points:
        return None
    temp, at = min(points)
    return temp, moment_of(at), floor


def _temps(walk: Walk, place: Place, start: int, end: int) -> Sequence[tuple[float, int]]:
    line = walk.line(place)
    inside = line.at_us[(line.at_us > start) & (line.at_us < end)]
    at = np.concatenate([[start], inside, [end]]).astype(np.int64)
    return list(zip(line.temp_at(at).tolist(), at.tolist(), strict=True))
