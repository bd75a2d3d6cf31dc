"""What has gone wrong, or is about to: doubts, shut windows, coming cold, silence, contradiction."""

from collections.abc import Iterable, Sequence

from cureclock.core.units import instant_us, moment_of
from cureclock.shop.models import Conflict
from cureclock.shop.sensor_faults import gone_since
from cureclock.waits.current import Current, Rung
from cureclock.waits.group_line import by_kind, group_line
from cureclock.waits.groups import Group
from cureclock.waits.line import Forbidden, Line
from cureclock.waits.minute import to_minute
from cureclock.waits.shown import ForetoldShown
from cureclock.waits.unsure import places_waiting, silent_since


def wrong_lines(found: Current, group: Group, foretold: Sequence[ForetoldShown]) -> Iterable[Line]:
    """Doubts that stand, windows that are shut, and what the air will do."""
    yield from _suspects(found, group)
    for kind, rungs in by_kind(group).items():
        shut = [rung for rung in rungs if not rung.gate.opens and rung.reached(found.at)]
        if shut:
            yield group_line(group, kind, shut, reason="shut")
    for told in foretold:
        yield from _foretold(found, group, told)


def _suspects(found: Current, group: Group) -> Iterable[Line]:
    """One line a cause."""
    causes: dict[str, list[Rung]] = {}
    for wait in group.waits:
        for doubt in found.doubts.get(wait.id, ()):
            if doubt.cleared_by is None and found.rungs.get(wait.id):
                causes.setdefault(doubt.cause, []).append(found.rungs[wait.id][0])
    for cause, rungs in causes.items():
        waits = {rung.wait.id for rung in rungs}
        doubts = [d for ident in waits for d in found.doubts[ident] if d.cause == cause]
        since = min(doubt.at for doubt in doubts)
        yield group_line(
            group,
            "suspect",
            rungs,
            at=since,
            reason=f"suspect_{cause}",
            forbidden=Forbidden("spin", None) if group.of("spin") else None,
        )


def _foretold(found: Current, group: Group, told: ForetoldShown) -> Iterable[Line]:
    """Too cold before it is formed, or asleep, and by when to do something about it."""
    rungs = [rung for rung in group.rungs if not rung.over and not rung.reached(found.at)]
    cold = [rung for rung in rungs if rung.gate.kind == "keep_warm"]
    concerned = cold if told.cause == "cold" else [rung for rung in rungs if rung.gate.opens]
    if concerned:
        yield group_line(
            group,
            told.cause,
            concerned,
            at=told.at,
            until=told.latest_good,
            reason=f"foretold_{told.cause}",
        )


def silent_lines(found: Current) -> Iterable[Line]:
    """Places with something waiting that have not been heard of, or never were."""
    waiting = places_waiting(found)
    gone = gone_since(waiting)
    for place in waiting.values():
        air = found.ages.air(place)
        since = silent_since(air, instant_us(found.at))
        if since is None and place.id in gone:
            since = instant_us(gone[place.id])
        if since is not None or not len(air.readings):
            yield Line(
                act="read_temperature",
                group=None,
                name=place.name,
                pieces=(),
                place=place.name,
                place_id=place.id,
                at=None if since is None else to_minute(moment_of(since), opens=False),
                until=None,
                reason="no_word" if since is not None else "never_read",
            )


def conflict_lines(conflicts: Sequence[Conflict], groups: Sequence[Group]) -> Iterable[Line]:
    """Contradictions that somebody has to settle."""
    known = {group.id: group for group in groups}
    for conflict in conflicts:
        group = known.get(conflict.about)
        place = group.waits[0].place if group else None
        yield Line(
            act="settle",
            group=group.id if group else None,
            name=group.name if group else "",
            pieces=tuple(dict.fromkeys(one.tag for one in group.members)) if group else (),
            place=place.name if place else "",
            place_id=place.id if place else None,
            at=None,
            until=None,
            reason=conflict.kind,
        )
