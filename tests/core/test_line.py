"""The line of air in pieces: bowed ones too, and where they are cut."""

import numpy as np
import pytest

from cureclock.core.line import Line

DRY = np.full(1, np.nan)


def piece(from_c: float, to_c: float, bow_k: float = 0.0, long_us: int = 100) -> Line:
    ends = np.array([from_c]), np.array([to_c]), np.array([bow_k])
    return Line(np.array([0, long_us]), *ends, DRY, DRY, np.zeros(1, dtype=bool))


@pytest.mark.parametrize(("part", "temp_c"), [(0.0, 10), (0.25, 12.75), (0.5, 15), (1.0, 18)])
def test_a_bow_of_one_stands_a_degree_above_the_middle_of_its_chord(part, temp_c):
    """From 10 to 18: the chord's quarter is 12 and its middle 14; the bow adds 4 u (1 - u)."""
    line = piece(10, 18, bow_k=1)
    assert line.temp_c(np.array([0]), np.array([part])) == pytest.approx(temp_c)
    assert line.middle_c == pytest.approx([15])


def test_a_cut_at_what_rounds_to_an_end_cuts_nothing():
    line = piece(10, 18)
    for part in (0.0, 0.004, 0.996, 1.0):
        assert line.split(np.array([0]), np.array([part])) is line
    assert line.split(np.array([0]), np.array([0.25])).at_us.tolist() == [0, 25, 100]


def test_a_cut_keeps_the_bow_of_each_half_and_what_is_passed_exactly():
    """Half of a bow of 4 K is bowed by 4 x (1/2)^2 = 1 K; the middle is 14 + 4 = 18."""
    halves = piece(10, 18, bow_k=4).split(np.array([0]), np.array([0.5]))
    assert halves.bow_k == pytest.approx([1, 1])
    assert (halves.to_c[0], halves.from_c[1]) == pytest.approx((18, 18))


def test_a_bowed_piece_that_passes_a_temperature_twice_is_cut_twice():
    """10 to 10 over a bow of 4: 13 is passed where 16 u (1 - u) = 3, at a quarter and three."""
    cut = piece(10, 10, bow_k=4).split_at_c(13)
    assert cut.at_us.tolist() == [0, 25, 75, 100]
    assert cut.from_c.tolist() == [10, 13, 13]


def test_a_piece_that_only_ends_at_a_temperature_is_not_cut_there():
    line = piece(10, 18)
    assert len(line.split_at_c(18)) == 1
    assert len(line.split_at_c(19)) == 1
    assert len(line.split_at_c(14)) == 2
