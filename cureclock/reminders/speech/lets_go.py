"""A gate that opened lets go of a thing: a form that may be emptied, a zone to hang by."""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from uuid import UUID

from django.db.models import Q

from cureclock.core.reminding.alerts import FormFree, HangOk, Opens
from cureclock.planner.next_use import next_with
from cureclock.shop.models import Event, Workshop, Zone
from cureclock.shop.record import STRIKES, standing
from cureclock.shop.things import owned
from cureclock.waits.current import Rung
from cureclock.waits.holdings import TAKES

FREED = "things_freed"
FREE_FORMS = ("clamps_off", "clamps_off_stressed")


def in_its_words(said: Opens, rungs: Sequence[Rung]) -> Opens | FormFree | HangOk:
    """The same in the words of what it lets go; as it is where it lets go of neither."""
    if said.gate not in (*FREE_FORMS, HangOk.gate):
        return said
    held = _Held.by(rungs[0])
    if said.gate in FREE_FORMS and held.forms:
        return FormFree(
            subject=said.subject,
            goes_in=next_with(rungs[0].wait.workshop, held.forms),
            forbidden=said.forbidden,
            cautions=said.cautions,
            gate=said.gate,
        )
    zone = _one_zone(rungs) if said.gate == HangOk.gate and held.hooks else ""
    if zone:
        return HangOk(said.subject, zone, said.forbidden, said.cautions)
    return said


@dataclass(frozen=True)
class _Held:
    """Forms and hooks that a glue-up or coat was told to take, and not to let go of since."""

    forms: set[UUID]
    hooks: set[UUID]

    @classmethod
    def by(cls, rung: Rung) -> "_Held":
        """What the group of a gate took; asked of what is owned only where it took anything."""
        wait = rung.wait
        own = Q(glue_up=wait.glue_up_id) if wait.glue_up_id else Q(coat=wait.coat_id)
        rows = Event.objects.filter(own, kind__in=(*TAKES, FREED, *STRIKES)).order_by()
        told = standing(list(rows))
        if any(event.kind == FREED and "things" not in event.body for event in told):
            return cls(set(), set())
        taken, freed = (_things(told, kinds) for kinds in (TAKES, (FREED,)))
        left = taken - freed
        kinds = _kinds(wait.workshop) if left else {}
        of = {kind: {one for one in left if kinds.get(one) == kind} for kind in ("form", "hook")}
        return cls(of["form"], of["hook"])


def _things(told: Iterable[Event], kinds: Collection[str]) -> set[UUID]:
    named = (event.body.get("things", ()) for event in told if event.kind in kinds)
    return {UUID(one["thing"]) for own in named for one in own}


def _kinds(workshop: Workshop) -> dict[UUID, str]:
    return {one.id: one.kind for one in owned(workshop)}


def _one_zone(rungs: Sequence[Rung]) -> str:
    """The name of the zone that all of them coat; empty where it is not one."""
    zones = Zone.objects.filter(id__in={rung.wait.zone_id for rung in rungs})
    names = set(zones.values_list("name", flat=True))
    return names.pop() if len(names) == 1 else ""
