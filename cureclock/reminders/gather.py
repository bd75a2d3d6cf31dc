"""Gathering: one alert for a group of pieces, or several where their ends are far apart."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

import numpy as np

from cureclock.core.clock import NEVER
from cureclock.core.groups import split_alerts
from cureclock.core.units import instant_us, moment_of
from cureclock.waits.ages import Ages
from cureclock.waits.figures import figures_of
from cureclock.waits.models import Gate, Wait
from cureclock.waits.passing import Passed
from cureclock.waits.standing import PENDING

Key = tuple[UUID, str, str]  # about, gate, kind of alert
SUBJECTS = ("glue_up", "coat", "hold")
MANY = 5000  # waits in one question; SQLite takes some thirty thousand values


@dataclass(frozen=True)
class Gathering:
    """Pieces of one group whose gate is told of together.

    Attributes:
        first: one of the gates that passed.
        waits: every wait it speaks of, those that have yet to pass among them.
        due_at: when the first of them passed.
        tell_at: when the last of them will have.
    """

    key: Key
    first: Passed
    waits: tuple[UUID, ...]
    due_at: datetime
    tell_at: datetime


def gatherings(groups: Mapping[Key, Sequence[Passed]], at: datetime) -> Iterator[Gathering]:
    """What is told together of gates that passed, each group with those that soon will."""
    coming = _coming(groups, at)
    for key, rows in groups.items():
        others = coming.get(key, ())
        if others:
            yield from _split(key, rows, others, at)
        else:
            yield _whole(key, rows, at)


def _whole(key: Key, rows: Sequence[Passed], at: datetime) -> Gathering:
    """All that passed: nobody has to be waited for."""
    return Gathering(key, rows[0], tuple(one.wait for one in rows), min(r.at for r in rows), at)


def _split(
    key: Key, rows: Sequence[Passed], others: Sequence[tuple[UUID, int]], at: datetime
) -> Iterator[Gathering]:
    """Parts of a group in which something passed; those that passed whole are told as one."""
    waits = [*(one.wait for one in rows), *(wait for wait, _ in others)]
    due = np.array([*(instant_us(one.at) for one in rows), *(us for _, us in others)])
    split = split_alerts(due)
    whole: list[Passed] = []
    for part in sorted(set(split.part[: len(rows)].tolist())):
        inside = np.flatnonzero(split.part == part).tolist()
        own = [rows[place] for place in inside if place < len(rows)]
        if len(own) == len(inside):
            whole += own
            continue
        yield Gathering(
            key,
            own[0],
            tuple(waits[place] for place in inside),
            min(one.at for one in own),
            moment_of(int(split.last_us[part])),
        )
    if whole:
        yield _whole(key, whole, at)


def _coming(
    groups: Mapping[Key, Sequence[Passed]], at: datetime
) -> dict[Key, list[tuple[UUID, int]]]:
    """The pieces of these groups that have yet to pass, and when they are expected to [us]."""
    kinds = {(about, gate): key for key in groups for about, gate, _ in [key]}
    waits = _waits(groups)
    passed = {(one.wait, gate) for (_, gate, _), rows in groups.items() for one in rows}
    others = {
        wait: about
        for about, gate in kinds
        for wait in waits.get(about, ())
        if (wait, gate) not in passed
    }
    found: dict[Key, list[tuple[UUID, int]]] = {}
    _add(found, kinds, others, at)
    return found


def _waits(groups: Mapping[Key, Sequence[Passed]]) -> dict[UUID, list[UUID]]:
    """The open waits of these groups, by group."""
    found: dict[UUID, list[UUID]] = {}
    for subject in SUBJECTS:
        abouts = {one.about for rows in groups.values() for one in rows if one.subject == subject}
        if abouts:
            own = Wait.objects.filter(**{f"{subject}__in": abouts}, open=True)
            for wait, about in own.values_list("id", f"{subject}_id"):
                found.setdefault(about, []).append(wait)
    return found


def _add(
    found: dict[Key, list[tuple[UUID, int]]],
    kinds: Mapping[tuple[UUID, str], Key],
    others: Mapping[UUID, UUID],
    at: datetime,
) -> None:
    """Gates are looked up by their waits: by kind and state it was all there are of that kind."""
    asked = {gate for _, gate in kinds}
    pending = Gate.objects.filter(kind__in=asked, state__in=PENDING).with_clocks()
    idents, gates = list(others), []
    for start in range(0, len(idents), MANY):
        some = pending.filter(wait__in=idents[start : start + MANY])
        gates += [gate for gate in some if (others[gate.wait_id], gate.kind) in kinds]
    if not gates:
        return
    times = figures_of(gates, Ages(min(gate.stay_at for gate in gates), at))
    for gate in gates:
        acts = times[gate.id].sure if gate.hurts else times[gate.id].act
        key = kinds[others[gate.wait_id], gate.kind]
        found.setdefault(key, []).append(
            (gate.wait_id, NEVER if acts is None else instant_us(acts))
        )
