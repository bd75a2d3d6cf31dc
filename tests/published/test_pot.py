"""Pot life against what is printed of heat and mass."""

import numpy as np
import pytest

from cureclock.core.joint.pot import pot_life_s

ADVICE = "epoxy advice, experts123.com: each 18 F above 77 F halves pot life (common practice)"
SHEET = "phenol-resorcinol sheet, homebuilt-aircraft manual page D-6"


def test_eighteen_fahrenheit_warmer_halves_it(checked):
    at_77_and_95_f = pot_life_s(1800, 100, 100, [25, 35], label_temp_c=25)
    checked(
        "pot life at 77 and 95 F, label 30 min at 77 F [s]", ADVICE, at_77_and_95_f, [1800, 900]
    )
    assert at_77_and_95_f.tolist() == [1800, 900]


def test_colder_is_not_counted_on(checked):
    """The same page doubles it for each 18 F colder; we keep the label, on the safe side."""
    ours = float(pot_life_s(1800, 100, 100, 15, label_temp_c=25))
    checked("pot life at 59 F [s]: cold never lengthens ours", ADVICE, ours, 3600)
    assert ours == 1800


def test_doubling_from_the_70_f_row_beside_the_printed_rows(checked):
    """3.75 h at 70 F; 3.0, 2.5, 1.5 h at 75, 80, 90 F.

    Doubling runs up to a sixth too long at 90 F: a label that prints rows outranks it.
    """
    temps = (np.array([75, 80, 90]) - 32) / 1.8
    ours = pot_life_s(3.75 * 3600, 100, 100, temps, label_temp_c=(70 - 32) / 1.8) / 3600
    checked("pot life by doubling from the 70 F row [h]", SHEET, ours, [3.0, 2.5, 1.5])
    assert ours == pytest.approx([3.0, 2.5, 1.5], rel=0.17)
