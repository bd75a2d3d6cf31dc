"""Pot life by mass and temperature."""

import numpy as np
import pytest

from cureclock.core.joint.pot import largest_pot_g, mass_share, pot_life_s, use_by_us
from cureclock.core.refusal import Refused
from cureclock.core.units import MINUTE_US


def test_180_grams_at_24_degrees_last_twelve_and_a_half_minutes():
    assert pot_life_s(30 * 60, 100, 180, 24) / 60 == pytest.approx(12.5, abs=0.2)


def test_a_larger_pot_never_lasts_longer():
    lives = pot_life_s(1800, 100, np.linspace(0, 5000, 1001), 20)
    assert (np.diff(lives) <= 0).all()
    assert lives.max() == 1800


def test_a_hotter_pot_never_lasts_longer():
    lives = pot_life_s(1800, 100, 100, np.linspace(-40, 60, 1001))
    assert (np.diff(lives) <= 0).all()
    assert lives.max() == 1800


def test_the_clock_starts_at_mixing():
    mixed = 1_795_564_800_000_000
    assert use_by_us(mixed, 12.5 * 60) == mixed + 12 * MINUTE_US + MINUTE_US // 2


def test_use_by_rounds_down():
    assert use_by_us(0, 1.9999999) == 1_999_999


def test_the_largest_pot_is_used_up_just_in_time():
    mass = largest_pot_g(1800, 100, 600, 24)
    assert pot_life_s(1800, 100, mass, 24) == pytest.approx(600)
    assert largest_pot_g(1800, 100, 1800, 24) == 0


def test_a_pot_life_of_nothing_is_refused():
    with pytest.raises(Refused, match="label pot life"):
        pot_life_s(0, 100, 100, 20)


def test_a_larger_pot_has_its_share_of_the_labels_life_and_a_smaller_one_no_more():
    assert mass_share(100, [0, 100, 200, 400]).tolist() == [1, 1, 0.5, 0.25]
    with pytest.raises(Refused, match="mixed mass"):
        mass_share(100, -1)
    with pytest.raises(Refused, match="label mass"):
        mass_share(0, 100)
