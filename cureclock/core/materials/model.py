"""What glues, finishes and holds have in common.

A cell the trade leaves empty stays empty here (None, or the gate is missing): no number is
invented, and what is missing is not offered.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

from cureclock.core.materials import vocabulary as words
from cureclock.core.materials.checked import Checked, figure_in, span_in, words_of
from cureclock.core.materials.figure import COMMON_PRACTICE, Figure, Span
from cureclock.core.materials.gate import Gate
from cureclock.core.refusal import Refused

# Where nobody says otherwise the table speaks of 20 degC and 50 to 60 % humidity.
TYPICAL_TEMP = Figure(value=20, unit="degC", source="shop_practice", status=COMMON_PRACTICE)
TYPICAL_RH = Figure(
    value=50, low=50, high=60, unit="%", source="shop_practice", status=COMMON_PRACTICE
)


@dataclass(frozen=True, kw_only=True, eq=False)
class Family(Checked):
    """What glues, finishes and holds have in common.

    Args:
        key, name, role: its key, its plain trade name, what it is for.
        gates: the gates that are offered, by name.
        not_offered: gates that are not, where the reason has a word.
        response: how it feels the air (the bare figure).
        label_temp_c, label_rh_pct: what the figures speak of.
        min_c, max_c: lowest and highest temperature to work at.
        below_min: below the minimum it "spoils" while forming, "sleeps", or nothing is known.
        activation_kj_mol: published activation energies, used for doubt only.
        air_weight: part of the air's drying power that counts in a closed joint.
        pot_mass_g: mass that the pot life speaks of.
        pot_temp_c: temperature the pot is kept at.
        mixing_ratio: resin to hardener by weight.
        shelf_months, shelf_opened_months: how long it keeps, unopened and opened.
        frost: "no_frost" where freezing ruins it.
        cautions, tests, notes: keys of what is said and tried at its use.
    """

    key: str
    name: str
    role: str = field(metadata=words_of(tuple(words.GATES_OF_ROLE)))
    response: str = field(metadata=words_of(words.RESPONSES))
    gates: Mapping[str, Gate] = field(default_factory=dict)
    not_offered: Mapping[str, str] = field(default_factory=dict)
    label_temp_c: Figure = field(default=TYPICAL_TEMP, metadata=figure_in("degC"))
    label_rh_pct: Figure = field(default=TYPICAL_RH, metadata=figure_in("%"))
    min_c: Figure | None = field(default=None, metadata=figure_in("degC"))
    max_c: Figure | None = field(default=None, metadata=figure_in("degC"))
    below_min: str = field(default="", metadata=words_of(words.BELOW_MIN))
    activation_kj_mol: Span | None = field(default=None, metadata=span_in("kJ/mol"))
    air_weight: Figure | None = field(default=None, metadata=figure_in("fraction"))
    pot_mass_g: Figure | None = field(default=None, metadata=figure_in("g"))
    pot_temp_c: Figure | None = field(default=None, metadata=figure_in("degC"))
    mixing_ratio: Figure | None = field(default=None, metadata=figure_in("ratio"))
    shelf_months: Figure | None = field(default=None, metadata=figure_in("months"))
    shelf_opened_months: Figure | None = field(default=None, metadata=figure_in("months"))
    frost: str = field(default="", metadata=words_of(("", "no_frost")))
    cautions: tuple[str, ...] = field(default=(), metadata=words_of(words.CAUTIONS))
    tests: tuple[str, ...] = field(default=(), metadata=words_of(words.TESTS))
    notes: tuple[str, ...] = field(default=(), metadata=words_of(words.NOTES))

    def __post_init__(self) -> None:
        super().__post_init__()
        self._check_gates()
        if self.below_min == "spoils" and "keep_warm" not in self.gates:
            raise Refused(f"{self.key}, keep_warm", "nothing", "hours, for a film that can spoil")
        if self.below_min and self.min_c is None:
            raise Refused(f"{self.key}, min_c", "nothing", "the minimum it sleeps or spoils below")

    def _check_gates(self) -> None:
        offered = words.GATES_OF_ROLE[self.role]
        for name in (*self.gates, *self.not_offered):
            if name not in offered:
                raise Refused(f"{self.key}, gate", name, f"one of {', '.join(offered)}")
        for gate in self.gates.values():
            self._check_rows(gate)
        for name, reason in self.not_offered.items():
            if name in self.gates:
                raise Refused(f"{self.key}, {name}", "offered and not offered", "one of them")
            if reason not in words.NOTES:
                raise Refused(f"{self.key}, {name}", reason, "a reason among the notes")

    def _check_rows(self, gate: Gate) -> None:
        """The figure of a gate with rows is its row at the label temperature."""
        label = self.label_temp_c.value
        there = [row.time.value for row in gate.rows if abs(row.temp_c - label) < 1e-9]
        if gate.rows and there != [gate.time.value]:
            raise Refused(f"{self.key}, {gate.name}", there, f"the row at {label:g} degC, as value")
