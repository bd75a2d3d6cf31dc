"""The ladder of gates that a label gives to a joint, a coated zone or a hold."""

from collections.abc import Mapping, Sequence
from typing import Any

from cureclock.core.confidence import UNTRIED_MARGIN
from cureclock.core.gates import COAT_GATES, HOLD_GATES, JOINT_GATES, Gate, GateKind, Since
from cureclock.core.joint.pot import mass_share
from cureclock.core.materials.label import Label
from cureclock.core.materials.label_gate import LabelGate
from cureclock.core.rates import energy_of_q
from cureclock.core.response import Kind, Response
from cureclock.core.units import hours_us

_KINDS_OF_ROLE: dict[str, Sequence[GateKind]] = {"adhesive": JOINT_GATES, "hold": HOLD_GATES}

OXIDATION_KJ_MOL = 76.0  # ethyl linoleate, 69 to 76: Litwinienko (2000), read in a later paper
MOISTURE_KJ_MOL = 45.0  # isocyanate with water, 40 to 50; from memory
EVAPORATION_KJ_MOL = 42.0  # ethanol at 25 degC 42.3, butyl acetate 43.9; from memory
DAMP_ABOVE_PCT = 75.0  # what the labels of drying oils allow at most; common practice
HOT_HIDE_C = (60.0, 33.0)  # put on, gels; common practice
HOT_MELT_C = (180.0, 80.0)  # put on, stands; common practice
STANDS_BY_COOLING = ("holds", "open_time", "total_assembly", "clamps_off")
ABOVE_SOLID_K = 20.0
ABOVE_LABEL_K = 5.0  # a glue that stands by cooling stands above the air its label speaks of


def response_for(label: Label, gate: LabelGate) -> Response:
    """How a material feels the air for one of its gates.

    Args:
        label: the effective label.
        gate: one of its gates.

    Returns:
        The wall clock for a gate counted in clock hours; the label's rows where it prints
        them; else the label's own response. Where that is a table without rows for this gate,
        or cooling for a gate that comes long after the glue is cold, doubling.

    Raises:
        Refused: a label whose figures make no response; the sentence names the field.

    Valid for:
        Every response a label may name.
    Source:
        Energies where the label gives none: drying oils by a published one, moisture cure and
        evaporation from memory; a chemical response takes the energy its factor for 10 K
        stands for. Hot glues: common practice.

    Example:
        >>> pva = Label(family="x", role="hold", response_kind="doubling")
        >>> holds = LabelGate(name="holds", hours=2, upper_hours=2)
        >>> response_for(pva, holds).kind.value
        'doubling'
    """
    if gate.by_wall:
        return Response(Kind.WALL)
    shared = {"label_temp_c": label.label_temp_c, "sleep_below_c": label.sleep_below_c}
    if gate.rows:
        return Response(Kind.TABLE, rows=gate.rows, **shared)  # type: ignore[arg-type]
    kind = Kind(label.response_kind)
    if kind == Kind.TABLE or (kind == Kind.COOLING and gate.name not in STANDS_BY_COOLING):
        kind = Kind.DOUBLING
    if kind == Kind.WALL:
        return Response(Kind.WALL)
    return Response(
        kind,
        ea_upper_kj_mol=label.ea_upper_kj_mol,
        states_rule=label.states_rule,
        **shared,  # type: ignore[arg-type]
        **_own_figures(kind, label),
    )


def _own_figures(kind: Kind, label: Label) -> dict[str, Any]:
    """What this shape of response reads from a label, and no more: alike ones share clocks."""
    damp = {"label_rh_pct": label.label_rh_pct}
    too_damp = DAMP_ABOVE_PCT if label.max_rh_pct is None else min(label.max_rh_pct, 99.0)
    pot, solid = HOT_MELT_C if label.role == "hold" else HOT_HIDE_C
    solid = max(solid, label.label_temp_c + ABOVE_LABEL_K)
    own: dict[Kind, dict[str, Any]] = {
        Kind.WATER_LOSS: {**damp, "air_weight": label.air_weight, "q": label.q},
        Kind.CHEMICAL: {"ea_kj_mol": energy_of_q(label.q, label.label_temp_c)},
        Kind.MOISTURE_CURE: {**damp, "ea_kj_mol": MOISTURE_KJ_MOL},
        Kind.SOLVENT_LOSS: {"ea_kj_mol": EVAPORATION_KJ_MOL},
        Kind.OXIDATION: {"ea_kj_mol": OXIDATION_KJ_MOL, "damp_above_pct": too_damp},
        Kind.COOLING: {"pot_c": max(pot, solid + ABOVE_SOLID_K), "solid_c": solid},
    }
    return own.get(kind, {"q": label.q})


def ladder(
    label: Label,
    *,
    stressed: bool = False,
    margins: Mapping[str, float] | None = None,
    learned_h: Mapping[str, float] | None = None,
    mixed_g: float | None = None,
) -> tuple[Gate, ...]:
    """Every gate the label offers, in the order of the trade.

    Args:
        label: the effective label.
        stressed: the joint is bent or sprung: the longer clamping time counts.
        margins: margin of each gate by its key where this shop has earned one [-], 0.08 to 1;
            else 0.20.
        learned_h: what each gate needs here, by its key, where checks have said so [label h];
            else the label's hours.
        mixed_g: how much was mixed in one pot [g], 0 to 100000: a larger pot than the label
            speaks of lives shorter; None where nobody said.

    Returns:
        Gates; a gate the label says nothing about is not offered. What nobody read counts at
        the upper end of its range for the sure figure, however much was learned.

    Raises:
        Refused: naming the gate.

    Valid for:
        One material and one glue-up, coat or hold.
    Source:
        The label; learned figures by `learning`; a large pot by `joint.pot`.

    Example:
        >>> ladder(Label(family="x", role="hold", response_kind="wall"))
        ()
    """
    passed_over = "clamps_off" if stressed else "clamps_off_stressed"
    found = []
    for kind in _KINDS_OF_ROLE.get(label.role, COAT_GATES):
        told = label.gate(kind.key)
        if told is None or kind.key == passed_over:
            continue
        hours = (learned_h or {}).get(kind.key, told.hours)
        if kind.since == Since.MIXED:
            hours *= pot_share(label, mixed_g)
        unread = told.upper_hours > told.hours
        upper = max(hours, told.upper_hours) if kind.opens and unread else hours
        found.append(
            Gate(
                kind=kind,
                response=response_for(label, told),
                need_us=hours_us(hours),
                margin=(margins or {}).get(kind.key, UNTRIED_MARGIN),
                doubtful_need_us=hours_us(upper),
            )
        )
    return tuple(found)


def pot_share(label: Label, mixed_g: float | None) -> float:
    """What a pot of this much glue has left of the label's pot life.

    Args:
        label: the effective label.
        mixed_g: how much was mixed [g], 0 to 100000; None where nobody said.

    Returns:
        Share [-], 0 to 1; 1 where nobody said, or the label speaks of no mass.

    Raises:
        Refused: naming the mass.

    Valid for:
        As `joint.pot.mass_share`.
    Source:
        As `joint.pot.mass_share`.

    Example:
        >>> pot_share(Label(family="x", role="adhesive", response_kind="wall", pot_mass_g=100), 200)
        0.5
    """
    if mixed_g is None or label.pot_mass_g is None:
        return 1.0
    return float(mass_share(label.pot_mass_g, mixed_g))


def floor_c(label: Label) -> float | None:
    """The temperature below which a forming film is lost.

    Args:
        label: the effective label.

    Returns:
        Its minimum [degC]; None where cold only slows.

    Source:
        The label.

    Example:
        >>> floor_c(Label(family="x", role="hold", response_kind="wall")) is None
        True
    """
    return label.min_c if label.spoils else None
