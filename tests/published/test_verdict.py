"""The borrowed steel rule against two printed examples."""

import numpy as np
import psychrolib

from cureclock.core.coat.air import dew_point_c
from cureclock.core.coat.verdict import (
    BORROWED,
    AirLimits,
    Unfit,
    Word,
    air_verdict,
    unfit_for_coat,
)

SHEET = "steel coating sheet, ISO 8502-4 rule"
LIMITS = AirLimits(min_temp_c=10)
HOUR = 3_600_000_000


def _word(temp: float, rh: float, substrate: float) -> str:
    at = np.array([0, HOUR])
    return air_verdict(at, temp, rh, substrate, wet_us=HOUR, limits=LIMITS).word


def test_substrate_13_in_air_of_16_and_71_per_cent_is_rejected(checked):
    """Printed: dew point 11, substrate 13 not acceptable (exact dew point 10.75)."""
    assert abs(float(dew_point_c(16, 71)) - 10.75) < 0.001
    word = _word(16, 71, 13)
    checked("16 degC, 71 %, substrate 13 degC", SHEET, word, "stop")
    assert word == Word.STOP
    assert int(unfit_for_coat(16, 71, 13, LIMITS)) == Unfit.DEW


def test_substrate_19_in_air_of_21_dry_and_17_wet_bulb_is_accepted(checked):
    """Printed: dew point 15 (exact 14.7), substrate 19 acceptable."""
    psychrolib.SetUnitSystem(psychrolib.SI)
    rh = 100 * psychrolib.GetRelHumFromTWetBulb(21, 17, 101325)
    assert abs(float(dew_point_c(21, rh)) - 14.7) < 0.1
    word = _word(21, rh, 19)
    checked("21 degC dry, 17 wet bulb, substrate 19 degC", SHEET, word, "go")
    assert word == Word.GO


def test_damper_than_85_per_cent_is_refused_by_default():
    """ISO 12944-7 as restated: no coating above 85 % RH."""
    assert int(unfit_for_coat(20, 85, 25, LIMITS)) == Unfit.NOTHING
    assert int(unfit_for_coat(20, 86, 25, LIMITS)) == Unfit.DAMP


def test_the_tool_says_that_the_rule_was_borrowed_from_steel():
    assert "steel" in BORROWED
    assert "wood" in BORROWED
