"""A label: what one workshop's own container says, with what nobody read filled in as typical."""

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from itertools import pairwise, product
from typing import Any

from cureclock.core.materials import vocabulary as words
from cureclock.core.materials.figure import number
from cureclock.core.materials.label_gate import LONGEST_H, LabelGate, flag, kept_fields
from cureclock.core.refusal import Refused

__all__ = ["Label", "LabelGate"]


@dataclass(frozen=True, kw_only=True)
class Label:
    """The effective label of a workshop's own material; hashable, kept as plain data.

    Args:
        family: key of its family in the library.
        role: what it is for.
        gates: its gates, each name once.
        response_kind: how its gates without rows feel the air; those with rows follow them.
        q: factor on the rate for 10 K, 1.5 to 3.
        label_temp_c: temperature its figures speak of [degC], -10 to 60.
        label_rh_pct: humidity its figures speak of [%], 1 to 95.
        air_weight: part of the air's drying power that counts, 0 to 1. 1, the latest, unless
            said otherwise.
        ea_upper_kj_mol: upper published activation energy [kJ/mol], for doubt.
        states_rule: the maker's own label states the doubling rule down to the minimum.
        min_c, max_c: lowest and highest temperature to work at [degC].
        max_rh_pct: dampest air to work in [%].
        sleep_below_c: temperature below which age stands still [degC].
        spoils: below min_c, until keep_warm, a film that is forming is lost.
        pot_mass_g: mass the pot life speaks of [g].

    Raises:
        Refused: naming the field.

    Source: common practice, no source; 20 degC and 50 % are what the trade
    tables speak of; q = 2 is a rule of thumb.

    >>> Label(family="x", role="hold", response_kind="wall").to_json()["q"]
    2.0
    """

    family: str
    role: str
    response_kind: str
    gates: tuple[LabelGate, ...] = ()
    q: float = 2.0
    label_temp_c: float = 20.0
    label_rh_pct: float = 50.0
    air_weight: float = 1.0
    ea_upper_kj_mol: float | None = None
    states_rule: bool = False
    min_c: float | None = None
    max_c: float | None = None
    max_rh_pct: float | None = None
    sleep_below_c: float | None = None
    spoils: bool = False
    pot_mass_g: float | None = None

    def __post_init__(self) -> None:
        self._check_words()
        self._check_numbers()
        self._check_cold()
        self._check_ladder()

    def gate(self, name: str) -> LabelGate | None:
        """The gate of this name, or None where it is not offered."""
        return next((gate for gate in self.gates if gate.name == name), None)

    @property
    def keep_warm_hours(self) -> float | None:
        """Label-hours for which a forming film must stay above its minimum, if it can spoil."""
        gate = self.gate("keep_warm")
        return None if gate is None else gate.hours

    def to_json(self) -> dict[str, Any]:
        """Plain values that a JSON field can keep."""
        return asdict(self)

    @classmethod
    def from_json(cls, kept: Mapping[str, Any]) -> "Label":
        """The label out of what to_json gave; anything else is refused by field.

        >>> label = Label(family="x", role="hold", response_kind="wall")
        >>> Label.from_json(label.to_json()) == label
        True
        """
        table = kept_fields(cls, kept, "label")
        gates = table.get("gates", ())
        if not isinstance(gates, list | tuple):
            raise Refused("gates", repr(gates), "a list")
        return cls(**{**table, "gates": tuple(LabelGate.from_json(gate) for gate in gates)})

    def _check_words(self) -> None:
        if not isinstance(self.family, str) or not self.family:
            raise Refused("family", repr(self.family), "the key of a family")
        for name, choice in (
            ("role", tuple(words.GATES_OF_ROLE)),
            ("response_kind", words.RESPONSES),
        ):
            if getattr(self, name) not in choice:
                raise Refused(name, repr(getattr(self, name)), f"one of {', '.join(choice)}")
        names = [gate.name for gate in self.gates]
        for name in names:
            offered = words.GATES_OF_ROLE[self.role]
            if name not in offered or names.count(name) > 1:
                raise Refused("gate", name, f"each once, of {', '.join(offered)}")

    def _check_numbers(self) -> None:
        flag("states_rule", self.states_rule)
        flag("spoils", self.spoils)
        for name, low, high, unit in (
            ("q", 1.5, 3, ""),
            ("label_temp_c", -10, 60, "degC"),
            ("label_rh_pct", 1, 95, "%"),
            ("air_weight", 0, 1, ""),
        ):
            number(name, getattr(self, name), low, high, unit)
        for name, low, high, unit in (
            ("ea_upper_kj_mol", 10, 250, "kJ/mol"),
            ("min_c", -30, 60, "degC"),
            ("max_c", -30, 120, "degC"),
            ("max_rh_pct", 1, 100, "%"),
            ("pot_mass_g", 1, 100_000, "g"),
        ):
            if getattr(self, name) is not None:
                number(name, getattr(self, name), low, high, unit)

    def _check_cold(self) -> None:
        if self.sleep_below_c is not None:
            number("sleep_below_c", self.sleep_below_c, -30, self.label_temp_c, "degC")
        if self.min_c is not None and self.max_c is not None and self.max_c <= self.min_c:
            raise Refused("max_c", self.max_c, f"above the minimum, {self.min_c:g} degC")
        if self.spoils and (self.min_c is None or self.keep_warm_hours is None):
            raise Refused("keep_warm", self.keep_warm_hours, "hours, and a minimum, for a film")
        if self.spoils and self.sleep_below_c is not None:
            raise Refused("sleep_below_c", self.sleep_below_c, "empty: what spoils does not sleep")
        for gate in self.gates:
            there = [hours for temp, hours in gate.rows if abs(temp - self.label_temp_c) < 1e-9]
            if gate.rows and there != [gate.hours]:
                row = f"its row at the label temperature, {self.label_temp_c:g} degC"
                raise Refused(gate.name, f"{gate.hours:g} h", row)

    def _check_ladder(self) -> None:
        for ladder, read, by_wall in product(words.LADDERS, (True, False), (True, False)):
            there = [gate for gate in map(self.gate, ladder) if gate]
            self._check_rungs(
                [gate for gate in there if (gate.read, gate.by_wall) == (read, by_wall)]
            )
        for opens, closes in words.WINDOWS:
            one, two = self.gate(opens), self.gate(closes)
            if one and two and one.by_wall == two.by_wall and two.hours <= one.hours:
                raise Refused(closes, f"{two.hours:g} h", f"after {opens}, {one.hours:g} h")

    @staticmethod
    def _check_rungs(gates: list[LabelGate]) -> None:
        """Rungs of one origin are in order: all that were read, and all that were not."""
        for one, two in pairwise(gates):
            number(f"{two.name} (after {one.name})", two.hours, one.hours, LONGEST_H, "h")
