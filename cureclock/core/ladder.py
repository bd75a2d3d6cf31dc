"""The ladder of gates that a label gives to a joint, a coated zone or a hold."""

from collections.abc import Mapping, Sequence

from cureclock.core.confidence import UNTRIED_MARGIN
from cureclock.core.gates import COAT_GATES, HOLD_GATES, JOINT_GATES, Gate, GateKind
from cureclock.core.materials.label import Label
from cureclock.core.materials.label_gate import LabelGate
from cureclock.core.response import Kind, Response
from cureclock.core.units import hours_us

_KINDS_OF_ROLE: dict[str, Sequence[GateKind]] = {"adhesive": JOINT_GATES, "hold": HOLD_GATES}


def response_for(label: Label, gate: LabelGate) -> Response:
    """How a material feels the air for one of its gates.

    Args:
        label: the effective label.
        gate: one of its gates.

    Returns:
        The wall clock for a gate counted in clock hours; the label's rows where it prints
        them; else the family's response. A family whose response is not built yet falls back
        to doubling.
    """
    if gate.by_wall:
        return Response(Kind.WALL)
    shared = {"label_temp_c": label.label_temp_c, "sleep_below_c": label.sleep_below_c}
    if gate.rows:
        return Response(Kind.TABLE, rows=gate.rows, **shared)  # type: ignore[arg-type]
    kind = Kind(label.response_kind) if label.response_kind in list(Kind) else Kind.DOUBLING
    return Response(
        kind,
        label_rh_pct=label.label_rh_pct if kind == Kind.WATER_LOSS else 50.0,
        q=label.q,
        air_weight=label.air_weight if kind == Kind.WATER_LOSS else 1.0,
        ea_upper_kj_mol=label.ea_upper_kj_mol,
        states_rule=label.states_rule,
        **shared,  # type: ignore[arg-type]
    )


def ladder(
    label: Label, *, stressed: bool = False, margins: Mapping[str, float] | None = None
) -> tuple[Gate, ...]:
    """Every gate the label offers, in the order of the trade.

    Args:
        label: the effective label.
        stressed: the joint is bent or sprung: the longer clamping time counts.
        margins: margin of each gate by its key where this shop has earned one; else 0.20.

    Returns:
        Gates; a gate the label says nothing about is not offered.

    >>> ladder(Label(family="x", role="hold", response_kind="wall"))
    ()
    """
    passed_over = "clamps_off" if stressed else "clamps_off_stressed"
    found = []
    for kind in _KINDS_OF_ROLE.get(label.role, COAT_GATES):
        told = label.gate(kind.key)
        if told is None or kind.key == passed_over:
            continue
        found.append(
            Gate(
                kind=kind,
                response=response_for(label, told),
                need_us=hours_us(told.hours),
                margin=(margins or {}).get(kind.key, UNTRIED_MARGIN),
                doubtful_need_us=hours_us(told.upper_hours if kind.opens else told.hours),
            )
        )
    return tuple(found)


def floor_c(label: Label) -> float | None:
    """The temperature below which a forming film is lost [degC]; None where it is not."""
    return label.min_c if label.spoils else None
