"""Litres for a batch."""

import pytest

from cureclock.core.coat.coverage import litres
from cureclock.core.refusal import Refused


def test_batch_worked_by_hand():
    """24 drums of 0.0853 m2 with 3 coats, 24 stems of 0.0191 with 2, 12 m2/L, +15 %: 0.68 L."""
    zones = litres([0.0853, 0.0191], [3, 2], 12, pieces=24, loss_fraction=0.15)
    assert round(float(zones.sum()), 2) == 0.68


def test_a_zone_without_coats_takes_nothing():
    assert litres(1.0, 0, 10) == 0


def test_the_loss_is_added_once():
    assert litres(10, 1, 10, loss_fraction=0.2) == pytest.approx(1.2)


def test_a_loss_in_per_cent_is_refused():
    with pytest.raises(Refused, match=r"15 % is 0\.15 here"):
        litres(1, 1, 10, loss_fraction=15)
