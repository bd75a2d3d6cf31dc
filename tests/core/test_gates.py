"""Gates: the one table of figures, figure by figure."""

from dataclasses import FrozenInstanceError

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cureclock.core.gates import COAT_GATES, HOLD_GATES, JOINT_GATES, Figure, Gate, GateKind, Name
from cureclock.core.materials.vocabulary import CLOSING
from cureclock.core.refusal import Refused
from cureclock.core.response import Kind, Response
from cureclock.core.stance import Stance
from cureclock.core.units import DAY_US, HOUR_US

PLAIN = Response(Kind.DOUBLING)
KINDS = {kind.key: kind for kind in (*JOINT_GATES, *COAT_GATES, *HOLD_GATES)}


def figures(key: str, hours: float = 10, margin: float = 0.2, upper: float | None = None):
    need = round(hours * HOUR_US)
    doubtful = need if upper is None else round(upper * HOUR_US)
    gate = Gate(KINDS[key], PLAIN, need, margin, doubtful)
    return {figure.name: figure for figure in gate.figures()}


def hours(figure: Figure) -> float:
    return figure.need_us / HOUR_US


def test_an_ordinary_gate_that_opens():
    told = figures("clamps_off")
    assert set(told) == {Name.BARE, Name.CHECK_FROM, Name.NOT_BEFORE, Name.SURE}
    assert (told[Name.BARE].stance, hours(told[Name.BARE])) == (Stance.LIKELY, 10)
    assert (told[Name.CHECK_FROM].stance, hours(told[Name.CHECK_FROM])) == (Stance.LIKELY, 8.5)
    assert (told[Name.NOT_BEFORE].stance, hours(told[Name.NOT_BEFORE])) == (Stance.SLOW, 10)
    assert (told[Name.SURE].stance, hours(told[Name.SURE])) == (Stance.SLOW_SURE, 12)


@pytest.mark.parametrize("key", ["spin", "service", "wet_use"])
def test_a_gate_that_can_hurt_is_strict_and_offers_no_check(key):
    told = figures(key)
    assert Name.CHECK_FROM not in told
    assert told[Name.NOT_BEFORE].stance == Stance.STRICT
    assert (told[Name.SURE].stance, hours(told[Name.SURE])) == (Stance.STRICT_SURE, 12)


def test_a_gate_that_closes_is_warned_of_before_it():
    told = figures("total_assembly", margin=0.1)
    assert set(told) == {Name.BARE, Name.NOT_AFTER, Name.WARN}
    assert (told[Name.NOT_AFTER].stance, hours(told[Name.NOT_AFTER])) == (Stance.QUICK, 10)
    assert (told[Name.WARN].stance, hours(told[Name.WARN])) == (Stance.QUICK, 9)


def test_keep_warm_is_banked_strictly():
    assert figures("keep_warm")[Name.NOT_BEFORE].stance == Stance.STRICT
    assert KINDS["keep_warm"].silent


def test_an_unread_label_lengthens_sure_alone():
    told = figures("spin", upper=15)
    assert hours(told[Name.SURE]) == 18
    assert hours(told[Name.BARE]) == hours(told[Name.NOT_BEFORE]) == 10


def test_no_figure_that_acts_hides_a_margin():
    for key in KINDS:
        told = figures(key)
        acts = told.get(Name.NOT_BEFORE) or told[Name.NOT_AFTER]
        assert acts.need_us == told[Name.BARE].need_us


@given(st.sampled_from(sorted(KINDS)), st.floats(0.001, 9000), st.floats(0.08, 1))
def test_figures_stand_in_their_order(key, need, margin):
    told = {name: figure.need_us for name, figure in figures(key, need, margin).items()}
    order = [Name.WARN, Name.CHECK_FROM, Name.BARE, Name.NOT_BEFORE, Name.NOT_AFTER, Name.SURE]
    there = [told[name] for name in order if name in told]
    assert there == sorted(there)


def test_only_spin_and_loads_can_hurt():
    assert {key for key, kind in KINDS.items() if kind.hurts} == {"spin", "service", "wet_use"}


@pytest.mark.parametrize(
    ("need", "margin", "doubtful"),
    [
        (-1, 0.2, 5), (401 * DAY_US, 0.2, 401 * DAY_US), (5, 0.07, 5), (5, 1.1, 5), (5, 0.2, 4),
        (5, float("nan"), 5), (float("nan"), 0.2, 5), (5, 0.2, float("inf")),
    ],
)  # fmt: skip
def test_a_gate_that_cannot_be_is_refused(need, margin, doubtful):
    with pytest.raises(Refused):
        Gate(GateKind("light"), PLAIN, need, margin, doubtful)


def test_which_gates_close_which_can_hurt_and_which_nobody_is_told_of():
    for kind in (*JOINT_GATES, *COAT_GATES, *HOLD_GATES):
        assert kind.opens == (kind.key not in CLOSING), kind
        assert kind.hurts == (kind.key in {"spin", "service", "wet_use"}), kind
        assert kind.silent == (kind.key == "keep_warm"), kind


def test_gates_are_values_that_nobody_changes():
    gate = Gate(KINDS["spin"], PLAIN, 10, 0.2, 10)
    for value, field in ((gate, "margin"), (gate.kind, "hurts"), (gate.figures()[0], "need_us")):
        with pytest.raises(FrozenInstanceError):
            setattr(value, field, 0)


def test_the_longest_needs_that_are_taken():
    longest = Gate(KINDS["spin"], PLAIN, 400 * DAY_US, 1, 800 * DAY_US)
    assert longest.figures()[-1].need_us == 1600 * DAY_US
    with pytest.raises(Refused, match="doubtful need"):
        Gate(KINDS["spin"], PLAIN, 400 * DAY_US, 1, 800 * DAY_US + 1)
