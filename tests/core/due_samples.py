"""A shop of two and short ways to write facts down, for the tests of what is due."""

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

from cureclock.core.reminding.due import wanted
from cureclock.core.reminding.facts import (
    Facts,
    GateFact,
    Shop,
)
from cureclock.core.reminding.kinds import Kind
from cureclock.core.reminding.wall import Weekly
from cureclock.core.reminding.who import Hand
from cureclock.core.units import instant_us

ZONE = ZoneInfo("UTC")


def on(text: str) -> int:
    return instant_us(datetime.fromisoformat(f"2024-02-{text}").replace(tzinfo=UTC))


NOW = on("15 11:00")  # a Thursday
HOURS = Weekly.of({str(day): ["08:00", "18:00"] for day in range(6)}).spells(ZONE, NOW)
MAKER = Hand("maker", hours=HOURS, minds_shop=True)
HELPER = Hand("helper", hours=HOURS, second=True)
SHOP = Shop("shed", (MAKER, HELPER), HOURS)


def gate(gate, act, tag="1", **said):
    act_us = None if act is None else on(act)
    return GateFact("g1", tag, gate, act_us, **said)


def wants(*gates, said=(), at=NOW, **facts):
    found = wanted(Facts(gates=gates, **facts), SHOP, at, said)
    return [one for one in found if one.kind not in {Kind.MORNING, Kind.BEFORE_GO}]
