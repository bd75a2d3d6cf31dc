"""Why: the whole sum behind a gate's bare figure, so that a pencil can redo it from the page."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from cureclock.core.gates import JOINT_GATES, Since
from cureclock.core.materials.label import Label
from cureclock.core.response import Response
from cureclock.core.units import HOUR_US
from cureclock.waits.ages import Ages, response_of
from cureclock.waits.current import Rung
from cureclock.waits.minute import to_minute
from cureclock.waits.models import Leg
from cureclock.waits.straight_legs import StraightLeg, legs_until
from cureclock.waits.taught import LearnedWhy, learned_why
from cureclock.waits.wood_why import WoodWhy, wood_why

FROM_MIXING = frozenset(kind.key for kind in JOINT_GATES if kind.since == Since.MIXED)


@dataclass(frozen=True)
class LabelWhy:
    """What the label says of this gate, and who read it from which container.

    Attributes:
        value_h: hours at the label temperature; `upper_h` counts for sure where nobody read it.
        typical: nobody read it; it is the family's usual figure.
        by_wall: counted by the clock on the wall.
    """

    value_h: float
    upper_h: float
    by_wall: bool
    typical: bool
    read_by: str | None
    container: str
    read_at: datetime
    material: str


@dataclass(frozen=True)
class RuleWhy:
    """How the material feels the air.

    Attributes:
        kind: doubling: rate = q ^ ((T - label) / 10); a ramp averages (r1 - r2) / ln(r1 / r2).
        rows: the label's own (degC, hours), where it prints them.
    """

    kind: str
    q: float
    label_temp_c: float
    label_rh_pct: float
    sleep_below_c: float | None
    rows: tuple[tuple[float, float], ...]
    states_rule: bool


@dataclass(frozen=True)
class FactorWhy:
    """What multiplies the label's hours: learned here, a full pot, or a need of its own."""

    name: str
    value: float


@dataclass(frozen=True)
class FiguresWhy:
    """The figures of a gate, to the minute on the safe side."""

    bare: datetime | None
    check_from: datetime | None
    not_before: datetime | None
    not_after: datetime | None
    warn: datetime | None
    sure: datetime | None


@dataclass(frozen=True)
class Why:
    """The sum behind one gate of one wait.

    Attributes:
        since: what it counts from.
        need_h: label-hours needed: the label's, times the factors.
        legs: from `since` to the bare figure; as far as air is looked at where it is out of
            reach, and then `remaining_h` is still wanting at their end.
        learned: what checks told before it began, where anybody had looked; its need is among the
            factors.
        margin: shown apart, never inside the bare figure.
        wood: how the wood of a joint counts, in every figure but the bare one.
    """

    why_id: UUID
    kind: str
    opens: bool
    hurts: bool
    since: datetime
    label: LabelWhy
    rule: RuleWhy
    learned: LearnedWhy | None
    factors: tuple[FactorWhy, ...]
    need_h: float
    legs: tuple[StraightLeg, ...]
    sum_h: float
    remaining_h: float
    margin: float
    sure_need_h: float | None
    wood: WoodWhy | None
    figures: FiguresWhy


def why(rung: Rung, stays: Sequence[Leg], ages: Ages) -> Why | None:
    """The sum behind a gate; None once nothing runs for it.

    Args:
        rung: the gate with its instants.
        stays: where its wait stood, in order of time.
        ages: facts that span every stay.
    """
    gate = rung.gate
    if gate.bare_clock is None:
        return None
    response = response_of(gate.bare_clock.response)
    legs = tuple(legs_until(rung, stays, ages, response))
    banked = legs[-1].sum_h if legs else 0.0
    need_h = gate.need_us / HOUR_US
    label = rung.wait.label.label
    learned = learned_why(rung)
    return Why(
        why_id=gate.id,
        kind=gate.kind,
        opens=gate.opens,
        hurts=gate.hurts,
        since=gate.began_at,
        label=_label(rung, label),
        rule=_rule(response),
        learned=learned,
        factors=_factors(need_h, label, gate.kind, learned),
        need_h=need_h,
        legs=legs,
        sum_h=banked,
        remaining_h=max(need_h - banked, 0.0) if rung.times.bare is None else 0.0,
        margin=gate.margin,
        sure_need_h=None if gate.sure_need_us is None else gate.sure_need_us / HOUR_US,
        wood=wood_why(rung, stays, ages),
        figures=_figures(rung),
    )


def _label(rung: Rung, label: Label) -> LabelWhy:
    version = rung.wait.label
    told = label.gate(rung.gate.kind)
    assert told is not None
    return LabelWhy(
        value_h=told.hours,
        upper_h=told.upper_hours,
        by_wall=told.by_wall,
        typical=not told.read,
        read_by=version.read_by.name if version.read_by and told.read else None,
        container=version.container,
        read_at=version.since,
        material=version.material.name,
    )


def _rule(response: Response) -> RuleWhy:
    return RuleWhy(
        kind=str(response.kind),
        q=response.q,
        label_temp_c=response.label_temp_c,
        label_rh_pct=response.label_rh_pct,
        sleep_below_c=response.sleep_below_c,
        rows=response.rows,
        states_rule=response.states_rule,
    )


def _factors(
    need_h: float, label: Label, kind: str, learned: LearnedWhy | None
) -> tuple[FactorWhy, ...]:
    """What stands between the label's hours and what is needed."""
    told = label.gate(kind)
    assert told is not None
    factor = need_h / told.hours
    if abs(factor - 1) < 1e-6:
        return ()
    taught = learned is not None and learned.need_h != learned.label_h
    name = "learned" if taught else "pot" if kind in FROM_MIXING else "need"
    return (FactorWhy(name, round(factor, 4)),)


def _figures(rung: Rung) -> FiguresWhy:
    opens, times = rung.gate.opens, rung.times
    acts = to_minute(times.act, opens=opens)
    return FiguresWhy(
        bare=to_minute(times.bare, opens=opens),
        check_from=to_minute(times.check_from, opens=True),
        not_before=acts if opens else None,
        not_after=None if opens else acts,
        warn=to_minute(times.warn, opens=False),
        sure=to_minute(times.sure, opens=True),
    )
