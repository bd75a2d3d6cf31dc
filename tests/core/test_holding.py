"""Which work a temporary bond forbids: what must be off before one step is off for all after it."""

import pytest

from cureclock.core.holding import STEPS, at_that_end, blocks


@pytest.mark.parametrize(
    ("off_before", "forbidden"),
    [
        (["cnc"], ["cnc", "lathe", "finish", "wrap"]),
        (["lathe"], ["lathe", "finish", "wrap"]),
        (["finish"], ["finish", "wrap"]),
        (["finish_of_that_end"], ["finish", "wrap"]),
        (["wrap"], ["wrap"]),
        (["wrap", "lathe"], ["lathe", "finish", "wrap"]),  # the earliest counts
        ([], ["cnc", "lathe", "finish", "wrap"]),  # nothing told: in the way of everything
        (["supper"], ["cnc", "lathe", "finish", "wrap"]),  # nor is a word that names no step a yes
    ],
)
def test_what_is_to_be_off_before_a_step_forbids_it_and_all_after_it(off_before, forbidden):
    assert [step for step in STEPS if blocks(off_before, step)] == forbidden


def test_a_step_nobody_knows_is_forbidden_by_any_hold():
    assert blocks(["wrap"], "supper")


@pytest.mark.parametrize(
    ("off_before", "only_there"),
    [
        (["finish_of_that_end"], True),
        (["finish_of_that_end", "lathe"], False),
        (["lathe"], False),
        ([], False),
    ],
)
def test_only_that_end_is_meant_where_nothing_else_was_told(off_before, only_there):
    assert at_that_end(off_before) is only_there
