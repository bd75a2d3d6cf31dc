"""An invented shop of a week in February, its people and its hours, for the tests of whole days."""

from datetime import UTC, datetime, time
from zoneinfo import ZoneInfo

from cureclock.core.reminding.due import wanted
from cureclock.core.reminding.facts import Facts, GateFact, Shop
from cureclock.core.reminding.kinds import Kind
from cureclock.core.reminding.wall import Weekly
from cureclock.core.reminding.wants import Wanted
from cureclock.core.reminding.who import Hand
from cureclock.core.units import instant_us, moment_of
from cureclock.core.wording.times import Reader

ZONE = ZoneInfo("Europe/Dublin")
DAYS = {"Wed": 14, "Thu": 15, "Fri": 16, "Sat": 17, "Sun": 18, "Mon": 19, "Tue": 20}
STEMS = [f"{n:02d}" for n in range(1, 25)]
LISTS = {Kind.MORNING, Kind.BEFORE_GO}


def when(text: str) -> int:
    """An instant of that week of February 2024."""
    day, _, shown = text.partition(" ")
    return instant_us(datetime.fromisoformat(f"2024-02-{DAYS[day]} {shown}").replace(tzinfo=UTC))


HOURS = Weekly.of({str(day): ["08:00", "18:00"] for day in range(6)}).spells(
    ZONE, when("Wed 12:00")
)
MAKER = Hand("maker", HOURS, True, zone=ZONE, quiet_from=time(21), quiet_until=time(7))
HELPER_1 = Hand("helper 1", HOURS, zone=ZONE)
HELPER_2 = Hand("helper 2", HOURS, zone=ZONE, second=True)
SHOP = Shop("shop", (MAKER, HELPER_1, HELPER_2), HOURS, ZONE)


def reader(text: str) -> Reader:
    return Reader(when(text), ZONE)


def clock(us: int | None) -> str:
    assert us is not None
    return f"{moment_of(us).astimezone(ZONE):%a %H:%M}"


def gates(subject, gate, tags, *acts, **said):
    """The same gate of pieces, shared out between the first and the last instant."""
    first, last = when(acts[0]), when(acts[-1])
    step = (last - first) // max(len(tags) - 1, 1)
    return [
        GateFact(subject, tag, gate, first + place * step, **said) for place, tag in enumerate(tags)
    ]


def wants(facts: Facts, at: str, said=()) -> list[Wanted]:
    return [one for one in wanted(facts, SHOP, when(at), said) if one.kind not in LISTS]
