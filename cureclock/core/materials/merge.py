"""Makes a workshop's label: what was read from the container, and typical figures for the rest."""

from collections.abc import Mapping
from dataclasses import replace
from difflib import get_close_matches
from itertools import pairwise, product
from typing import Any

from cureclock.core.confidence import UNREAD_LABEL
from cureclock.core.materials import vocabulary as words
from cureclock.core.materials.figure import number
from cureclock.core.materials.finish import Finish
from cureclock.core.materials.gate import Gate
from cureclock.core.materials.label import Label
from cureclock.core.materials.label_gate import LONGEST_H, SHORTEST_H, TEMPS_C, LabelGate
from cureclock.core.materials.model import Family
from cureclock.core.refusal import Refused
from cureclock.core.response import q_of_two_temperatures

PLAIN_Q = 2.0  # rate doubles for 10 K: rule of thumb, common practice, no source
# What a label may say of the material as a whole, beside its gates and its second temperature.
PARAMETERS = (
    "response_kind",
    "q",
    "label_temp_c",
    "label_rh_pct",
    "air_weight",
    "states_rule",
    "min_c",
    "max_c",
    "max_rh_pct",
    "sleep_below_c",
    "pot_mass_g",
)
_OF_A_GATE = ("hours", "by_wall", "rows", "then_hours")
_OF_SECOND = ("gate", "temp_c", "hours")


def with_label(
    family: Family, values: Mapping[str, Any] | None = None, *, read: bool = True
) -> Label:
    """The label that counts for a workshop's own material.

    Args:
        family: its family in the library.
        values: what its container says, by name. A gate is its hours, a table of hours,
            by_wall, rows ([degC, h] pairs) and then_hours, or None where the label offers none.
            `second` is the label's other temperature: {gate, temp_c [degC], hours [h]}. The
            rest are PARAMETERS, in their units.
        read: somebody read these values from the container. False for a guess.

    Returns:
        The label. Gates nobody read keep the library's figure and are marked; one that has to
        come after a read one is never before it.

    Raises:
        Refused: naming the field: an unknown name, an impossible number, rungs out of order, a
            window that shuts before it opens, or a gate its family never offers.

    Source: common practice, no source. 1.5 for an unread figure without a range is our choice.

    >>> from cureclock.core.materials.library import family
    >>> with_label(family("pva_interior"), {"spin": 24}).gate("spin").upper_hours
    24.0
    >>> with_label(family("pva_interior")).gate("spin").upper_hours
    36.0
    """
    said = dict(values or {})
    _only_known(family, said)
    params = _parameters(family) | {name: said[name] for name in PARAMETERS if name in said}
    temp_c = number("label_temp_c", params["label_temp_c"], -10, 60, "degC")
    gates = {name: _typical(gate) for name, gate in family.gates.items()}
    for name in words.GATES_OF_ROLE[family.role]:
        if name in said:
            _read_gate(family, gates, name, _said_of_gate(name, said[name], temp_c), read)
    if "second" in said:
        params["q"] = _second(said["second"], gates, temp_c)
    _rebase_unread(gates, family.label_temp_c.value, temp_c, params.get("q", PLAIN_Q))
    _lift_unread(gates)
    params["response_kind"] = _response(family, said, gates)
    if family.below_min == "sleeps":
        params.setdefault("sleep_below_c", params["min_c"])
    in_order = (gates[name] for name in words.GATES_OF_ROLE[family.role] if name in gates)
    return Label(family=family.key, role=family.role, gates=tuple(in_order), **params)


def _only_known(family: Family, said: Mapping[str, Any]) -> None:
    known = (*words.GATES_OF_ROLE[family.role], *PARAMETERS, "second")
    for name in said:
        if name not in known:
            near = get_close_matches(str(name), known, n=3) or known
            raise Refused(f"{family.key}, {name}", "an unknown name", f"perhaps {', '.join(near)}")


def _typical(gate: Gate) -> LabelGate:
    """The library's figure of a gate, which nobody read from this container."""
    return LabelGate(
        name=gate.name,
        hours=gate.hours,
        upper_hours=gate.unread_hours,
        by_wall=gate.by_wall,
        rows=tuple((row.temp_c, row.time.hours) for row in gate.rows),
        then_hours=tuple(later.hours for later in gate.again),
    )


def _said_of_gate(name: str, said: Any, temp_c: float) -> dict[str, Any] | None:
    """What is said of one gate as a table; its hours are its row at the label temperature."""
    if said is None:
        return None
    table = _table(name, said if isinstance(said, Mapping) else {"hours": said}, _OF_A_GATE)
    if "hours" not in table and isinstance(table.get("rows"), list | tuple):
        pairs = [row for row in table["rows"] if isinstance(row, list | tuple) and len(row) == 2]
        table["hours"] = next((hours for temp, hours in pairs if temp == temp_c), None)
    table["hours"] = number(name, table.get("hours"), SHORTEST_H, LONGEST_H, "h")
    return table


def _read_gate(
    family: Family,
    gates: dict[str, LabelGate],
    name: str,
    said: dict[str, Any] | None,
    read: bool,
) -> None:
    """Put what the container says of one gate in the place of the typical figure."""
    typical = gates.pop(name, None)
    if said is None:
        return
    if family.not_offered.get(name) in words.NEVER:
        reason = words.NOTES[family.not_offered[name]]
        raise Refused(f"{family.key}, {name}", f"{said['hours']:g} h", f"nothing at all. {reason}")
    said.setdefault("by_wall", typical.by_wall if typical else False)
    gate = LabelGate.from_json({**said, "name": name, "upper_hours": said["hours"], "read": read})
    if not read and name not in words.CLOSING:
        beyond = typical.upper_hours if typical else 0.0
        gate = replace(gate, upper_hours=max(gate.hours * UNREAD_LABEL, beyond))
    gates[name] = gate


def _rebase_unread(gates: dict[str, LabelGate], typical_c: float, temp_c: float, q: Any) -> None:
    """Typical figures speak of the trade's temperature: say them at the label's own."""
    if temp_c == typical_c:
        return
    factor = number("q", q, 1.5, 3) ** ((typical_c - temp_c) / 10)
    for name, gate in gates.items():
        if gate.read or gate.by_wall:
            continue
        if gate.rows:
            raise Refused("label_temp_c", f"{temp_c:g} degC", f"{typical_c:g} degC, as in the rows")
        gates[name] = replace(
            gate,
            hours=gate.hours * factor,
            upper_hours=gate.upper_hours * factor,
            then_hours=tuple(later * factor for later in gate.then_hours),
        )


def _lift_unread(gates: dict[str, LabelGate]) -> None:
    """An unread gate never opens before one that was read and has to come first."""
    for ladder, by_wall in product(words.LADDERS, (True, False)):
        rungs = [name for name in ladder if name in gates and name not in words.CLOSING]
        alike = [name for name in rungs if gates[name].by_wall == by_wall]
        for early, late in pairwise(alike):
            one, two = gates[early], gates[late]
            if not two.read and one.hours > two.hours:
                upper = max(two.upper_hours, one.upper_hours)
                gates[late] = replace(two, hours=one.hours, upper_hours=upper)


def _response(family: Family, said: Mapping[str, Any], gates: Mapping[str, LabelGate]) -> Any:
    """How the gates without rows feel the air; a table says nothing of them."""
    kind = said.get("response_kind", family.response)
    without_rows = any(not gate.rows and not gate.by_wall for gate in gates.values())
    return "doubling" if kind == "table" and without_rows else kind


def _parameters(family: Family) -> dict[str, Any]:
    """What the library knows of the material as a whole."""
    energies = family.activation_kj_mol
    damp = family.max_rh_pct if isinstance(family, Finish) else None
    minimum = None if family.min_c is None else family.min_c.value
    return {
        "label_temp_c": family.label_temp_c.value,
        "label_rh_pct": family.label_rh_pct.value,
        "air_weight": 1.0 if family.air_weight is None else family.air_weight.value,
        "ea_upper_kj_mol": None if energies is None else energies.high,
        "min_c": minimum,
        "max_c": None if family.max_c is None else family.max_c.value,
        "max_rh_pct": None if damp is None else damp.value,
        "spoils": family.below_min == "spoils",
        "pot_mass_g": None if family.pot_mass_g is None else family.pot_mass_g.value,
    }


def _second(said: Any, gates: Mapping[str, LabelGate], label_temp_c: float) -> float:
    """The factor for 10 K out of the label's two temperatures for one gate."""
    if not isinstance(said, Mapping):
        raise Refused("second", repr(said), f"a table of {', '.join(_OF_SECOND)}")
    table = _table("second", said, _OF_SECOND)
    gate = gates.get(str(table.get("gate")))
    if gate is None or gate.by_wall:
        raise Refused("second, gate", table.get("gate"), f"one of {', '.join(gates)}")
    temp = number("second, temp_c", table.get("temp_c"), *TEMPS_C, "degC")
    hours = number("second, hours", table.get("hours"), SHORTEST_H, LONGEST_H, "h")
    here = (label_temp_c, gate.hours)
    (cold_c, cold_h), (warm_c, warm_h) = sorted([here, (temp, hours)])
    if warm_c - cold_c < 1:
        raise Refused("second, temp_c", f"{temp:g} degC", f"1 K or more from {here[0]:g} degC")
    if cold_h < warm_h:
        raise Refused("second, hours", f"{hours:g} h", "longer in the cold than in the warm")
    return q_of_two_temperatures(cold_c, cold_h, warm_c, warm_h)


def _table(name: str, said: Mapping[str, Any], known: tuple[str, ...]) -> dict[str, Any]:
    for key in said:
        if key not in known:
            raise Refused(f"{name}, {key}", "an unknown name", f"one of {', '.join(known)}")
    return dict(said)
