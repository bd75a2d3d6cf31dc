"""The one multiplier of a need that was found in print."""

from cureclock.core.needs import stressed

SHEET = "urea-formaldehyde sheet in a homebuilt-aircraft manual, page D-2: double for bends"


def test_bent_laminations_double_the_clamp_time(checked):
    """Normal hardener at 20 C: 2.25 h minimum, so 4.5 h for a bend."""
    ours = 2.25 * float(stressed(True))
    checked("clamp time of a bend at 20 C [h]", SHEET, ours, 4.5)
    assert ours == 4.5
    assert stressed(False) == 1
