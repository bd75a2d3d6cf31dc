"""One of everything that is said, with plain names and with the longest that shops use."""

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

from cureclock.core.reminding.alerts import (
    AskLathe,
    Asleep,
    CheckFrom,
    Closed,
    Closing,
    CoatLeft,
    ColdAhead,
    Correction,
    Forbidden,
    FormFree,
    HangOk,
    Opens,
    Rags,
    Subject,
    Sure,
    SuspectFound,
    Unsure,
)
from cureclock.core.reminding.kinds import BARS, CAUSES, CLOSES, HURTS, OPENS, WHYS
from cureclock.core.reminding.lists import SHUT, AfterOutage, BeforeGo, Item, Line, Morning
from cureclock.core.units import HOUR_US, MINUTE_US, instant_us
from cureclock.core.wording.times import Reader

DUBLIN = ZoneInfo("Europe/Dublin")
AT_US = instant_us(datetime(2024, 2, 15, 10, 20, tzinfo=UTC))  # a Thursday
READER = Reader(AT_US, DUBLIN)
SOON_US, NIGHT_US, DAYS_US = AT_US + 40 * MINUTE_US, AT_US + 17 * HOUR_US, AT_US + 28 * HOUR_US

STEMS = Subject("c1", "stems", [f"L-{n:02d}" for n in range(1, 25)], "shed")
LONG = Subject(
    "c1",
    "Lantern stands, turned stems",
    [f"LANTERN-{n:03d}" for n in range(1, 25, 2)],
    "Drying cupboard by the stove",
)
PIECE = Subject("L-07", "blank", ["L-07"], "shed")
LONG_PIECE = Subject("LANTERN-STAND-STEM-0117", "lantern stand", ["LANTERN-STAND-STEM-0117"])
LONG_NAME = "Cross-linking glue for outdoors, second can"


def alerts_of(subject: Subject, piece: Subject, name: str) -> list[object]:
    """Every kind of alert about a group and a piece, with a name where one is told."""
    ahead = [Forbidden("light", SOON_US), Forbidden("spin", DAYS_US)]
    shared = {"subject": subject}
    return [
        *(Opens(**shared, gate=gate, forbidden=ahead) for gate in sorted(OPENS)),
        *(Opens(**shared, gate=gate) for gate in sorted(OPENS)),
        Opens(**shared, gate="recoat_opens", closes_us=NIGHT_US),
        *(Closing(**shared, gate=gate, closes_us=SOON_US) for gate in sorted(CLOSES)),
        *(
            Closing(**shared, gate=gate, closes_us=NIGHT_US, start_by_us=SOON_US, before_home=True)
            for gate in sorted(CLOSES)
        ),
        *(Closed(**shared, gate=gate, closed_us=AT_US - HOUR_US) for gate in sorted(CLOSES)),
        *(CheckFrom(**shared, gate=gate, not_before_us=SOON_US) for gate in sorted(BARS - HURTS)),
        *(SuspectFound(**shared, cause=cause, film=film) for cause in CAUSES for film in (0, 1)),
        ColdAhead(**shared, cold_us=NIGHT_US, latest_us=SOON_US),
        ColdAhead(**shared, cold_us=NIGHT_US, latest_us=AT_US - HOUR_US),
        ColdAhead(**shared, cold_us=NIGHT_US),
        ColdAhead(**shared, cold_us=NIGHT_US, pressed=True),
        Asleep(**shared, air="11 °C", needs="15 °C", forbidden=Forbidden("sand_glue_line")),
        *(
            Correction(**shared, gate=gate, was_us=AT_US, now_us=DAYS_US, why=why)
            for gate in sorted(BARS | CLOSES)
            for why in WHYS
        ),
        Correction(**shared, gate="spin", was_us=AT_US, now_us=None, why="suspect"),
        Unsure("p1", name, AT_US - 7 * HOUR_US),
        Unsure("p1", name, None),
        Sure(piece, 13, name),
        Sure(piece, 1, name),
        AskLathe(subject),
        Rags(subject, name),
        FormFree(subject, name, ahead),
        FormFree(subject),
        HangOk(subject, name),
        CoatLeft(subject, SOON_US, NIGHT_US),
        *lists_of(subject, name),
    ]


def lists_of(subject: Subject, name: str) -> list[object]:
    """Every list, with a line of every item."""
    gates = dict.fromkeys((*SHUT, Item.CLOSING, Item.RECOAT_OR_SCUFF), "recoat_closes")
    lines = [
        Line(item, subject, gates.get(item, "recoat_opens"), SOON_US, cause="cold") for item in Item
    ]
    return [
        BeforeGo("shop", lines),
        BeforeGo("shop", lines[:1]),
        Morning("shop", name, 31, 12, True, lines),
        Morning("shop", lines=lines),
        AfterOutage("shop", AT_US - 200 * HOUR_US, AT_US, lines),
        *(Morning("shop", "4 °C", lines=[line]) for line in lines),
    ]


PLAIN = alerts_of(STEMS, PIECE, "waste block")
LONGEST = alerts_of(LONG, LONG_PIECE, LONG_NAME)
