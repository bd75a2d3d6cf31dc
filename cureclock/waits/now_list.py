"""Now: what must be done soon, what may be touched, what is going wrong, what may not be yet."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import timedelta
from uuid import UUID

from cureclock.shop.models import Conflict
from cureclock.waits.begun import going_on
from cureclock.waits.current import Current, Rung
from cureclock.waits.group_gates import FAR, crosses_rows, warned
from cureclock.waits.group_line import by_kind, group_line
from cureclock.waits.groups import Group
from cureclock.waits.line import Line, NowList
from cureclock.waits.may_lines import may_lines, not_yet_lines
from cureclock.waits.minute import to_minute
from cureclock.waits.rags import rags_out
from cureclock.waits.shown import GroupShown
from cureclock.waits.spin_lines import spin_lines
from cureclock.waits.wrong_lines import conflict_lines, silent_lines, wrong_lines

SOON = timedelta(minutes=30)
RUNS = ("open_time", "total_assembly")  # while these run nothing else matters


def now_list(
    found: Current,
    groups: Sequence[Group],
    shown: Mapping[UUID, GroupShown],
    conflicts: Sequence[Conflict],
) -> NowList:
    """All lines, by act and then by where it hangs or stands.

    Args:
        found: what is waited for.
        groups: the same as groups.
        shown: what is shown of each, and of what waits for nothing yet.
        conflicts: contradictions nobody has settled.
    """
    spin, not_spin = spin_lines(found)
    soon = [*_rags(found), *going_on(shown.values())]
    for group in groups:
        soon.extend(_soon(found, group))
    may = [*(line for group in groups for line in may_lines(found, group)), *spin]
    wrong = [*silent_lines(found), *conflict_lines(conflicts, groups)]
    for group in groups:
        wrong.extend(wrong_lines(found, group, shown[group.id].foretold))
    not_yet = [*(line for group in groups for line in not_yet_lines(found, group)), *not_spin]
    return NowList(*(_in_order(lines) for lines in (soon, may, wrong, not_yet)))


def _in_order(lines: Iterable[Line]) -> tuple[Line, ...]:
    return tuple(sorted(lines, key=lambda line: line.order))


def _soon(found: Current, group: Group) -> Iterable[Line]:
    """Closing gates that were warned of, or will be in half an hour; and open time that runs."""
    for kind, rungs in by_kind(group).items():
        if rungs[0].gate.opens:
            continue
        open_still = [rung for rung in rungs if not rung.reached(found.at)]
        soon = [rung for rung in open_still if _presses(found, rung)]
        if soon:
            line = group_line(group, kind, soon)
            warn = min((rung.times.warn or FAR for rung in soon), default=FAR)
            since = None if warn == FAR else to_minute(warn, opens=False)
            crossed = any(crosses_rows(found, rung) for rung in soon)
            yield group_line(
                group,
                kind,
                soon,
                at=found.at if crossed else since,
                until=line.at,
                reason="outside_label_rows" if crossed else "",
            )


def _presses(found: Current, rung: Rung) -> bool:
    """Whether a closing gate concerns anybody now."""
    if rung.gate.kind in RUNS or crosses_rows(found, rung):
        return True
    return warned(rung, found.at + SOON)


def _rags(found: Current) -> Iterable[Line]:
    """Rags come before everything, until somebody says where they are."""
    for coat, done_at in rags_out(found.workshop, found.at).values():
        yield Line(
            act="rags",
            group=coat.id,
            name=coat.name,
            pieces=(),
            place=coat.place.name,
            place_id=coat.place_id,
            at=to_minute(done_at, opens=False),
            until=None,
            cautions=("rags",),
        )
