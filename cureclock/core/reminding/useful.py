"""The last useful moment before a closing gate: told while somebody can act, or not at all."""

from dataclasses import dataclass

import numpy as np

from cureclock.core.coat.shop_hours import NEVER, NO_LONGER, ShopHours
from cureclock.core.reminding.wall import is_there
from cureclock.core.units import MINUTE_US

NOTICE_US = 30 * MINUTE_US  # between being told and having to begin; our choice
# Limits of minutes, and those that open and shut within an hour; our choice.
NOTICES_US = {
    "open_time": 2 * MINUTE_US,
    "total_assembly": 2 * MINUTE_US,
    "wipe_off": 5 * MINUTE_US,
    "pot_life": 5 * MINUTE_US,
    "scrape_closes": 10 * MINUTE_US,
}


@dataclass(frozen=True)
class LastCall:
    """When to tell of a closing gate.

    Attributes:
        tell_us: when to tell [us]; None where nobody can act on it any more.
        start_by_us: when the act has to begin [us]; None where it cannot be fitted in.
        before_home: the act has to be begun before going home, and the gate closes after it.
        over_us: when somebody is first there after it has closed [us]; None where nobody comes.
        fell_us: when it was to be told and nobody was there, so that the list of the morning says
            it before they come [us]; None where it is told at its own moment.
    """

    tell_us: int | None
    start_by_us: int | None
    before_home: bool
    over_us: int | None
    fell_us: int | None = None


def last_call(
    closes_us: int,
    *,
    at_us: int,
    hours: ShopHours | None,
    hands_us: int = 0,
    window_us: int | None = None,
    warn_us: int | None = None,
    notice_us: int = NOTICE_US,
    finish_us: int | None = None,
) -> LastCall:
    """When to tell of a gate that closes, so that somebody can still act.

    Args:
        closes_us: when it closes [us].
        at_us: now [us].
        hours: spells in which somebody who can do it is there; None where nobody comes.
        hands_us: how long the act takes [us], 0 or more.
        window_us: when the act may first begin [us], where something opens it.
        warn_us: when the gate may close in the worst case [us], where that is known.
        notice_us: from being told to having to begin [us].
        finish_us: by when the act has to be ended [us], where that is not when the gate closes:
            pieces done one after the other, each before its own closing.

    Returns:
        LastCall. The act has to begin at the latest moment from which it can be ended in the
        shop before the gate closes. It is told half an hour before that, or when the gate may
        close in the worst case if that is earlier. Where nobody is there then: when somebody
        comes, if that still leaves the half hour; else the last time before, so that it can be
        done before going home; else when somebody comes. Never at a time when nobody is there.

    Valid for:
        Gates that close hours after their act began; `beside` is for those of minutes.

    Source: common practice, no source; the half hour is our choice.

    >>> hour = 3_600_000_000
    >>> hours = ShopHours([8 * hour, 32 * hour], [18 * hour, 42 * hour])
    >>> call = last_call(27 * hour, at_us=11 * hour, hours=hours, hands_us=45 * MINUTE_US)
    >>> call.tell_us / hour, call.start_by_us / hour, call.before_home
    (16.75, 17.25, True)
    """
    over_us = _back_us(hours, closes_us)
    earliest = max(at_us, at_us if window_us is None else window_us)
    by_us = closes_us if finish_us is None else finish_us
    start_by = NO_LONGER if hours is None else hours.latest_start(by_us, hands_us)
    if hours is None or start_by < earliest:
        return LastCall(None, None, False, over_us)
    tell = start_by - notice_us if warn_us is None else min(warn_us, start_by - notice_us)
    tell = max(tell, earliest)
    fell = None
    if not is_there(hours, tell):
        back = hours.earliest_start(tell, 0)
        evening = hours.latest_start(tell, hands_us)
        if back > start_by - notice_us and evening >= earliest:
            tell = max(_comes_us(hours, evening), evening - notice_us, earliest)
            start_by = evening
        elif back != NEVER:
            tell, fell = back, tell
    return LastCall(tell, start_by, _goes_us(hours, start_by) < closes_us, over_us, fell)


def beside(
    gate: str,
    closes_us: int,
    *,
    at_us: int,
    hands_us: int = 0,
    warn_us: int | None = None,
    finish_us: int | None = None,
) -> LastCall:
    """When to tell of a limit of minutes, beside which somebody stands anyway.

    Args:
        gate: its key.
        closes_us: when it closes [us].
        at_us: now [us].
        hands_us: how long the act takes [us], 0 or more.
        warn_us: when it may close in the worst case [us], where that is known.
        finish_us: as in `last_call`.

    Returns:
        LastCall: told some minutes before, or when the act has to begin or the gate may close in
        the worst case if that is earlier; at any hour.

    Source: our choice of the minutes.

    >>> call = beside("wipe_off", 20 * MINUTE_US, at_us=0)
    >>> call.tell_us // MINUTE_US, call.start_by_us // MINUTE_US
    (15, 20)
    """
    start_by = (closes_us if finish_us is None else finish_us) - hands_us
    told = min(start_by, closes_us - NOTICES_US.get(gate, NOTICE_US))
    tell = max(told if warn_us is None else min(told, warn_us), at_us)
    if closes_us < at_us:
        return LastCall(None, None, False, at_us)
    return LastCall(tell, max(start_by, at_us), False, closes_us)


def _back_us(hours: ShopHours | None, at_us: int) -> int | None:
    """When somebody is first there from an instant on [us]; None where nobody comes."""
    found = NEVER if hours is None else hours.earliest_start(at_us, 0)
    return None if found == NEVER else found


def _spell(hours: ShopHours, at_us: int) -> int:
    """Which spell holds an instant in which somebody is there."""
    return int(np.searchsorted(np.asarray(hours.open_us), at_us, side="right")) - 1


def _comes_us(hours: ShopHours, at_us: int) -> int:
    """When the spell that holds an instant began [us]."""
    return int(np.asarray(hours.open_us)[_spell(hours, at_us)])


def _goes_us(hours: ShopHours, at_us: int) -> int:
    """When the spell that holds an instant ends [us]."""
    return int(np.asarray(hours.close_us)[_spell(hours, at_us)])
