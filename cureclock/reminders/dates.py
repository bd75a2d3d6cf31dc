"""The date of a batch moved: told when it moved by a day, or crossed what was promised.

The air ahead is expected from the last hours, so a date swings with day and night, in a shop's
first days by a week. A move has to stand for a day and a night before it is told; near the
promise it is told at once.
"""

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db.models import Max

from cureclock.core.units import DAY_US, instant_us, moment_of
from cureclock.planner.models import Plan
from cureclock.reminders.kinds import DATE
from cureclock.reminders.models import Alert
from cureclock.reminders.promise import Houses, Promise, alert, write
from cureclock.reminders.writing import writing

SUBJECT = "batch"
STANDS_US = DAY_US  # what the night moves, the next day moves back
NEAR_US = 3 * DAY_US  # before the promise: too near to wait and see; our choice


def tell(workshop: UUID, at: datetime) -> int:
    """Promise to tell of each batch whose date is news; how many there were."""
    home = Houses().of(workshop, at)
    with writing():
        plan = Plan.objects.select_for_update().filter(workshop=workshop).first()
        if plan is None or home is None:
            return 0
        now_us = instant_us(at)
        seen = _seen(plan, now_us)
        news = list(_news(plan, seen, now_us))
        promises = []
        for ident, said in news:
            new = _alert(workshop, ident, said, at)
            # Nobody is woken for it, and it stands by itself: no list tells it.
            whens = tuple(replace(one, held="") for one in home.told(DATE, "", at))
            promises.append(Promise(new, at, whens))
        # What nobody has heard yet would say the same, as the plan has it now.
        older = Alert.objects.filter(kind=DATE, about__in=[ident for ident, _ in news])
        older.filter(workshop=workshop, told_at=None, settled_at=None).update(settled_at=at)
        write(promises, at, Houses())
        plan.told = {**seen, **dict(news)}
        plan.look_at = _look_at(plan)
        plan.save(update_fields=["told", "look_at"])
    return len(news)


def _seen(plan: Plan, now_us: int) -> dict[str, Any]:
    """What was said last of each batch; of one promised since, how it stood when first planned.

    With it goes since when (`moved_us`) the plan says a later date (`later`), or an earlier one.
    """
    found = {}
    for ident, own in plan.body.get("batches", {}).items():
        if own["promise_us"] is None:
            continue
        said, before = _said(own), plan.told.get(ident)
        found[ident] = before or said
        if before is not None:
            later = said["likely_us"] > before["likely_us"]
            since = before.get("moved_us") if before.get("later") == later else None
            moved_us = (since or now_us) if _moved(said, before) else None
            found[ident] = {**before, "moved_us": moved_us, "later": later}
    return found


def _moved(said: dict[str, Any], before: dict[str, Any]) -> bool:
    """Whether it moved by a day or crossed the promise, against what was said last."""
    apart: int = abs(said["likely_us"] - before["likely_us"])
    return apart >= DAY_US or said["late"] != before["late"]


def _said(own: dict[str, Any]) -> dict[str, Any]:
    return {
        "likely_us": own["likely_us"],
        "safe_us": own["safe_us"],
        "promise_us": own["promise_us"],
        "late": own["likely_us"] > own["promise_us"],
    }


def _news(plan: Plan, seen: dict[str, Any], now_us: int) -> Iterator[tuple[str, dict[str, Any]]]:
    """Batches that are promised, and of which something else is to be said than was said last."""
    for ident, last in seen.items():
        said = _said(plan.body["batches"][ident])
        if ident not in plan.told:
            if said["late"]:
                yield ident, said
        elif last["moved_us"] is not None and now_us >= _told_from_us(said, last):
            yield ident, said


def _told_from_us(said: dict[str, Any], last: dict[str, Any]) -> int:
    """From when on a move is told: once it has stood, or the promise is near."""
    moved_us: int = last["moved_us"]
    near_us: int = said["promise_us"] - NEAR_US
    return min(moved_us + STANDS_US, max(moved_us, near_us))


def _look_at(plan: Plan) -> datetime | None:
    """When the plan is to be looked at again: by then a move has stood, or is gone."""
    whens = [
        moment_of(_told_from_us(_said(plan.body["batches"][ident]), last))
        for ident, last in plan.told.items()
        if last.get("moved_us") is not None
    ]
    return min([*whens, *([plan.look_at] if plan.look_at else [])], default=None)


def _alert(workshop: UUID, ident: str, said: dict[str, Any], at: datetime) -> Alert:
    last = Alert.objects.filter(about=ident, kind=DATE).aggregate(last=Max("seq"))["last"]
    return alert(
        workshop=workshop,
        about=UUID(ident),
        subject=SUBJECT,
        kind=DATE,
        due_at=at,
        at=at,
        seq=0 if last is None else last + 1,
        said=said,
    )
