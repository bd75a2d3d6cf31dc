"""Pressure by density and by label, force, and the torque of a screw."""

import numpy as np
import pytest

from cureclock.core.joint.pressure import (
    adhesive_pressure_kpa,
    density_pressure_kpa,
    press_force_kn,
    screw_force_kn,
    screw_torque_nm,
)
from cureclock.core.refusal import Refused

DENSITIES = np.linspace(50, 1500, 300)


def test_elm_and_ash_as_worked_by_hand():
    assert density_pressure_kpa(560) == pytest.approx(1020)
    assert density_pressure_kpa(680) == pytest.approx(1260)


def test_denser_wood_never_wants_less_pressure():
    pressures = density_pressure_kpa(DENSITIES)
    assert (np.diff(pressures) >= 0).all()
    assert pressures.min() == 700
    assert pressures.max() == 1700


def test_the_label_outranks_the_wood():
    assert (adhesive_pressure_kpa(DENSITIES, 600, 1000) <= 1000).all()
    assert (adhesive_pressure_kpa(DENSITIES, 1000, 1700) >= 1000).all()


def test_a_contact_glue_wants_no_pressure():
    assert (adhesive_pressure_kpa(DENSITIES, 0, 0) == 0).all()


def test_force_is_pressure_by_area():
    assert press_force_kn(1020, 0.44 * 0.022) == pytest.approx(9.87, abs=0.005)
    assert press_force_kn(1260, 0.7 * 0.048) == pytest.approx(42.3, abs=0.05)


def test_torque_and_force_undo_each_other():
    forces = np.linspace(0, 50, 11)
    torque = screw_torque_nm(forces, 16, 0.2)
    np.testing.assert_allclose(screw_force_kn(torque, 16, 0.2), forces)


def test_a_lubricated_screw_presses_harder_for_the_same_torque():
    assert screw_force_kn(50, 16, 0.15) > screw_force_kn(50, 16, 0.20)


@pytest.mark.parametrize("density", [0.56, 5600, -560, float("nan")])
def test_density_in_the_wrong_unit_is_refused(density):
    with pytest.raises(Refused, match=r"density .* 50 to 1500 kg/m3"):
        density_pressure_kpa(density)


def test_pressure_in_pascals_is_refused():
    with pytest.raises(Refused, match=r"pressure .* 0 to 5000 kPa"):
        press_force_kn(1.02e6, 0.01)


def test_a_label_upside_down_is_refused():
    with pytest.raises(Refused, match="least pressure"):
        adhesive_pressure_kpa(560, 1000, 600)
