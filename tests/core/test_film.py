"""Films and rates: the two directions agree and slips are named."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cureclock.core.coat.film import (
    dry_film_um,
    spreading_rate_m2_l,
    volume_of_weight_solids_pct,
    volume_solids_pct,
    wet_film_of_rate_um,
    wet_film_um,
)
from cureclock.core.refusal import Refused


@given(st.floats(5, 500), st.floats(5, 100), st.floats(0, 1))
def test_wet_and_dry_film_are_each_others_inverse(dry, solids, thinner):
    wet = wet_film_um(dry, solids, thinner)
    if wet <= 5000:
        assert dry_film_um(wet, solids, thinner) == pytest.approx(dry)


@given(st.floats(5, 500), st.floats(5, 100))
def test_the_rate_lays_the_wet_film(dry, solids):
    rate = spreading_rate_m2_l(dry, solids)
    if 0.1 <= rate <= 1000:
        assert wet_film_of_rate_um(rate) == pytest.approx(float(wet_film_um(dry, solids)))


def test_solids_as_a_fraction_are_refused():
    with pytest.raises(Refused, match=r"35 % is written 35, not 0\.35"):
        spreading_rate_m2_l(25, 0.35)


def test_solids_by_weight_are_refused_where_the_sheet_gives_both():
    with pytest.raises(Refused, match="looks like the figure by weight"):
        volume_solids_pct([30, 45], weight_solids_pct=[40, 45])


def test_all_solids_are_all_solids_by_weight_and_volume():
    assert volume_solids_pct(100, weight_solids_pct=100) == 100


def test_weight_solids_become_fewer_by_volume():
    assert volume_of_weight_solids_pct(50, 1.05, 1.0) < 50


def test_densities_that_leave_no_solids_are_refused():
    with pytest.raises(Refused, match="leave some solids"):
        volume_of_weight_solids_pct(10, 1.2, 0.7)
