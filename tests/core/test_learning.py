"""Learning from checks: the maker's rule for the need, and the spread apart from it."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cureclock.core.checks import LONGEST_H, Checks
from cureclock.core.learning import learn_need
from cureclock.core.normal import share_below
from cureclock.core.refusal import Refused
from cureclock.core.trust import _solved, trust
from tests.core.shops import LABEL_H, simulated

THREE = Checks([13.5, 12.5, 13], [15, 16, 14.5])


def learned(after, until, label=12.0, hurts=False) -> float:
    return float(learn_need(Checks(after, until), label, hurts).need_h)


def test_three_brackets_in_common_by_hand():
    """Label 12; 13.5-15, 12.5-16, 13-14.5 leave 13.5-14.5: 14.5, 1.21 of the label."""
    need = float(learn_need(THREE, 12).need_h)
    assert need == 14.5
    assert need / 12 == pytest.approx(1.21, abs=0.005)
    assert need * 0.85 == pytest.approx(12.3, abs=0.05)


def test_it_lengthens_after_one_record():
    assert learned([13], [14]) == 14
    assert learned([13], [LONGEST_H]) == 13, "still tacky then, never seen ready: at least so long"


def test_the_label_stands_while_what_was_seen_contains_it():
    """Tacky in the evening, ready in the morning: nobody looked in between."""
    assert learned([6.6], [14.6], label=8) == 8
    assert learned([6.6, 8.5], [14.6, 9.5], label=8) == 9.5, "till one check contradicts it"
    assert learned([7.5], [LONGEST_H]) == 12


def test_a_witness_broken_late_does_not_lengthen_what_can_hurt():
    assert learned([0], [30], label=24, hurts=True) == 24


def test_it_shortens_only_where_five_agree():
    assert learned([0] * 4, [11] * 4) == 12
    assert learned([0] * 5, [11] * 5) == 11
    assert learned([0] * 4 + [11.5], [11] * 4 + [13]) == 12, "four and one that does not agree"


def test_it_never_shortens_below_nine_tenths_of_the_label():
    assert learned([5] * 9, [6] * 9) == pytest.approx(10.8)


@pytest.mark.parametrize("checks", [5, 50])
def test_a_gate_that_can_hurt_is_never_shortened_but_may_be_lengthened(checks):
    assert learned([0] * checks, [11] * checks, hurts=True) == 12
    assert learned([13] * checks, [14] * checks, hurts=True) == 14


def test_with_nothing_in_common_the_median_of_first_ready_counts():
    assert learned([10, 14, 16], [13, 15, 18]) == 15
    assert learned([10, 14, 16, 20], [13, 15, 18, 22]) == 16.5
    assert learned([10, 14, 16, 20], [13, 15, 18, LONGEST_H]) == 15, "of those seen ready"


def test_without_checks_the_label_stands():
    assert learned([], []) == 12
    assert learned([0], [LONGEST_H]) == 12
    assert learn_need(Checks(np.zeros((3, 0)), np.zeros((3, 0))), 12).need_h.tolist() == [12] * 3


brackets = st.lists(
    st.tuples(st.floats(0, 100), st.floats(0.01, 50)).map(lambda b: (b[0], b[0] + b[1])),
    max_size=12,
)


@given(brackets, st.floats(1, 100), st.booleans())
def test_the_need_stays_above_its_floor(rows, label, hurts):
    checks = Checks([low for low, _ in rows], [high for _, high in rows])
    found = learn_need(checks, label, hurts)
    assert found.need_h >= label * (1 if hurts else 0.9) - 1e-9
    assert 0 <= found.agreeing <= len(rows)


@given(brackets, st.randoms(use_true_random=False))
def test_the_order_of_checks_does_not_matter_nor_do_empty_ones(rows, chance):
    mixed = [*rows, (0, LONGEST_H)]
    chance.shuffle(mixed)
    one, other = (
        Checks([low for low, _ in each], [high for _, high in each]) for each in (rows, mixed)
    )
    assert learn_need(one, 12).need_h == learn_need(other, 12).need_h


def test_many_materials_at_once_are_each_as_alone():
    shops = simulated(4, 30, 9)
    together = learn_need(shops.checks, LABEL_H)
    trusted = trust(shops.checks, LABEL_H, together.need_h)
    for n in range(30):
        alone = Checks(shops.checks.after_h[n], shops.checks.until_h[n])
        assert learn_need(alone, LABEL_H).need_h == together.need_h[n]
        own = trust(alone, LABEL_H, together.need_h[n])
        assert own.margin == pytest.approx(trusted.margin[n], rel=1e-9)


def test_an_untried_material_keeps_a_fifth_and_so_does_one_checked_four_times():
    assert trust(Checks([], []), 12, 12).margin == 0.20
    assert trust(Checks([11] * 4, [12.5] * 4), 12, 12).margin == 0.20


def test_five_that_agree_earn_trust_and_five_that_do_not_earn_none():
    assert trust(Checks([11] * 5, [12.5] * 5), 12, 12).margin == pytest.approx(0.08, abs=0.06)
    assert trust(Checks([13] * 5, [14] * 5), 12, 12).margin == 0.20


def test_trust_never_goes_under_eight_per_cent():
    many = trust(Checks([11.9] * 200, [12.0] * 200), 12, 12)
    assert many.margin == 0.08
    assert many.nine_of_ten_h / 12 - 1 < 0.08


def test_a_scattered_material_is_trusted_less():
    even = Checks([11, 11.2, 10.8, 11, 11.1, 10.9], [12.2] * 6)
    uneven = Checks([6, 11.9, 7, 16, 9, 11], [12.2, 12.5, 12.1, 19, 12.3, 12.4])
    assert trust(uneven, 12, 12).margin > trust(even, 12, 12).margin + 0.1
    assert trust(uneven, 12, 12).spread > trust(even, 12, 12).spread


def test_the_spread_does_not_move_the_need_nor_the_need_the_spread():
    shops = simulated(8, 20, 12)
    bare = learn_need(shops.checks, LABEL_H).need_h
    one, other = (trust(shops.checks, LABEL_H, need) for need in (bare, bare * 1.3))
    assert np.array_equal(one.nine_of_ten_h, other.nine_of_ten_h)
    assert np.array_equal(one.spread, other.spread)


def test_a_check_seen_wide_of_everything_is_still_answered():
    far = trust(Checks([[11] * 8 + [2000]], [[12] * 8 + [3000]]), 12, 12)
    assert np.isfinite([far.margin, far.nine_of_ten_h, far.spread]).all()


def test_needs_and_middles_agree_over_simulated_shops():
    shops = simulated(2, 200, 60)
    found = trust(shops.checks, LABEL_H, LABEL_H)
    off = np.log(found.middle_h) - shops.middle
    assert abs(off.mean()) < 0.01
    assert np.abs(off).mean() < 0.03


@pytest.mark.parametrize(
    ("after", "until", "said"),
    [
        ([5], [4], "after the last"), ([5], [5], "after the last"), ([-1], [4], "not ready"),
        ([5], [9601], "first ready"), ([float("nan")], [4], "not ready"), ([5, 6], [7], "as many"),
    ],
)  # fmt: skip
def test_brackets_that_cannot_be_are_refused(after, until, said):
    with pytest.raises(Refused, match=said):
        Checks(after, until)


def test_labels_and_needs_that_cannot_be_are_refused():
    for label in (0, float("nan"), 10_000, [12, 13]):
        with pytest.raises(Refused):
            learn_need(THREE, label)
        with pytest.raises(Refused):
            trust(THREE, label, 12)
        with pytest.raises(Refused):
            trust(THREE, 12, label)


def test_the_normal_share_at_values_every_table_has():
    assert share_below([0, 1, -1.96, 1.2816]) == pytest.approx([0.5, 0.8413, 0.025, 0.9], abs=5e-5)


def test_a_bracket_ends_with_the_moment_it_was_seen_ready_and_begins_after_the_last_not_yet():
    checks = Checks([12.0, 10.0], [15.0, 14.0])
    assert checks.agree_with(12).tolist() == [False, True]
    assert checks.agree_with(15).tolist() == [True, False]
    assert checks.agree_with(14).tolist() == [True, True]


def test_needs_of_another_shape_than_the_checks_are_refused_by_their_shape():
    with pytest.raises(Refused, match=r"need \(2, 3\) is outside"):
        Checks([12.0, 10.0], [15.0, 14.0]).agree_with(np.full((2, 3), 12.0))


def test_brackets_that_only_touch_have_nothing_in_common():
    """Not yet at 12 h and ready by 14, ready by 12 h: the median of 12 and 14 is 13."""
    assert learn_need(Checks([12.0, 10.0], [14.0, 12.0]), 8).need_h == 13


def test_a_label_under_an_hour_stands_where_checks_say_nothing():
    assert learn_need(Checks([0.0], [LONGEST_H]), 0.5).need_h == 0.5


def test_the_step_to_the_top_is_the_slope_over_the_curvature():
    """2 x + y = 1 and x + 3 y = 2 are solved by x = 1/5, y = 3/5."""
    assert _solved(np.array([2.0, 1.0, 3.0]), np.array([1.0, 2.0])) == pytest.approx([0.2, 0.6])
