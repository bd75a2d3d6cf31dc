"""Springback against printed examples of the boatbuilders' rule."""

from cureclock.core.joint.bend import springback_m

BEAMS = "forum.woodenboat.com thread 141333, laminated deck beams (common practice)"
PLIES = "moypiano.com pianotech archive 2003-February/129176, laminate springback"


def test_deck_beams_of_four_and_eight_plies(checked):
    ours = springback_m(3.0, [4, 8])
    checked("springback of 3 in rise, 4 and 8 plies [in]", BEAMS, ours, [3 / 16, 3 / 64])
    assert ours.tolist() == [3 / 16, 3 / 64]


def test_one_inch_of_deflection(checked):
    """Four plies 1/16 in; plies half as thick, so eight of them: 1/64 in."""
    ours = springback_m(1.0, [4, 8])
    checked("springback of 1 in, 4 and 8 plies [in]", PLIES, ours, [1 / 16, 1 / 64])
    assert ours.tolist() == [1 / 16, 1 / 64]
