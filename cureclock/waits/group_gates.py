"""The gates of a group: what opens counts from its last piece, what closes from its first."""

from collections.abc import Iterable, Sequence
from datetime import UTC, datetime

import numpy as np

from cureclock.core.stance import Stance
from cureclock.core.units import DAY_US, instant_us
from cureclock.waits.ages import response_of
from cureclock.waits.current import Current, Rung
from cureclock.waits.minute import to_minute
from cureclock.waits.shown import GateShown, Span

FAR = datetime.max.replace(tzinfo=UTC)
LOOKED_AHEAD_DAYS = 2  # as far as air is looked at for what the label's rows do not cover


def gates_shown(found: Current, rungs: Sequence[Rung]) -> tuple[GateShown, ...]:
    """Every gate kind of a group's rungs, in the order of the trade."""
    by_kind: dict[str, list[Rung]] = {}
    for rung in rungs:
        by_kind.setdefault(rung.gate.kind, []).append(rung)
    return tuple(_shown(found, own) for own in by_kind.values())


def _shown(found: Current, rungs: Sequence[Rung]) -> GateShown:
    """One gate kind of a group: of the pieces that still wait for it, else of all."""
    live = [rung for rung in rungs if not rung.over] or list(rungs)
    gate = live[0].gate
    since = found.ages.since
    past = [rung for rung in live if rung.times.act is not None and rung.times.act <= found.at]

    def shown(moments: Sequence[datetime | None], *, last: bool) -> datetime | None:
        return _end(moments, since, opens=gate.opens, last=last)

    times = [rung.times for rung in live]
    acts = [one.act for one in times]
    return GateShown(
        kind=gate.kind,
        opens=gate.opens,
        hurts=gate.hurts,
        over=all(rung.over for rung in rungs),
        state=state_of(found, rungs),
        bare=shown([one.bare for one in times], last=gate.opens),
        check_from=shown([one.check_from for one in times], last=True),
        acts=Span(shown(acts, last=False), shown(acts, last=True)),
        sure=shown([one.sure for one in times], last=True),
        warn=shown([one.warn for one in times], last=False),
        between=any(rung.wait.between for rung in live),
        reached=_many([rung for rung in live if rung.reached(found.at)] if gate.opens else past),
        of=_many(live),
    )


def _many(rungs: Iterable[Rung]) -> int:
    """How many waits they speak for."""
    return sum(len(rung.members) for rung in rungs)


def ruling_of(rungs: Sequence[Rung]) -> Rung:
    """The rung that counts for a group: the last to open, the first to close."""
    pick = max if rungs[0].gate.opens else min
    return pick(rungs, key=lambda rung: rung.acts or FAR)


def _end(
    moments: Sequence[datetime | None], since: datetime, *, opens: bool, last: bool
) -> datetime | None:
    """The earliest or latest of instants, to the minute; out of reach, or long past, is none."""
    pick = max if last else min
    chosen = pick(moment or FAR for moment in moments)
    return None if chosen == FAR or chosen < since else to_minute(chosen, opens=opens)


def state_of(found: Current, rungs: Sequence[Rung]) -> str:
    """How a gate kind of a group stands now, by its figures."""
    live = [rung for rung in rungs if not rung.over]
    if not live:
        return "over"
    gate, at = live[0].gate, found.at
    if gate.opens:
        reached = sum(rung.reached(at) for rung in live)
        if reached == len(live):
            return "ask" if gate.hurts else "reached"
        return "partly" if reached else "waiting"
    if any(rung.reached(at) for rung in live):
        return "shut"
    if any(crosses_rows(found, rung) for rung in live):
        return "act_now"
    return "warned" if any(warned(rung, at) for rung in live) else "running"


def warned(rung: Rung, at: datetime) -> bool:
    """The warning of a closing gate is past."""
    return rung.times.warn is not None and rung.times.warn <= at


def crosses_rows(found: Current, rung: Rung) -> bool:
    """Whether its wait ran, or is going to run, through air that its label's rows do not cover."""
    row = rung.gate.act_clock
    if row is None or not row.response["rows"]:
        return False
    response = response_of(row.response)
    ages = found.ages
    until_us = ages.until_us + LOOKED_AHEAD_DAYS * DAY_US
    line = ages.line(rung.wait.place, response.label_temp_c, until_us, Stance.SLOW)
    begun = max(instant_us(rung.gate.stay_at), ages.from_us)
    ended = until_us if rung.acts is None else min(instant_us(rung.acts), until_us)
    inside = line.temp_c[(line.at_us >= begun) & (line.at_us <= ended)]
    ends = line.temp_at(np.array([begun, max(begun, ended)]))
    return bool(response.outside_rows(np.concatenate([inside, ends])).any())
