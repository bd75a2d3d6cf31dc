"""May it be worked on? Joints and holds of many pieces, for one kind of work."""

from collections.abc import Collection, Hashable, Mapping
from datetime import datetime
from uuid import UUID

from cureclock.core.clock import NEVER
from cureclock.core.holding import CNC, blocks
from cureclock.core.lathe import Answer
from cureclock.core.materials.library import library
from cureclock.core.units import instant_us
from cureclock.core.work import GlueLine, HoldOn, may_work
from cureclock.shop.holds import off_before, said_of
from cureclock.shop.models import Hold, Workshop
from cureclock.waits.may.carried import Carried, Footing, carried
from cureclock.waits.may.instants import acting_us
from cureclock.waits.models import Clock, Gate

CLAMPS = ("clamps_off", "clamps_off_stressed")
DUSTY = ("final_surfacing", "sand_glue_line")  # work that makes dust of the glue line


def work_answers(
    workshop: Workshop, pieces: Collection[UUID], kind: str, at: datetime
) -> dict[UUID, Answer]:
    """May each of these pieces be worked on as a gate permits it?"""
    found = carried(workshop, pieces, [kind, *CLAMPS])
    gates = [gate for own in found.gates.values() for gate in own]
    alike = list({gate.on for gate in gates if gate.on.kind == kind})
    times = dict(zip(alike, acting_us(alike, found.clocks, at), strict=True))
    clamped = {gate.wait for gate in gates if gate.on.kind in CLAMPS and not gate.on.over}
    holds = holds_on(found, at)
    now_us = instant_us(at)
    return {
        piece: may_work(
            _lines(found, piece, kind, times, clamped),
            [hold for part in sorted(found.parts[piece], key=str) for hold in holds.get(part, ())],
            now_us,
            _cautions(found, piece, kind),
        )
        for piece in pieces
    }


def _lines(
    found: Carried,
    piece: UUID,
    kind: str,
    times: Mapping[Footing, int],
    clamped: Collection[Hashable],
) -> list[GlueLine]:
    lines = [
        GlueLine(
            name=gate.name,
            opens_us=times[gate.on],
            offered=True,
            pressed=True,
            clamped=gate.wait in clamped,
            suspect=found.suspect.get(gate.wait, ""),
        )
        for gate in found.of(piece)
        if gate.on.kind == kind
    ]
    lines += [
        GlueLine(one.name, NEVER, offered=False, pressed=one.pressed, clamped=False, suspect="")
        for one in found.silent(piece)
    ]
    return sorted(lines, key=lambda line: line.name)


def holds_on(found: Carried, at: datetime, step: str = CNC) -> dict[UUID, list[HoldOn]]:
    """The holds that are on each piece, whether each is in the way of a step, and when it holds."""
    words = said_of(found.every)
    holds = [hold for own in words.holds.values() for hold in own]
    times = _holding(found.workshop, holds, at)
    return {
        piece: [
            HoldOn(hold.what, blocks(off_before(hold), step), times.get(hold.id, 0))
            for hold in sorted(own, key=lambda hold: (hold.what, str(hold.id)))
        ]
        for piece, own in words.holds.items()
    }


def _holding(workshop: Workshop, holds: Collection[Hold], at: datetime) -> dict[UUID, int]:
    """When each hold that has a clock of its own holds [us]."""
    gates = Gate.objects.with_clocks().filter(
        workshop=workshop, kind="holds", wait__hold__in=[hold.id for hold in holds]
    )
    rows = list(gates.select_related("wait"))
    clocks: dict[int, Clock] = {row.act_clock.pk: row.act_clock for row in rows if row.act_clock}
    placed = [_Placed(row) for row in rows]
    times = acting_us(placed, clocks, at)
    return {
        row.wait.hold_id: us
        for row, us in zip(rows, times, strict=True)
        if row.wait.hold_id is not None
    }


class _Placed:
    """A gate's row as a threshold on a clock."""

    def __init__(self, gate: Gate) -> None:
        self.act_us = gate.act_us
        self.act_clock = gate.act_clock_id
        self.placed = gate.placed
        self.stay_at = gate.stay_at


def _cautions(found: Carried, piece: UUID, kind: str) -> tuple[str, ...]:
    """What is said where the work makes dust of the glue lines."""
    if kind not in DUSTY:
        return ()
    families = {found.labels[gate.on.label].family for gate in found.of(piece)}
    known = [library().families[name].cautions for name in sorted(families)]
    own = [caution for cautions in known for caution in cautions]
    return tuple(dict.fromkeys(["dust", *own]))
