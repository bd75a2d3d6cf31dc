"""How a gate of a group stands: by its last piece where it opens, by its first where it closes."""

from datetime import UTC, datetime, timedelta
from types import SimpleNamespace
from typing import Any

import pytest

from cureclock.waits.group_gates import ruling_of, state_of

NOON = datetime(2026, 2, 2, 12, tzinfo=UTC)
HOUR = timedelta(hours=1)
FOUND: Any = SimpleNamespace(at=NOON)

pytestmark = pytest.mark.embedded


def rung(hours: float | None, *, opens: bool, over: bool = False, warned: bool = False) -> Any:
    """A piece's gate so many hours from noon; never, where None."""
    acts = None if hours is None else NOON + hours * HOUR
    return SimpleNamespace(
        acts=acts,
        over=over,
        gate=SimpleNamespace(opens=opens, hurts=False, act_clock=None),
        times=SimpleNamespace(act=acts, warn=NOON - HOUR if warned else None),
        reached=lambda at: acts is not None and acts <= at,
    )


@pytest.mark.parametrize(("opens", "ruling"), [(True, 2), (False, 0)])
def test_the_last_to_open_and_the_first_to_close_rule(opens: bool, ruling: int) -> None:
    rungs = [rung(hours, opens=opens) for hours in (1, 2, 3)]
    assert ruling_of(rungs) is rungs[ruling]


def test_one_out_of_reach_opens_last_and_closes_last() -> None:
    opening = [rung(None, opens=True), rung(5, opens=True)]
    closing = [rung(None, opens=False), rung(5, opens=False)]
    assert ruling_of(opening) is opening[0]
    assert ruling_of(closing) is closing[1]


@pytest.mark.parametrize(
    ("rungs", "state"),
    [
        ([rung(-1, opens=True), rung(0, opens=True)], "reached"),
        ([rung(-1, opens=True), rung(1, opens=True)], "partly"),
        ([rung(1, opens=True), rung(2, opens=True)], "waiting"),
        ([rung(-1, opens=True), rung(1, opens=True, over=True)], "reached"),
        ([rung(-1, opens=True, over=True)], "over"),
        ([rung(1, opens=False), rung(2, opens=False)], "running"),
        ([rung(1, opens=False, warned=True), rung(2, opens=False)], "warned"),
        ([rung(0, opens=False), rung(2, opens=False, warned=True)], "shut"),
    ],
)
def test_a_group_stands_as_its_pieces_that_still_wait(rungs: list[Any], state: str) -> None:
    assert state_of(FOUND, rungs) == state
