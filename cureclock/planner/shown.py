"""The plan as a phone shows it."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from uuid import UUID

from cureclock.core.planning.plan import Aim
from cureclock.core.reminding.kinds import HURTS
from cureclock.core.units import HOUR_US, MINUTE_US, instant_us, moment_of
from cureclock.planner.models import Plan
from cureclock.planner.names import names_of
from cureclock.planner.saved import Kept
from cureclock.planner.steps_shown import MinutesShown, UnderWay, minutes_shown, under_way
from cureclock.planner.whatif import done_by
from cureclock.shop.models import Workshop
from cureclock.shop.plan_told import Body, plan_told
from cureclock.waits.shown import Thing

DAYS = 14  # so much of the picture is told; our choice
DAY = timedelta(days=1)
SHORTEST_IDLE_US = 15 * MINUTE_US  # shorter, nobody can use it; our choice


@dataclass(frozen=True)
class ActReason:
    """Why: `closes` (by `at`), `leaves` (something cures until `at`), `runs` alone, or `next`."""

    key: str
    name: str
    at: datetime | None


@dataclass(frozen=True)
class ActShown:
    """One go of a step; `first` counts the pieces as they come to it, from 1.

    `ask`: it can hurt if it comes too soon; a planned time is no yes, ask for each piece.
    """

    batch: Thing
    step: str
    first: int
    pieces: int
    starts: datetime
    hands_free: datetime
    ends: datetime
    people: tuple[UUID, ...]
    machine: str
    begun: bool
    late: bool
    rules: bool
    ask: bool
    why: ActReason


@dataclass(frozen=True)
class Present:
    """From when to when."""

    from_: datetime
    to: datetime


@dataclass(frozen=True)
class PersonPlan:
    """A pair of hands: when it is there, what it does, when it has nothing to do.

    Attributes:
        today: acts of the local day, or of the next day on which there are any.
        now: the act to do now: under way, or the next.
        before_home: of today's acts, those that leave something to cure through the night.
        idle: spells of that day with nothing to do.
    """

    person: Thing
    day: date | None
    now: int | None
    today: tuple[ActShown, ...]
    before_home: tuple[int, ...]
    idle: tuple[Present, ...]
    there: tuple[Present, ...]


@dataclass(frozen=True)
class WaitPlanned:
    """A wait without hands.

    Attributes:
        wood: of a joint, whether its wood counts as it follows the air (`lags`, by `lag_h`), or as
            warm as the air because nobody recorded how thick it is (`unknown`); else empty.
    """

    batch: Thing
    step: str
    gate: str
    pieces: int
    from_: datetime
    to: datetime
    wood: str
    lag_h: float


@dataclass(frozen=True)
class DateRuling:
    """What rules a date: wait, hands, machine, things, air, away or idle, and its name."""

    ruler: str
    name: str
    step: str
    from_: datetime
    to: datetime


@dataclass(frozen=True)
class DatesShown:
    """When a batch is done; `kept` says sure, likely, doubtful, late, or nothing where not promised."""

    batch: Thing
    count: int
    promised: date | None
    planned: datetime
    likely: datetime
    safe: datetime
    kept: str
    by_promise: int | None
    rules: DateRuling


@dataclass(frozen=True)
class ConflictShown:
    """What stands in the way, or was given up."""

    clash: str
    batch: str
    step: str
    name: str
    needs: str
    has: str
    proven: bool
    says: str


@dataclass(frozen=True)
class PlanShown:
    """The plan. `stale`: something changed since; it is being made anew.

    Attributes:
        gap: how much better a plan could still be, as a share; 0 with `proven`.
        trouble: why no plan could be made of what was told.
        machines, routes: those told of, to choose from.
        conflicts: for which there is no plan; given_up: what this plan does not keep.
    """

    now: datetime
    made_at: datetime | None
    stale: bool
    aim: str
    by: datetime | None
    gap: float
    proven: bool
    trouble: str
    conflicts: tuple[ConflictShown, ...]
    given_up: tuple[ConflictShown, ...]
    batches: tuple[DatesShown, ...]
    people: tuple[PersonPlan, ...]
    acts: tuple[ActShown, ...]
    waits: tuple[WaitPlanned, ...]
    under_way: tuple[UnderWay, ...]
    minutes: tuple[MinutesShown, ...]
    machines: tuple[Thing, ...]
    routes: tuple[Thing, ...]


class Showing:
    """One kept plan at an instant.

    Args:
        workshop: whose.
        at: now.
    """

    def __init__(self, workshop: Workshop, at: datetime) -> None:
        self.workshop, self.at = workshop, at
        self.row = Plan.objects.filter(workshop=workshop).first()
        self.body: Kept = self.row.body if self.row else {}
        self.told = plan_told(workshop)
        self.names = names_of(workshop, self.told)
        self.machines = {
            (str(batch), step["key"]): self.names.get(step.get("machine") or "", "")
            for batch, routed in self.told.routed.items()
            if routed.get("route")
            for step in self.told.routes[UUID(routed["route"])]["steps"]
        }
        self.asks = {
            (str(batch), step["key"])
            for batch, routed in self.told.routed.items()
            if routed.get("route")
            for step in self.told.routes[UUID(routed["route"])]["steps"]
            if any(after.get("gate") in HURTS for after in step.get("after", ()))
        }

    def thing(self, ident: str) -> Thing:
        """Something by its id, with its name."""
        return Thing(UUID(ident), self.names.get(ident, ""))

    def whole(self) -> PlanShown:
        """All of it."""
        body = self.body
        until = instant_us(self.at + DAYS * DAY)
        acts = [act for act in body.get("acts", ()) if act["start_us"] < until]
        waits = [wait for wait in body.get("waits", ()) if wait["from_us"] < until]
        return PlanShown(
            now=self.at,
            made_at=self.row.made_at if self.row else None,
            stale=bool(self.row and (self.row.stale_since or self.row.claimed_until)),
            aim=body.get("aim", str(Aim.EARLIEST)),
            by=_moment(body.get("by_us")),
            gap=round(body.get("gap", 0.0), 4),
            proven=body.get("proven", False),
            trouble=body.get("trouble", ""),
            conflicts=tuple(ConflictShown(**one) for one in body.get("conflicts", ())),
            given_up=tuple(ConflictShown(**one) for one in body.get("given_up", ())),
            batches=tuple(self.dates(ident) for ident in body.get("batches", {})),
            people=tuple(self.person(ident) for ident in body.get("there", {})),
            acts=tuple(self.act(act) for act in acts),
            waits=tuple(self.wait(wait) for wait in waits),
            under_way=under_way(self.told, self.names),
            minutes=minutes_shown(self.told, self.names),
            machines=_named(self.told.machines),
            routes=_named(self.told.routes),
        )

    def act(self, act: Kept) -> ActShown:
        """One go."""
        return ActShown(
            batch=self.thing(act["batch"]),
            step=act["step"],
            first=act["first"] + 1,
            pieces=act["pieces"],
            starts=moment_of(act["start_us"]),
            hands_free=moment_of(act["hands_end_us"]),
            ends=moment_of(act["end_us"]),
            people=tuple(UUID(one) for one in act["people"]),
            machine=self.machines.get((act["batch"], act["step"]), ""),
            begun=act["pinned"],
            late=act["late"],
            rules=act["rules"],
            ask=(act["batch"], act["step"]) in self.asks,
            why=ActReason(act["why"], self._name(act["name"]), _moment(act["at_us"])),
        )

    def _name(self, name: str) -> str:
        return self.names.get(name, name)

    def wait(self, wait: Kept) -> WaitPlanned:
        """One wait."""
        lags = self.body.get("lags", {}).get(wait["batch"], {})
        lag_us = lags.get(wait["step"])
        wood = "" if wait["step"] not in lags else "unknown" if lag_us is None else "lags"
        return WaitPlanned(
            batch=self.thing(wait["batch"]),
            step=wait["step"],
            gate=wait["gate"],
            pieces=wait["pieces"],
            from_=moment_of(wait["from_us"]),
            to=moment_of(wait["to_us"]),
            wood=wood,
            lag_h=(lag_us or 0) / HOUR_US,
        )

    def dates(self, ident: str) -> DatesShown:
        """When a batch is done."""
        own = self.body["batches"][ident]
        rules, promise = own["rules"], own["promise_us"]
        by_promise = None if promise is None else done_by(own["likely_pieces_us"], promise)
        promised = None if promise is None else (moment_of(promise) - DAY / 24).astimezone(
            self.workshop.tz
        ).date()  # fmt: skip
        return DatesShown(
            batch=self.thing(ident),
            count=own["count"],
            promised=promised,
            planned=moment_of(own["done_us"]),
            likely=moment_of(own["likely_us"]),
            safe=moment_of(own["safe_us"]),
            kept=kept_word(own["done_us"], own["likely_us"], own["safe_us"], promise),
            by_promise=by_promise,
            rules=DateRuling(
                rules["ruler"],
                self._name(rules["name"]),
                rules["step"],
                moment_of(rules["from_us"]),
                moment_of(rules["to_us"]),
            ),
        )

    def person(self, ident: str) -> PersonPlan:
        """What a pair of hands does on the day, or on the next with anything to do."""
        own = [act for act in self.body["acts"] if ident in act["people"]]
        now_us = instant_us(self.at)
        to_come = [act for act in own if act["hands_end_us"] > now_us or not act["pinned"]]
        day = min((self._day(act["start_us"]) for act in to_come), default=None)
        today = self._day(now_us)
        day = today if day is not None and day < today else day
        listed = [act for act in to_come if self._day(act["start_us"]) == day or act["pinned"]]
        there = self.body["there"][ident]
        spells = [spell for spell in there if self._day(spell[0]) == day]
        until = instant_us(self.at + DAYS * DAY)
        return PersonPlan(
            person=self.thing(ident),
            day=day,
            now=0 if listed and listed[0]["start_us"] <= now_us + SHORTEST_IDLE_US else None,
            today=tuple(self.act(act) for act in listed),
            before_home=tuple(_through_the_night(listed, spells)),
            idle=tuple(_idle(listed, spells, now_us)),
            there=tuple(_spell(*spell) for spell in there if spell[0] < until),
        )

    def _day(self, at_us: int) -> date:
        return moment_of(at_us).astimezone(self.workshop.tz).date()


def kept_word(done_us: int, likely_us: int, safe_us: int, promise_us: int | None) -> str:
    """Whether a promise is kept: surely, likely, doubtfully, or not."""
    if promise_us is None:
        return ""
    for word, us in (("sure", safe_us), ("likely", likely_us), ("doubtful", done_us)):
        if us <= promise_us:
            return word
    return "late"


def _named(told: Mapping[UUID, Body]) -> tuple[Thing, ...]:
    """Things told of, by their names; machines of which there are none are left out."""
    found = [Thing(key, str(body["name"])) for key, body in told.items() if body.get("count", 1)]
    return tuple(sorted(found, key=lambda one: (one.name, str(one.id))))


def _moment(at_us: int | None) -> datetime | None:
    return None if at_us is None else moment_of(at_us)


def _spell(from_us: int, to_us: int) -> Present:
    return Present(moment_of(from_us), moment_of(to_us))


def _through_the_night(acts: Sequence[Kept], spells: Sequence[Sequence[int]]) -> Iterator[int]:
    """Acts that leave something to cure beyond the time of going home."""
    if not spells:
        return
    home_us = spells[-1][1]
    for number, act in enumerate(acts):
        if act["why"] in ("leaves", "runs") and act["at_us"] > home_us and not act["pinned"]:
            yield number


def _idle(acts: Sequence[Kept], spells: Sequence[Sequence[int]], now_us: int) -> Iterator[Present]:
    """Spells there with nothing to do, from now on."""
    for opens, closes in spells:
        at = max(opens, now_us)
        for act in acts:
            if act["start_us"] > closes:
                break
            if act["start_us"] - at >= SHORTEST_IDLE_US:
                yield _spell(at, act["start_us"])
            at = max(at, act["hands_end_us"])
        if closes - at >= SHORTEST_IDLE_US:
            yield _spell(at, closes)


def plan_shown(workshop: Workshop, at: datetime) -> PlanShown:
    """The plan of a workshop, as it was last made, seen from an instant."""
    return Showing(workshop, at).whole()
