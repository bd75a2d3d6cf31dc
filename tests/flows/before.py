"""A shop that is asked before the act: places with typed air, labels, things, and the phone."""

from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any

from cureclock.actions.air_expected import DayPoint
from cureclock.actions.counted import ThingCount
from cureclock.shop.models import Membership
from tests.api.door import PhoneAtDoor, paired
from tests.cast import DAYS, MONDAY, PVA_G, Cast

Answer = dict[str, Any]
ASIDE = {"open_time": None, "scrape_opens": None, "scrape_closes": None, "pot_life": None}


@dataclass
class Before:
    """A shed told of by verbs and asked through the API."""

    cast: Cast = field(default_factory=Cast.open)
    phone: PhoneAtDoor = field(init=False)

    def __post_init__(self) -> None:
        self.cast.place()
        self.cast.material()
        self.phone = paired(self.cast, Membership.Role.OWNER)

    def glue(self, name: str, family: str = "pva_interior", **values: Any) -> str:
        """A glue as PVA-G but for these values; the id of its label."""
        base = PVA_G if family == "pva_interior" else {}
        return str(self.cast.material(name, family, {**base, **values}))

    def own(self, name: str, count: int, **more: Any) -> str:
        self.cast.do(
            "things_owned",
            "Mon 00:01",
            thing=self.cast.id(name),
            name=name,
            count=count,
            **{"kind": "clamp", **more},
        )
        return str(self.cast.id(name))

    def held(self, name: str, tags: list[str], at: str, **counts: int) -> None:
        """A glue-up under pressure that ties things up."""
        for tag in tags:
            self.cast.piece(tag)
        self.cast.spread(name, tags, at)
        things = tuple(ThingCount(self.cast.id(one), count) for one, count in counts.items())
        self.cast.press(name, at, things=things)

    def expect(
        self, at: str, day: dict[str, float | tuple[float, float]], place: str = "Shed"
    ) -> None:
        """The air somebody typed for a place, by the clock."""
        points = tuple(
            DayPoint(clock, *(air if isinstance(air, tuple) else (air,)))
            for clock, air in day.items()
        )
        said = {"day": points, "half_gap_h": 1 / 6}  # what is typed holds almost at once
        self.cast.do("air_expected", at, place=self.cast.id(place), **said)

    def glue_up(self, now: str, *, status: int = 200, **asked: Any) -> Answer:
        """The glue-up check; a place and the glue unless others are named."""
        body = {
            "label": str(self.cast.id("PVA-G label")),
            "place": str(self.cast.id("Shed")),
            **asked,
        }
        return self._ask("check/glue-up", now, body, status)

    def coat(self, now: str, label: str, *, status: int = 200, **asked: Any) -> Answer:
        """The coat check."""
        body = {"label": label, "place": str(self.cast.id("Shed")), **asked}
        return self._ask("check/coat", now, body, status)

    def _ask(self, path: str, at: str, body: Answer, status: int) -> Answer:
        answer = self.phone.post(path, at, body)
        assert answer.status_code == status, answer.content
        told: Answer = answer.json()
        return told


def line(answer: Answer, key: str) -> Answer:
    """The one line of a check that is about this."""
    found = [one for one in answer["lines"] if one["key"] == key]
    assert len(found) == 1, (key, [one["key"] for one in answer["lines"]])
    told: Answer = found[0]
    return told


def clock(told: Answer, key: str = "at") -> float:
    """Hours since Monday midnight of a moment in an answer."""
    return (datetime.fromisoformat(told[key]) - MONDAY) / timedelta(hours=1)


def hours(day: str, clock: str) -> float:
    """ "Mon", "18:43" as hours since Monday midnight."""
    hour, minute = map(int, clock.split(":"))
    return DAYS.index(day) * 24 + hour + minute / 60
