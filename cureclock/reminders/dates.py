"""The date of a batch moved: told when it moved by a day, or crossed what was promised."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db.models import Max

from cureclock.core.units import DAY_US
from cureclock.planner.models import Plan
from cureclock.reminders.kinds import DATE
from cureclock.reminders.models import Alert
from cureclock.reminders.promise import Houses, Promise, alert, write
from cureclock.reminders.writing import writing

SUBJECT = "batch"


def tell(workshop: UUID, at: datetime) -> int:
    """Promise to tell of each batch whose date is news; how many there were."""
    home = Houses().of(workshop, at)
    with writing():
        plan = Plan.objects.select_for_update().filter(workshop=workshop).first()
        if plan is None or home is None:
            return 0
        news = list(_news(plan))
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
        plan.told = {**_seen(plan), **dict(news)}
        plan.save(update_fields=["told"])
    return len(news)


def _seen(plan: Plan) -> dict[str, Any]:
    """What was said last of each batch; of one promised since, how it stood when first planned."""
    found = {}
    for ident, own in plan.body.get("batches", {}).items():
        if own["promise_us"] is not None:
            found[ident] = plan.told.get(ident) or _said(own)
    return found


def _said(own: dict[str, Any]) -> dict[str, Any]:
    return {
        "likely_us": own["likely_us"],
        "safe_us": own["safe_us"],
        "promise_us": own["promise_us"],
        "late": own["likely_us"] > own["promise_us"],
    }


def _news(plan: Plan) -> Iterator[tuple[str, dict[str, Any]]]:
    """Batches that are promised, and of which something else is to be said than was said last."""
    for ident, own in plan.body.get("batches", {}).items():
        if own["promise_us"] is None:
            continue
        said, before = _said(own), plan.told.get(ident)
        if before is None:
            if said["late"]:
                yield ident, said
        elif (
            abs(said["likely_us"] - before["likely_us"]) >= DAY_US or said["late"] != before["late"]
        ):
            yield ident, said


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
