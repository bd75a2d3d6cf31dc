"""The lag of wood against the standard's surface coefficient."""

import pytest

from cureclock.core.wood.lag import STILL_AIR_W_M2K, Block


def test_still_air_coefficient_is_that_of_the_building_standard(checked):
    """ISO 6946: inner surface resistance 0.13 m2 K/W for level heat flow."""
    checked("still air [W/(m2 K)]", "ISO 6946, 1/0.13", STILL_AIR_W_M2K, 1 / 0.13)
    assert pytest.approx(1 / 0.13, rel=0.05) == STILL_AIR_W_M2K


def test_the_standard_value_changes_the_lag_by_less_than_a_twentieth():
    usual, standard = Block(0.050), Block(0.050, surface_w_m2k=1 / 0.13)
    assert standard.time_constant_h == pytest.approx(usual.time_constant_h, rel=0.05)
