"""Our clock against the maturity of concrete: the same integral, worked out by another trade.

Temperature-time factor (Nurse and Saul) and equivalent age (Arrhenius) as ASTM C1074 has them.
The two rules stand here and nowhere in the product: they check it from outside.
"""

import numpy as np
import pytest

from cureclock.core.clock import build_clock
from cureclock.core.refusal import Refused
from cureclock.core.response import Kind, Response
from cureclock.core.stance import Stance
from cureclock.core.timeline import Air
from cureclock.core.units import HOUR_US
from tests.core.airs import steps

HISTORY = ([2, 6, 4, 12], [20, 12, 16, 10])  # hours, degC: 24 h by the wall


def nurse_saul(hours, temps, datum) -> float:
    """Sum of (T - datum) x time [degC x time]; a step below the datum counts nothing."""
    return float(np.maximum(np.array(temps) - datum, 0) @ np.array(hours))


def age_h(response: Response, hours, temps) -> float:
    return float(build_clock(steps(hours, temps), response).age_us[-1]) / HOUR_US


FACTORS = {
    "28 days at 15 degC [degC d], civinnovate.com/?p=18387": ([28], [15], -11, 728),
    "28 days at 18 degC [degC h], civilmint": ([28 * 24], [18], -11, 19_488),
    "a day's history, datum -10, worked out": (*HISTORY, -10, 536),
    "a day's history, datum 0, worked out": (*HISTORY, 0, 296),
    "a day's history, datum 5, worked out": (*HISTORY, 5, 176),
}


@pytest.mark.parametrize("source", FACTORS)
def test_temperature_time_factors(source, checked):
    *history, printed = FACTORS[source]
    ours = nurse_saul(*history)
    checked("temperature-time factor", source, ours, printed)
    assert ours == printed


def test_time_to_a_target_maturity(checked):
    """engius blog: 3500 degC h at 23 degC, datum 0: 152 h; in 72 h it takes 48.6 degC."""
    hours, temp = 3500 / nurse_saul([1], [23], 0), 3500 / nurse_saul([72], [1], 0)
    checked("3500 degC h at 23 degC [h]", "engius blog", hours, 152)
    checked("3500 degC h in 72 h [degC]", "engius blog", temp, 48.6)
    assert hours == pytest.approx(152, abs=0.5)
    assert temp == pytest.approx(48.6, abs=0.05)


EQUIVALENT_H = {0: 24.0, 40: 15.6953, 50: 14.2011, 60: 12.8836}


@pytest.mark.parametrize(("energy", "hours"), EQUIVALENT_H.items())
def test_equivalent_age_of_a_history(energy, hours, checked):
    """Worked out by hand from exp(-E/R (1/T - 1/Tref)), reference 20 degC, 273.15."""
    response = Response(Kind.CHEMICAL, ea_kj_mol=energy) if energy else Response(Kind.WALL)
    ours = age_h(response, *HISTORY)
    checked(f"equivalent age, {energy} kJ/mol [h]", "equivalent age, worked out", ours, hours)
    assert ours == pytest.approx(hours, abs=0.0002)


def test_equivalent_age_by_doubling(checked):
    ours = age_h(Response(Kind.DOUBLING), *HISTORY)
    checked("equivalent age by doubling [h]", "worked out", ours, 14.4775)
    assert ours == pytest.approx(14.4775, abs=0.0002)


def test_equivalent_age_with_the_standards_default(checked):
    """E/R = 5000 K (ASTM C1074, from memory), kelvin written 273: 15.4409 h."""
    ours = age_h(Response(Kind.CHEMICAL, ea_kj_mol=5000 * 8.314462618e-3), *HISTORY)
    checked("equivalent age, E/R = 5000 K [h]", "ASTM C1074 (from memory)", ours, 15.4409)
    assert ours == pytest.approx(15.4409, abs=0.02), "273 for 273.15"


def test_a_linear_rule_agrees_where_it_is_meant_to():
    """Datum -10 at 20 degC: 17.8667 h. Between 10 and 20 degC it is the milder rule."""
    linear = nurse_saul(*HISTORY, -10) / 30
    assert linear == pytest.approx(17.8667, abs=0.0001)
    assert age_h(Response(Kind.DOUBLING), *HISTORY) < linear < 24


def test_a_negative_step_counts_nothing(checked):
    """4 h at 20, 8 h at 2, 4 h at 10 degC, datum 5: 80 degC h; 56 if what is below were kept."""
    hours, temps = [4, 8, 4], [20, 2, 10]
    ours = nurse_saul(hours, temps, 5)
    checked("a step below the datum [degC h]", "worked out", ours, 80)
    assert ours == 80
    assert float((np.array(temps) - 5) @ np.array(hours)) == 56
    asleep = Response(Kind.DOUBLING, sleep_below_c=5)
    clock = build_clock(steps(hours, temps), asleep)
    eight = clock.age_at(12 * HOUR_US) - clock.age_at(4 * HOUR_US + 1)
    assert eight == 0, "below its datum our clock stands still, and never runs back"


@pytest.mark.parametrize("stance", Stance)
def test_no_step_of_ours_is_negative(stance):
    clock = build_clock(
        steps([4, 8, 4, 9], [20, -30, 10, -5]), Response(Kind.CHEMICAL, ea_kj_mol=90), stance
    )
    assert (np.diff(clock.age_us) >= 0).all()


def test_a_step_back_in_time_is_refused():
    with pytest.raises(Refused, match="rising"):
        Air(np.array([4, 2]) * HOUR_US, np.array([20.0, 20.0]), np.full(2, 50.0), np.zeros(1))


CLOCK_TABLE = {
    0: 0.2410,
    5: 0.3350,
    10: 0.4603,
    15: 0.6255,
    20: 0.8412,
    25: 1.1200,
    30: 1.4773,
    40: 2.5029,
}


@pytest.mark.parametrize(("temp", "factor"), CLOCK_TABLE.items())
def test_age_factors_of_the_standards_default(temp, factor, checked):
    """exp(-5000 (1/T - 1/296)), kelvin written 273: worked out; ours with 273.15."""
    response = Response(Kind.CHEMICAL, label_temp_c=23, ea_kj_mol=5000 * 8.314462618e-3)
    ours = float(response.rate(temp, 50))
    checked(f"age factor at {temp} degC, reference 23", "ASTM C1074 (from memory)", ours, factor)
    assert ours == pytest.approx(factor, rel=0.003)


def test_eurocode_age_factors(checked):
    """EN 1992-1-1 annex B: exp(13.65 - 4000/(273 + T)) (from memory), 1 at 20 degC within 0.2 %."""
    response = Response(Kind.CHEMICAL, ea_kj_mol=4000 * 8.314462618e-3)
    temps = np.array([0, 5, 10, 15, 20, 25, 30, 35, 40])
    printed = [0.3671, 0.4778, 0.6161, 0.7875, 0.9981, 1.2551, 1.5662, 1.9406, 2.3880]
    ours = response.rate(temps, 50)
    checked("age factors 0 to 40 degC", "EN 1992-1-1 annex B (from memory)", ours, printed)
    assert ours == pytest.approx(printed, rel=0.004)
