"""Questions to the plan as it was last made: what if, and can it be done by a day."""

from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from cureclock.core.units import HOUR_US, moment_of
from cureclock.planner.asked import day_end_us
from cureclock.planner.saved import Kept
from cureclock.planner.shown import DateRuling, Showing, kept_word
from cureclock.planner.whatif import done_by
from cureclock.shop.models import Material, Workshop
from cureclock.shop.refusals import NotHere, Refusal
from cureclock.waits.shown import Thing

BETTER = 3  # changes told with an answer


@dataclass(frozen=True)
class Changed:
    """What is changed: `kind` is more_things, machine, saturday, place or coat_less."""

    kind: str
    name: str
    batch: str
    step: str
    count: int | None
    day: date | None


@dataclass(frozen=True)
class BatchThen:
    """A batch with that change: when it is done, and how much sooner."""

    batch: Thing
    planned: datetime
    sooner_h: float
    by_promise: int | None


@dataclass(frozen=True)
class WhatIfRow:
    """One row; `impossible` says why there would be no plan."""

    change: Changed
    sooner_h: float | None
    batches: tuple[BatchThen, ...]
    impossible: tuple[str, ...]


@dataclass(frozen=True)
class WhatIfTable:
    """What would change the dates, most first; made after the plan itself."""

    made_at: datetime | None
    rows: tuple[WhatIfRow, ...]


@dataclass(frozen=True)
class Better:
    """A change that gets more done by the day."""

    change: Changed
    done: int


@dataclass(frozen=True)
class ByDay:
    """Can a batch be done by the end of a day?

    Attributes:
        kept: sure, likely, doubtful or late.
        done_likely, done_safe: pieces done by then in half, and in nine of ten times.
        rules: what rules the date.
        better: changes with which more would be done by then, or the date be kept more surely.
    """

    batch: Thing
    day: date
    count: int
    kept: str
    likely: datetime
    safe: datetime
    done_likely: int
    done_safe: int
    rules: DateRuling
    better: tuple[Better, ...]


def what_if_table(workshop: Workshop, at: datetime) -> WhatIfTable:
    """The changes worth asking about, as they were last worked out."""
    showing = Showing(workshop, at)
    rows = showing.row.what_if if showing.row else []
    own = showing.body.get("batches", {})
    made = showing.row.made_at if showing.row else None
    return WhatIfTable(made, tuple(_row(showing, row, own) for row in rows))


def _row(showing: Showing, row: Kept, own: Kept) -> WhatIfRow:
    gained = row["gained_us"]
    return WhatIfRow(
        change=_changed(showing, row["change"]),
        sooner_h=None if gained is None else round(gained / HOUR_US, 1),
        batches=tuple(
            BatchThen(
                batch=showing.thing(ident),
                planned=moment_of(then["done_us"]),
                sooner_h=round((own[ident]["done_us"] - then["done_us"]) / HOUR_US, 1),
                by_promise=None
                if own[ident]["promise_us"] is None
                else done_by(then["pieces_us"], own[ident]["promise_us"]),
            )
            for ident, then in row["batches"].items()
            if ident in own
        ),
        impossible=tuple(row["impossible"]),
    )


def _changed(showing: Showing, change: Kept) -> Changed:
    named = change.get("thing") or change.get("machine") or change.get("person")
    name = showing.names.get(named or change.get("place", ""), "")
    if "material" in change:
        found = Material.objects.filter(id=change["material"]).values_list("name", flat=True)
        step = found.first() or ""
    else:
        step = change.get("step", "")
    return Changed(
        kind=change["kind"],
        name=name,
        batch=showing.names.get(change.get("batch", ""), ""),
        step=step,
        count=int(change["count"]) if "count" in change else None,
        day=date.fromisoformat(change["day"]) if "day" in change else None,
    )


def by_day(workshop: Workshop, batch: UUID, day: date, at: datetime) -> ByDay:
    """Whether a batch can be promised for a day.

    Raises:
        NotHere: no such batch in the plan.
        Refusal: there is no plan to answer from yet.
    """
    showing = Showing(workshop, at)
    if showing.row is None or not showing.body.get("batches"):
        raise Refusal("batch", "there is no plan yet", "give the batch a route and wait a moment")
    own = showing.body["batches"].get(str(batch))
    if own is None:
        raise NotHere("batch")
    by_us = day_end_us(workshop, day)
    dates = showing.dates(str(batch))
    done = done_by(own["likely_pieces_us"], by_us)
    return ByDay(
        batch=dates.batch,
        day=day,
        count=dates.count,
        kept=kept_word(own["done_us"], own["likely_us"], own["safe_us"], by_us),
        likely=dates.likely,
        safe=dates.safe,
        done_likely=done,
        done_safe=done_by(own["safe_pieces_us"], by_us),
        rules=dates.rules,
        better=_better(showing, str(batch), by_us),
    )


def _better(showing: Showing, batch: str, by_us: int) -> tuple[Better, ...]:
    """Changes with which more is done by then than as planned, most first."""
    assert showing.row is not None
    acts = showing.body["batches"][batch]
    now = done_by(acts["planned_pieces_us"], by_us)
    found = []
    for row in showing.row.what_if:
        then = row["batches"].get(batch)
        if then is not None and (done := done_by(then["pieces_us"], by_us)) > now:
            found.append(Better(_changed(showing, row["change"]), done))
    return tuple(sorted(found, key=lambda one: -one.done)[:BETTER])
