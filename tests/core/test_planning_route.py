"""Routes: in order, without circles, and refused in the maker's words."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cureclock.core.planning.route import After, Step, Take, in_order, steps_before
from cureclock.core.refusal import Refused
from cureclock.core.units import HOUR_US


def chain(*keys):
    return tuple(
        Step(key, after=(After(keys[number - 1]),) if number else ())
        for number, key in enumerate(keys)
    )


@given(st.permutations(range(8)))
def test_steps_come_behind_all_that_have_to_be_done_before_them(order):
    steps = chain(*"abcdefgh")
    found = in_order([steps[i] for i in order])
    before = steps_before(found)
    for number, step in enumerate(found):
        assert before[step.key] <= {one.key for one in found[:number]}


def test_a_circle_is_refused_and_named():
    steps = (
        Step("saw"),
        Step("glue", after=(After("sand"), After("saw"))),
        Step("turn", after=(After("glue"),)),
        Step("sand", after=(After("turn"),)),
    )
    with pytest.raises(Refused, match="glue -> sand -> turn -> glue"):
        in_order(steps)


@pytest.mark.parametrize(
    ("steps", "words"),
    [
        ((), "steps of a route"),
        (chain("a", "b")[:1] * 2, "each of its own name"),
        ((Step("turn", after=(After("glue"),)),), "step before turn"),
        ((Step("glue", takes=(Take("clamp", until="off"),)),), "frees clamp"),
        ((*chain("off"), Step("glue", takes=(Take("clamp", until="off"),))), "a step after glue"),
    ],
)
def test_a_route_that_cannot_be_is_refused(steps, words):
    with pytest.raises(Refused, match=words):
        in_order(steps)


@pytest.mark.parametrize(
    "said",
    [
        {"key": ""},
        {"hands_us": -1},
        {"hands_us": 17 * HOUR_US},
        {"hands_us": float("nan")},
        {"each_us": float("inf")},
        {"at_once": 0},
        {"at_once": 2.5},
        {"alone_us": 1},
        {"after": (After("a"), After("a"))},
    ],
)
def test_a_step_that_cannot_be_is_refused(said):
    with pytest.raises(Refused):
        Step(**{"key": "turn", **said})


@pytest.mark.parametrize(
    "said", [{"spread": -0.1}, {"spread": 4}, {"prompt_us": -1}, {"late_us": -1}, {"step": ""}]
)
def test_a_gate_that_cannot_be_is_refused(said):
    with pytest.raises(Refused):
        After(**{"step": "glue", **said})


@pytest.mark.parametrize("said", [{"count": 0}, {"thing": ""}, {"count": 1.5}])
def test_things_that_cannot_be_taken_are_refused(said):
    with pytest.raises(Refused):
        Take(**{"thing": "clamp", **said})


def test_hands_and_things_grow_with_the_pieces_of_a_go_where_they_are_for_each():
    step = Step("coat", 10, each_us=3)
    assert (step.hands_of(1), step.hands_of(24), step.hands_of(2, late_us=5)) == (13, 82, 21)
    assert (Take("hook", 2, each=True).of(12), Take("clamp", 11).of(12)) == (24, 11)


def test_a_long_ladder_of_steps_is_put_in_order_at_once():
    """Each step after the two before it: as many ways back as Fibonacci numbers."""
    steps = [
        Step(f"s{n}", after=tuple(After(f"s{m}") for m in (n - 1, n - 2) if m >= 0))
        for n in range(100)
    ]
    assert len(steps_before(in_order(steps[::-1]))["s99"]) == 99
