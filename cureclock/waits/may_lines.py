"""What may be touched now, for which act and until when; and what comes next where nothing may."""

from collections.abc import Iterable
from datetime import datetime
from uuid import UUID

from cureclock.waits.current import TO_BE_DONE, Current, Rung
from cureclock.waits.group_gates import ruling_of
from cureclock.waits.group_line import by_kind, group_line
from cureclock.waits.groups import Group
from cureclock.waits.line import Forbidden, Line
from cureclock.waits.minute import to_minute

# What a later permission says as well, so that it needs no line of its own.
INCLUDED_IN = {
    "light": ("heavy",),
    "dust_free": ("touch", "handle", "wrap", "full_cure"),
    "touch": ("handle", "wrap", "full_cure"),
    "handle": ("wrap", "full_cure"),
    "wrap": ("full_cure",),
    "rewipe": ("touch",),
    "drip_check": ("dust_free",),
}
IN_CLAMPS = (*TO_BE_DONE, "scrape_opens")  # done while the clamps are still on
CLOSES = {"scrape_opens": "scrape_closes", "recoat_opens": "recoat_closes"}


def may_lines(found: Current, group: Group) -> Iterable[Line]:
    """Opening gates reached and not acted on, of pieces beyond doubt; the lathe is asked apart."""
    kinds = by_kind(group)
    clamped = {rung.wait.id for kind in TO_BE_DONE for rung in kinds.get(kind, ())}
    for kind, rungs in kinds.items():
        gate = rungs[0].gate
        if not gate.opens or gate.hurts:
            continue
        shut = _closing(found, kinds, kind, reached=True)
        allowed = [
            rung
            for rung in rungs
            if rung.reached(found.at)
            and not found.suspect(rung.wait)
            and rung.wait.id not in shut
            and (kind in IN_CLAMPS or rung.wait.id not in clamped)
            and not _said_by_later(found, kinds, rung)
        ]
        if allowed:
            ends = [_closing(found, kinds, kind, reached=False).get(r.wait.id) for r in allowed]
            until = min((end for end in ends if end is not None), default=None)
            yield group_line(
                group,
                kind,
                allowed,
                until=to_minute(until, opens=False),
                forbidden=_forbidden(found, kinds, kind),
            )


def not_yet_lines(found: Current, group: Group) -> Iterable[Line]:
    """The next gate that has to open."""
    for kind, rungs in by_kind(group).items():
        waiting = [
            rung
            for rung in rungs
            if rung.gate.opens and not rung.reached(found.at) and not found.suspect(rung.wait)
        ]
        if waiting:
            yield group_line(group, kind, waiting)
            return


def _said_by_later(found: Current, kinds: dict[str, list[Rung]], rung: Rung) -> bool:
    """Whether a later permission of the same wait says as much."""
    return any(
        other.wait.id == rung.wait.id and other.reached(found.at)
        for later in INCLUDED_IN.get(rung.gate.kind, ())
        for other in kinds.get(later, ())
    )


def _closing(
    found: Current, kinds: dict[str, list[Rung]], kind: str, *, reached: bool
) -> dict[UUID, datetime | None]:
    """When the window that a gate opens shuts for each wait; of those that did, or did not yet."""
    shuts = kinds.get(CLOSES.get(kind, ""), ())
    return {rung.wait.id: rung.acts for rung in shuts if rung.reached(found.at) == reached}


def _forbidden(found: Current, kinds: dict[str, list[Rung]], kind: str) -> Forbidden | None:
    """The next act up the ladder that must still wait."""
    later = list(kinds)[list(kinds).index(kind) + 1 :]
    for name in later:
        rungs = kinds[name]
        waiting = [rung for rung in rungs if rung.gate.opens and not rung.reached(found.at)]
        if waiting:
            until = ruling_of(waiting).acts
            return Forbidden(name, to_minute(until, opens=True))
    return None
