"""Quiet hours: which reminders break them, and until when the others wait."""

from datetime import date, time, timedelta
from zoneinfo import ZoneInfo

from cureclock.core.reminding.kinds import HURTS, OF_MINUTES, Kind
from cureclock.core.reminding.wall import wall_us
from cureclock.core.units import moment_of

# What may wake somebody: fire, glue or oil under the hands, a joint about to be spoiled.
ALWAYS = frozenset({Kind.RAGS, Kind.COLD})


def breaks_quiet(kind: Kind, gate: str = "") -> bool:
    """Whether a reminder sounds in quiet hours, and is urgent at any hour.

    Args:
        kind: what kind it is.
        gate: the gate it is about, where it is about one.

    Returns:
        True for the rags question, a joint about to be spoiled by cold, limits of minutes
        (wipe-off, open time, assembly time, pot life), and corrections of gates that can hurt.

    Source: our choice.

    >>> breaks_quiet(Kind.CLOSING, "wipe_off"), breaks_quiet(Kind.CLOSING, "recoat_closes")
    (True, False)
    """
    if kind in {Kind.CLOSING, Kind.CLOSED}:
        return gate in OF_MINUTES
    return kind in ALWAYS or (kind == Kind.CORRECTION and gate in HURTS)


def not_before(
    at_us: int,
    zone: ZoneInfo,
    quiet_from: time | None,
    quiet_until: time | None,
    breaks: bool = False,
) -> int:
    """When somebody may first be told of something.

    Args:
        at_us: when it came up [us].
        zone: where the person is.
        quiet_from: when the quiet begins on the clock there; None for none.
        quiet_until: when it ends; at or before quiet_from it ends the next day, and the same
            time stands for no quiet hours.
        breaks: it breaks the quiet.

    Returns:
        at_us itself, or the end of the quiet hours it falls in [us].

    Valid for: any zone, also where clocks change: a time they leap over is as long after the
        leap, one that comes twice is the first of the two.

    Source: PEP 495 for the clock changes; the quiet hours are the person's own.

    >>> from cureclock.core.units import HOUR_US
    >>> not_before(23 * HOUR_US, ZoneInfo("UTC"), time(21), time(7)) // HOUR_US
    31
    """
    if breaks or quiet_from is None or quiet_until is None or quiet_from == quiet_until:
        return at_us
    today = moment_of(at_us).astimezone(zone).date()
    told_us = at_us
    for ahead in (-1, 0, 1):
        begins_us, ends_us = _quiet(today + timedelta(days=ahead), zone, quiet_from, quiet_until)
        if begins_us <= told_us < ends_us:
            told_us = ends_us
    return told_us


def _quiet(day: date, zone: ZoneInfo, begins: time, ends: time) -> tuple[int, int]:
    """The quiet hours that begin on a day [us]."""
    last = day + timedelta(days=int(ends < begins))
    return wall_us(day, begins, zone), wall_us(last, ends, zone)
