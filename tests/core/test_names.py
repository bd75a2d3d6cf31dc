"""Names of pieces in few words, and tags that are not taken for one another."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cureclock.core.reminding.names import compressed, fresh_tags, in_order, look_alikes, turned

TAGS = st.lists(
    st.builds(
        lambda before, number, width: f"{before}{number:0{width}d}",
        st.sampled_from(["", "L-", "T-", "stem"]),
        st.integers(0, 130),
        st.integers(1, 3),
    ),
    max_size=40,
)


def _expanded(said: str) -> list[str]:
    """The tags that a compressed name stands for, read as a maker reads it."""
    tags, before = [], ""
    for word in said.split(", ") if said else []:
        first, _, last = word.partition("–")
        digits = len(first) - len(first.rstrip("0123456789"))
        before = first[:-digits] or before
        number = first[-digits:]
        width = len(number)
        until = int(last or number)
        tags += [f"{before}{n:0{width}d}" for n in range(int(number), until + 1)]
    return tags


@pytest.mark.parametrize(
    ("tags", "said"),
    [
        (["17", "18", "20", "21", "22", "23", "24"], "17, 18, 20–24"),
        (["06", "02", "05"], "02, 05, 06"),
        ([f"L-{n:02d}" for n in range(1, 9)], "L-01–08"),
        (["L-09", "L-10", "L-11"], "L-09–11"),
        (["99", "100", "101"], "99–101"),
        (["T-1", "L-01", "L-02"], "L-01, 02, T-1"),
        (["lid", "L-1"], "L-1, lid"),
        (["L", "L1", "L2", "L3"], "L, L1–3"),
        (["1", "1", "1"], "1"),
        ([], ""),
    ],
)
def test_tags_are_said_as_on_a_slip(tags, said):
    assert compressed(tags) == said


def test_numbers_written_to_another_length_are_no_range():
    assert compressed(["1", "02", "3"]) == "1, 02, 3"


@given(TAGS)
def test_nothing_is_lost_and_nothing_added(tags):
    assert _expanded(compressed(tags)) == in_order(tags)


@given(TAGS)
def test_the_order_of_the_tags_given_does_not_matter(tags):
    assert compressed(tags) == compressed(tags[::-1]) == compressed(tags + tags)


@given(st.lists(st.text(max_size=8), max_size=20))
def test_any_text_is_said(tags):
    assert all(tag.strip("0123456789") in compressed(tags) for tag in tags)


@pytest.mark.parametrize(
    ("tag", "other"),
    [("6", "9"), ("66", "99"), ("06", "90"), ("M6", "9W"), ("17", None), ("", None)],
)
def test_upside_down(tag, other):
    assert turned(tag) == other


@given(st.text("01689-OSXZHINMW", min_size=1))
def test_turned_twice_is_itself(tag):
    assert turned(turned(tag)) == tag


@pytest.mark.parametrize(
    ("tags", "pairs"),
    [
        (["6", "9", "8"], [("6", "9")]),
        (["L-6", "L-9"], []),
        (["K1", "Kl", "KI"], [("K1", "KI"), ("K1", "Kl"), ("KI", "Kl")]),
        (["O7", "07"], [("07", "O7")]),
        (["8", "8"], []),
    ],
)
def test_look_alikes_are_found(tags, pairs):
    assert look_alikes(tags) == pairs


@given(st.sampled_from(["", "L-", "M"]), st.integers(0, 120), TAGS, st.integers(1, 3))
def test_fresh_numbers_look_like_none_in_use_nor_one_another(before, pieces, taken, width):
    fresh = fresh_tags(before, pieces, taken, width)
    assert len(set(fresh)) == pieces
    assert not set(fresh) & set(taken)
    doubtful = {tag for pair in look_alikes([*fresh, *taken]) for tag in pair}
    pairs_with_fresh = [p for p in look_alikes([*fresh, *taken]) if set(p) & set(fresh)]
    assert not pairs_with_fresh, doubtful


def test_fresh_numbers_run_on_where_letters_show_which_way_is_up():
    assert fresh_tags("L-", 24) == [f"L-{n:02d}" for n in range(1, 25)]


def test_tags_without_a_number_come_by_their_letters_and_before_numbered_ones():
    assert in_order(["b", "L-10", "a", "L-2"]) == ["L-2", "L-10", "a", "b"]
    assert in_order(["b1", "b", "b0"]) == ["b", "b0", "b1"]


def test_every_sign_that_turns_may_be_in_one_tag():
    assert turned("01689") == "68910"
