"""Meter readings put right, and parts that match or not."""

import pytest

from cureclock.core.refusal import Refused
from cureclock.core.wood.meter import match_parts, meter_corrected_pct


def test_colder_wood_is_wetter_than_the_meter_says():
    assert meter_corrected_pct(12, 5) > 12 > meter_corrected_pct(12, 30)


def test_wood_at_the_meters_own_temperature_is_as_read():
    assert meter_corrected_pct(12, 20, calibrated_c=20) == 12


def test_species_chart_is_added():
    added = meter_corrected_pct(12, 20, species_points=1.5)
    assert added == pytest.approx(float(meter_corrected_pct(12, 20)) + 1.5)


@pytest.mark.parametrize("reading", [5.9, 30.1])
def test_outside_what_a_pin_meter_can_read_is_refused(reading):
    with pytest.raises(Refused, match="meter reading"):
        meter_corrected_pct(reading, 20)


def test_shelf_dry_and_shed_dry_do_not_match():
    match = match_parts([9.0, 11.5])
    assert match.spread_points == 2.5
    assert not match.parts_match


@pytest.mark.parametrize(
    ("parts", "word"),
    [([9.0, 10.0], "go"), ([9.0, 10.5], "go with care"), ([8.0, 12.0], "no-go"), ([4.5], "no-go")],
)
def test_home_is_where_the_furthest_part_is_measured_from(parts, word):
    assert str(match_parts(parts, home_pct=8.0).home) == word


def test_many_joints_at_once():
    match = match_parts([[9, 10], [9, 12]], home_pct=[9.0, 9.0])
    assert match.parts_match.tolist() == [True, False]
    assert match.home.tolist() == ["go", "go with care"]


def test_no_part_is_refused():
    with pytest.raises(Refused, match="at least one"):
        match_parts([])


def test_two_points_apart_still_match():
    assert match_parts([9.0, 11.0]).parts_match
    assert match_parts([60.0, 60.0]).parts_match
    with pytest.raises(Refused, match="moisture content"):
        match_parts([60.1])


def test_joints_without_a_home_are_answered_without_one_each():
    match = match_parts([[9, 10], [9, 12]])
    assert (match.home.tolist(), match.home_points.tolist()) == (["", ""], [0, 0])


def test_a_home_at_the_ends_of_what_wood_comes_to_is_answered():
    assert match_parts([1.0], home_pct=1.0).home == "go"
    assert match_parts([30.0], home_pct=30.0).home == "go"
