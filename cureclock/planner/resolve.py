"""Making the plan anew, outside of any request: claimed, solved, verified, saved.

`runtime` calls `resolve_due`, in a process of its own: what solving took is given back with it.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import partial
from uuid import UUID

import structlog
from django.db import transaction
from django.db.models import Q

from cureclock.core.planning.answer import Answer
from cureclock.core.planning.conflict import Conflict
from cureclock.core.planning.dates import simulate
from cureclock.core.planning.solve import Effort, Unsound, solve
from cureclock.core.planning.verify import verify
from cureclock.core.refusal import Refused
from cureclock.core.units import moment_of
from cureclock.planner.asked import asked
from cureclock.planner.models import Plan
from cureclock.planner.names import names_of, spoken
from cureclock.planner.saved import Kept, kept, plan_of
from cureclock.planner.whatif import table
from cureclock.planner.woods import lags_told
from cureclock.shop.models import Workshop
from cureclock.shop.plan_told import settle_nouns

log = structlog.get_logger("cureclock.planner")

QUIET = timedelta(seconds=2)  # taps come in bursts; our choice
LEASE = timedelta(minutes=5)  # longer than anything here takes
FIRST, LATER = Effort(limit_s=10.0), Effort(limit_s=1.5)  # nothing to keep; a plan to keep
EACH = Effort(limit_s=1.0)  # each what-if
LATE = timedelta(minutes=30)  # so long after its time something that was not begun is looked at


@dataclass(frozen=True)
class Work:
    """How hard to look; smaller in tests and for the demo."""

    first: Effort = FIRST
    later: Effort = LATER
    each: Effort | None = EACH  # None: nothing is asked what if


def due(at: datetime, quiet: timedelta = QUIET) -> list[UUID]:
    """Workshops whose plan has to be made anew now."""
    free = Q(claimed_until__isnull=True) | Q(claimed_until__lte=at)
    stale = Q(stale_since__lte=at - quiet) | Q(look_at__lte=at) | Q(claimed_until__lte=at)
    rows = Plan.objects.filter(free & stale).order_by("stale_since")
    return list(rows.values_list("workshop_id", flat=True))


def resolve_due(at: datetime, work: Work | None = None, *, quiet: timedelta = QUIET) -> list[UUID]:
    """Make every plan anew that is due; the workshops whose plan it was."""
    done = []
    for ident in due(at, quiet):
        if claim(ident, at):
            resolve(Workshop.objects.get(id=ident), at, work)
            done.append(ident)
    return done


def claim(ident: UUID, at: datetime) -> bool:
    """Take a plan to be made; what changes from now on marks it stale again."""
    free = Q(claimed_until__isnull=True) | Q(claimed_until__lte=at)
    rows = Plan.objects.filter(free, workshop=ident)
    return rows.update(claimed_until=at + LEASE, stale_since=None, look_at=None) == 1


def resolve(workshop: Workshop, at: datetime, work: Work | None = None) -> None:
    """One plan: worked out, checked by other means than those that made it, saved."""
    work = work or Work()
    settle_nouns(workshop)  # a promise or days that were struck out
    plan = Plan.objects.get(workshop=workshop)
    try:
        wanted = asked(workshop, at)
        if wanted.problem is None:
            _save(workshop, at, {}, [])
            return
        keep = plan_of(plan.body)
        effort = work.first if keep is None else work.later
        answer = solve(wanted.problem, wanted.goal, effort=effort, keep=keep)
        names = names_of(workshop, wanted.told)
        speak = partial(spoken, names=names, workshop=workshop, at=at)
        body = {**_body(answer, speak), "lags": lags_told(wanted.routes)}
    except (Refused, Unsound) as wrong:
        log.warning("no plan", workshop=str(workshop.id), why=str(wrong))
        _save(workshop, at, {"trouble": str(wrong)}, [])
        return
    _save(workshop, at, body, plan.what_if)
    if work.each is not None:
        rows = [] if answer.plan is None else table(wanted, answer, work.each, speak)
        Plan.objects.filter(workshop=workshop, made_at=at).update(what_if=rows)


def _body(answer: Answer, speak: Callable[[Conflict], Conflict]) -> Kept:
    if answer.plan is None:
        return kept(answer, None, speak)
    faults = verify(answer.problem, answer.plan)
    if faults:
        raise Unsound(str(faults[0]))
    return kept(answer, simulate(answer.problem, answer.plan), speak)


def _save(workshop: Workshop, at: datetime, body: Kept, what_if: list[Kept]) -> None:
    with transaction.atomic():
        Plan.objects.filter(workshop=workshop).update(
            body=body, what_if=what_if, made_at=at, claimed_until=None, look_at=_look_at(body)
        )


def _look_at(body: Kept) -> datetime | None:
    """When something of it should long have begun."""
    starts = [act["start_us"] for act in body.get("acts", ()) if not act["pinned"]]
    return moment_of(min(starts)) + LATE if starts else None
