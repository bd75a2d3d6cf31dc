"""The kinds of reminder, and the gates that some of them treat apart."""

from enum import StrEnum

from cureclock.core.gates import COAT_GATES, HOLD_GATES, JOINT_GATES


class Kind(StrEnum):
    """What somebody is told."""

    OPENS = "opens"
    CLOSING = "closing"
    CLOSED = "closed"
    CHECK = "check"
    SUSPECT = "suspect"
    COLD = "cold"
    ASLEEP = "asleep"
    CORRECTION = "correction"
    UNSURE = "unsure"
    SURE = "sure"
    ASK_LATHE = "ask_lathe"
    RAGS = "rags"
    COAT_LEFT = "coat_left"
    BEFORE_GO = "before_go"
    MORNING = "morning"
    AFTER_OUTAGE = "after_outage"


_EVERY = (*JOINT_GATES, *COAT_GATES, *HOLD_GATES)
OF_JOINTS = frozenset(kind.key for kind in JOINT_GATES)
OF_HOLDS = frozenset(kind.key for kind in HOLD_GATES)
HURTS = frozenset(kind.key for kind in _EVERY if kind.hurts)
OPENS = frozenset(kind.key for kind in _EVERY if kind.opens and not kind.silent)
CLOSES = frozenset(kind.key for kind in _EVERY if not kind.opens)
# Upper limits of minutes: whoever they concern stands beside them. Common practice, no source.
OF_MINUTES = frozenset({"open_time", "total_assembly", "wipe_off", "pot_life"})
# Gates that forbid something until they open; the others only call for an act.
BARS = OPENS - {"scrape_opens", "rewipe", "drip_check"}
# Causes of suspicion, and reasons for a correction.
CAUSES = ("cold", "off_early", "pressed_late", "pot_life_over", "too_wet", "override")
WHYS = ("colder", "lowest", "learned", "label", "struck", "moved", "suspect", "reading")
