"""Rim speed: a figure, not a permission."""

import inspect

import pytest

from cureclock.core.joint import rim_speed
from cureclock.core.joint.rim_speed import rim_speed_m_s
from cureclock.core.refusal import Refused


def test_172_mm_at_900_turns_goes_8_1_metres_a_second():
    assert rim_speed_m_s(0.172, 900) == pytest.approx(8.1, abs=0.05)


def test_the_module_gives_one_figure_and_no_verdict():
    public = [
        name
        for name, value in vars(rim_speed).items()
        if inspect.isfunction(value) and value.__module__ == rim_speed.__name__
    ]
    assert public == ["rim_speed_m_s"]
    assert "never says what speed is safe" in rim_speed_m_s.__doc__


def test_millimetres_are_refused():
    with pytest.raises(Refused, match=r"diameter 172 m .* 0 to 5 m"):
        rim_speed_m_s(172, 900)
