"""The coming gates of a workshop in the words of a calendar: what, of which pieces, not before or not after when."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID, uuid5

from cureclock.core.reminding.kinds import BARS, CLOSES, OF_MINUTES
from cureclock.core.reminding.names import compressed
from cureclock.core.wording.say import say
from cureclock.shop.models import Workshop
from cureclock.waits.current import TO_BE_DONE, Current, Rung, current
from cureclock.waits.group_gates import gates_shown
from cureclock.waits.groups import SILENT, Group, groups_of
from cureclock.waits.shown import GateShown

BACK = timedelta(days=7)  # what is over stays so long in the calendar; our choice
# Over before a calendar has fetched them: it looks every few hours.
TOO_SOON = OF_MINUTES | {"scrape_opens", "scrape_closes", "rewipe", "drip_check"}
LONGEST_WHICH = 90


@dataclass(frozen=True)
class Coming:
    """One entry.

    Attributes:
        uid: the same as long as it speaks of the same gate of the same group.
        at: not before it, or not after it, to the minute and on the safe side.
        opens: a lower limit.
    """

    uid: UUID
    group: UUID
    at: datetime
    opens: bool
    summary: str
    description: str
    place: str


def coming(workshop: Workshop, at: datetime) -> list[Coming]:
    """What a calendar shows of a workshop, in order of time."""
    found = current(workshop, at)
    entries = [entry for group in groups_of(found) for entry in _entries(found, group)]
    return sorted(entries, key=lambda entry: (entry.at, str(entry.uid)))


def _entries(found: Current, group: Group) -> Iterator[Coming]:
    told = [rung for rung in group.rungs if _is_told(found, rung)]
    for gate in gates_shown(found, told):
        moment = gate.sure if gate.hurts else gate.acts.last if gate.opens else gate.acts.first
        if moment is not None and moment >= found.at - BACK:
            own = [rung for rung in told if rung.gate.kind == gate.kind]
            yield _entry(group, gate, moment, own)


def _is_told(found: Current, rung: Rung) -> bool:
    """Of what is in doubt only what frees its clamps and what closes: waiting clears no doubt."""
    kind = rung.gate.kind
    if rung.over or kind in SILENT or kind in TOO_SOON:
        return False
    return kind in TO_BE_DONE or not rung.gate.opens or not found.suspect(rung.wait)


def _entry(group: Group, gate: GateShown, moment: datetime, rungs: Sequence[Rung]) -> Coming:
    place = rungs[0].wait.place.name
    return Coming(
        uid=uuid5(group.id, f"calendar {gate.kind}"),
        group=group.id,
        at=moment,
        opens=gate.opens,
        summary=_summary(gate, _which(group, rungs)),
        description="\n".join(_description(gate, rungs)),
        place=place,
    )


def _summary(gate: GateShown, which: str) -> str:
    if gate.hurts:
        name = say(f"gate.{gate.kind}.name")
        return say("export.calendar.asks", name=name, which=which)
    act = say(f"gate.{gate.kind}.act")
    if gate.opens:
        return say("export.calendar.opens", act=act, which=which)
    return say("export.calendar.closes", act=act, which=which)


def _which(group: Group, rungs: Sequence[Rung]) -> str:
    tags = _tags(rungs)
    which = say("export.calendar.which", name=group.name, tags=tags)
    return which if len(which) <= LONGEST_WHICH else which[: LONGEST_WHICH - 1] + "…"


def _tags(rungs: Sequence[Rung]) -> str:
    return compressed(member.tag for rung in rungs for member in rung.members)


def _description(gate: GateShown, rungs: Sequence[Rung]) -> Iterator[str]:
    yield say(
        "export.calendar.of",
        tags=_tags(rungs),
        material=rungs[0].wait.label.material.name,
    )
    if gate.kind in BARS:
        yield say("export.calendar.until", bars=say(f"gate.{gate.kind}.bars"))
    if gate.kind in CLOSES:
        yield say(f"gate.{gate.kind}.closed_then")
    if gate.hurts:
        yield say("export.calendar.no_yes")
    if gate.kind == "spin":
        yield say("otherwise.spin")
    yield say("export.calendar.estimate")
