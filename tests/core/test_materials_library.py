"""What ships, and how it is asked for."""

import pytest

from cureclock.core.gates import COAT_GATES, HOLD_GATES, JOINT_GATES
from cureclock.core.ladder import ladder
from cureclock.core.materials import vocabulary as words
from cureclock.core.materials.library import (
    adhesives,
    clamp_kind,
    clamp_kinds,
    family,
    finishes,
    holds,
    library,
    sources,
    wood,
    woods,
)
from cureclock.core.materials.merge import with_label
from cureclock.core.refusal import Refused

DEMO_WOODS = ("sycamore", "plum", "ash", "poplar", "elm", "pear", "robinia", "rowan")


def test_all_families_of_the_trade_and_three_printed_tables():
    assert (len(adhesives()), len(finishes()), len(holds())) == (16, 23, 3)
    assert {one.role for one in finishes().values()} == {"finish", "stain", "filler"}


def test_the_library_is_read_once():
    assert library() is library()
    assert family("shellac") is finishes()["shellac"]


def test_an_unknown_key_lists_near_names():
    with pytest.raises(Refused, match=r"perhaps .*pva_interior"):
        family("pva_interor")
    with pytest.raises(Refused, match=r"perhaps .*sycamore"):
        wood("sycamor")
    with pytest.raises(Refused, match=r"perhaps .*f_clamp"):
        clamp_kind("f_klamp")
    with pytest.raises(Refused, match="hot_melt"):
        family("zzz")


def test_enough_woods_and_all_of_the_demo():
    tropical = [key for key, one in woods().items() if one.tropical]
    assert len(woods()) - len(tropical) >= 25
    assert len(tropical) >= 10
    assert set(DEMO_WOODS) <= set(woods())


def test_the_two_sycamores_are_two_woods():
    european, american = wood("sycamore"), wood("sycamore_american")
    assert european.botanical == "Acer pseudoplatanus"
    assert american.botanical == "Platanus occidentalis"
    assert "Platanus" in european.note
    for name in ("movement_radial", "movement_tangential", "shrinkage_radial_pct"):
        assert getattr(european, name) != getattr(american, name)


def test_what_is_not_known_of_a_wood_stays_empty():
    rowan = wood("rowan")
    assert rowan.density_kg_m3 is None
    assert rowan.movement_tangential is None
    assert rowan.shrinkage_volume_pct is None
    assert wood("pear").movement_tangential is None
    assert wood("elm").movement_tangential is None
    assert wood("persimmon").density_kg_m3 is None


def test_flags_of_some_woods():
    assert wood("teak").oily
    assert wood("oak_white").tannin
    assert wood("ash").open_pored
    assert wood("padauk_african").allergenic_dust
    assert not wood("sycamore").open_pored


def test_clamps_keep_what_was_measured_apart_from_what_the_trade_says():
    assert clamp_kind("f_clamp").measured_n is None
    assert (clamp_kind("f_clamp").trade_n.low, clamp_kind("f_clamp").trade_n.high) == (3000, 5000)
    assert clamp_kind("parallel_jaw").measured_n.status == "published"
    assert clamp_kind("parallel_jaw").trade_n.status == "common practice"
    assert clamp_kind("band").trade_n is None
    assert clamp_kind("band").measured_n is None
    assert all(kind.measured_n or kind.trade_n or kind.note for kind in clamp_kinds().values())


def test_trade_ranges_of_clamps():
    """Common practice, no source; newtons."""
    trade = {
        key: (one.trade_n.low, one.trade_n.high)
        for key, one in clamp_kinds().items()
        if one.trade_n
    }
    assert trade == {
        "spring": (200, 200), "one_hand_bar": (1000, 2000), "f_clamp": (3000, 5000),
        "parallel_jaw": (1500, 2500), "pipe": (4000, 6000), "screw_press": (10_000, 50_000),
    }  # fmt: skip


def test_sources_say_what_was_not_read():
    assert sources()["shop_practice"].status == "common practice"
    assert sources()["memory"].status == "from memory"
    assert "interleaved" in sources()["wh10_4_4"].remark


@pytest.mark.parametrize(
    ("kinds", "names"),
    [
        (JOINT_GATES, words.JOINT_GATES),
        (COAT_GATES, words.COAT_GATES),
        (HOLD_GATES, words.HOLD_GATES),
    ],
)
def test_the_library_and_the_gates_of_a_wait_agree(kinds, names):
    assert {kind.key for kind in kinds} <= set(names)
    assert {kind.key for kind in kinds if not kind.opens} <= words.CLOSING
    assert not {kind.key for kind in kinds if kind.opens} & words.CLOSING


@pytest.mark.parametrize("key", sorted(library().families))
def test_every_family_gives_a_label_and_a_ladder_of_gates(key):
    label = with_label(family(key))
    assert {gate.name for gate in label.gates} == set(family(key).gates)
    kinds = {gate.kind.key for gate in ladder(label)}
    assert kinds <= set(family(key).gates)


def test_every_word_of_the_vocabulary_is_used():
    families = library().families.values()
    notes = {note for one in families for note in (*one.notes, *one.not_offered.values())}
    tests = {test for one in families for test in one.tests}
    assert set(words.NOTES) == notes
    assert set(words.TESTS) == tests
