"""What is free, what could come off, when more come free."""

import numpy as np
import pytest

from cureclock.core.joint.ledger import could_come_off, free_clamps, free_from_us
from cureclock.core.refusal import Refused
from cureclock.core.units import HOUR_US, MINUTE_US

NOON = 20 * 24 * HOUR_US
ONE = NOON + HOUR_US


def test_a_clamp_is_free_when_someone_says_so():
    assert free_clamps(36, [33]) == 3
    assert free_clamps(36, [33, 8]) == 0  # a conflict to settle, never less than none


def test_thirty_three_on_billets_could_come_off():
    """36 owned, 33 on billets past their gate: 3 free, 33 could come off."""
    assert could_come_off([33], [NOON + 25 * MINUTE_US], ONE) == 33
    assert could_come_off([33], [ONE + 1], ONE) == 0


def test_nine_are_free_at_twenty_past_three():
    at = NOON + 3 * HOUR_US + 20 * MINUTE_US
    assert free_from_us(9, 4, [8, 20], [at, at + HOUR_US], ONE) == at


def test_a_gate_already_open_frees_them_now():
    assert free_from_us([3, 9], 3, [33], [NOON], ONE).tolist() == [ONE, ONE]


def test_wanting_more_never_comes_sooner():
    rng = np.random.default_rng(7)
    held = rng.integers(0, 12, 20)
    opens = rng.integers(0, 10**12, 20)
    times = free_from_us(np.arange(0, held.sum() + 5), 4, held, opens, 10**6)
    assert (np.diff(times) >= 0).all()


def test_more_clamps_than_there_are_is_refused():
    with pytest.raises(Refused, match=r"clamps wanted 40 .* 0 to 37"):
        free_from_us(40, 4, [33], [NOON], ONE)


def test_gates_and_clamps_must_pair_up():
    with pytest.raises(Refused, match="clamps held"):
        free_from_us(4, 4, [33, 8], [NOON], ONE)


def test_nothing_wanted_is_there_now():
    assert free_from_us(0, 0, [8], [NOON + HOUR_US], ONE) == ONE
