"""The shed's log of the demo week: invented, like everything in the demo."""

DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")

# (degC, % RH) at 00, 04, 08, 12, 16 and 20 o'clock of each day.
SHED = {
    "Mon": ((9, 74), (8, 77), (10, 74), (17, 60), (18, 58), (14, 66)),
    "Tue": ((11, 71), (10, 73), (11, 72), (18, 58), (19, 55), (14, 64)),
    "Wed": ((11, 70), (9, 75), (10, 73), (17, 60), (17, 60), (9, 80)),
    "Thu": ((5, 90), (3, 94), (4, 92), (14, 64), (17, 57), (13, 66)),
    "Fri": ((10, 72), (9, 75), (10, 73), (18, 57), (19, 54), (15, 62)),
    "Sat": ((12, 68), (11, 70), (12, 68), (18, 58), (19, 55), (15, 62)),
    "Sun": ((12, 69), (11, 71), (12, 69), (16, 62), (16, 62), (13, 67)),
}
# The warm box holds 24 degC but for the night of the power cut.
BOX_C, BOX_RH = 24, 40
BOX_NIGHT = (
    ("Wed 18:40", 24),
    ("Wed 20:40", 20),
    ("Thu 00:40", 14),
    ("Thu 04:40", 9),
    ("Thu 06:50", 8),
    ("Thu 09:00", 24),
)
CUPBOARD_C, CUPBOARD_RH = 19, 50
# Mains off: what the loggers kept meanwhile arrives when they are back.
POWER_CUT = ("Wed 18:40", "Thu 06:50")
# Tonight as the maker expects it on Wednesday evening (outside 1 degC; the gap halves every 4 h).
EXPECTED_WEDNESDAY = (
    ("00:00", 5, 90),
    ("04:00", 3, 94),
    ("08:00", 4, 92),
    ("12:00", 14, 64),
    ("16:00", 17, 60),
    ("20:00", 9, 80),
)


def rows(place: str) -> list[tuple[str, float, float]]:
    """A place's log as ("Mon 04:00", degC, % RH), in order of time."""
    told = []
    for day in DAYS:
        for number, (temp_c, rh_pct) in enumerate(SHED[day]):
            at = f"{day} {4 * number:02d}:00"
            if place == "Shed":
                told.append((at, float(temp_c), float(rh_pct)))
            elif place == "Cupboard":
                told.append((at, float(CUPBOARD_C), float(CUPBOARD_RH)))
            elif not _in_box_night(at):
                told.append((at, float(BOX_C), float(BOX_RH)))
    if place == "Warm box":
        told += [(at, float(temp_c), float(BOX_RH)) for at, temp_c in BOX_NIGHT]
    return sorted(told, key=lambda row: hours(row[0]))


def hours(at: str) -> float:
    """Hours from Monday 00:00 of "Wed 18:40".

    >>> hours("Tue 01:30")
    25.5
    """
    day, clock = at.split()
    hour, minute = clock.split(":")
    return DAYS.index(day) * 24 + int(hour) + int(minute) / 60


def _in_box_night(at: str) -> bool:
    return hours(BOX_NIGHT[0][0]) <= hours(at) <= hours(BOX_NIGHT[-1][0])
