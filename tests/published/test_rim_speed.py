"""Rim speed against worked exercises of the machine shop."""

import pytest

from cureclock.core.joint.rim_speed import rim_speed_m_s

FOOT_M = 0.3048  # exact


def test_five_inches_at_1200_turns_go_1570_feet_a_minute(checked):
    ours = float(rim_speed_m_s(5 * 0.0254, 1200)) * 60 / FOOT_M
    checked(
        "rim speed, 5 in at 1200 1/min [ft/min]",
        "gauthmath.com/solution/1815101266031640",
        ours,
        1570,
    )
    assert ours == pytest.approx(1570, abs=1)


def test_six_inches_at_2610_turns_go_4100_feet_a_minute(checked):
    ours = float(rim_speed_m_s(6 * 0.0254, 2610.14)) * 60 / FOOT_M
    checked(
        "rim speed, 6 in at 2610.14 1/min [ft/min]",
        "tvp.thesociallife.com/respuestas/29201786",
        ours,
        4100,
    )
    assert ours == pytest.approx(4100, abs=0.1)
