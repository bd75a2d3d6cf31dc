"""The budget that open and closed assembly share, against the only printed table found."""

import numpy as np
import pytest

from cureclock.core.joint.assembly import closed_left_s, press_within_s

SHEET = "phenol-resorcinol sheet in a homebuilt-aircraft manual, page D-7 (manualshive.com, F.8L)"

# degF: most open, most closed assembly [min]
ROWS = {70: (10, 60), 80: (5, 45), 90: (1, 30), 100: (0, 15)}


def test_a_third_of_the_open_time_at_80_f_leaves_thirty_minutes_closed(checked):
    open_min, closed_min = ROWS[80]
    ours = float(closed_left_s(open_min * 60 / 3, open_min * 60, closed_min * 60)) / 60
    checked("closed time left at 80 F after a third of the open time [min]", SHEET, ours, 30)
    assert ours == pytest.approx(30)


@pytest.mark.parametrize("temp_f", ROWS)
def test_all_closed_or_all_open_gives_the_printed_row(temp_f, checked):
    open_s, closed_s = np.array(ROWS[temp_f]) * 60
    ours = float(closed_left_s(0, open_s, closed_s)) / 60
    checked(f"closed time at {temp_f} F, closed at once [min]", SHEET, ours, ROWS[temp_f][1])
    assert ours == ROWS[temp_f][1]
    if open_s:
        assert closed_left_s(open_s, open_s, closed_s) == 0
    assert press_within_s(0, open_s, closed_s, open_s + closed_s) == closed_s
