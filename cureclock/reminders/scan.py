"""What a look looks at: gates about to close or worth a try, doubts, cold ahead, silent places.

Only what is near: gates that open are found by their thresholds when they come, and of very many
waits only those whose end is at hand are loaded.
"""

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from uuid import UUID

from django.db.models import Min, Q

from cureclock.core.reminding.due_gates import TRIED
from cureclock.core.reminding.facts import DoubtFact, Facts, GateFact, PlaceFact
from cureclock.core.reminding.kinds import CLOSES, OF_MINUTES, Kind
from cureclock.core.stance import Stance
from cureclock.core.units import instant_us
from cureclock.reminders.silence import last_words
from cureclock.shop.airs import place_airs
from cureclock.shop.models import Workshop
from cureclock.waits.ages import Ages
from cureclock.waits.current import Current, Rung
from cureclock.waits.foretold import Foresight, foretold_of
from cureclock.waits.models import Clock, Gate, Suspicion, Wait
from cureclock.waits.standing import PENDING

NEAR = timedelta(hours=40)  # until the end of the next working day; our choice
LEAST_HANDS = timedelta(minutes=15)  # an act with tools takes no less; our choice
MOST = 2000  # waits of one look; those that end first


@dataclass
class Seen:
    """The facts of a look, and the waits behind each of them.

    Attributes:
        waits: by subject, gate or cause, and tag of the piece.
        ends: of each foretold group, when it sets in [us].
    """

    facts: Facts
    waits: dict[tuple[str, str, str], UUID] = field(default_factory=dict)
    ends: dict[tuple[str, str], int] = field(default_factory=dict)


def near(workshop: Workshop, at: datetime) -> set[UUID]:
    """The open waits of which something near may have to be said."""
    chosen = Q(id__in=_ending(workshop, at)) | _forming()
    waits = Wait.objects.filter(chosen, workshop=workshop, open=True)
    return set(waits.values_list("id", flat=True))


def scan(loaded: Current, waits: Collection[UUID]) -> Seen:
    """Everything near that may have to be said of a workshop, a few queries in all.

    Args:
        loaded: these waits, and perhaps others.
        waits: those that are near.
    """
    workshop, at = loaded.workshop, loaded.at
    found = replace(
        loaded,
        waits=[wait for wait in loaded.waits if wait.id in waits],
        rungs={wait: rungs for wait, rungs in loaded.rungs.items() if wait in waits},
    )
    seen = Seen(Facts())
    gates = list(_gates(found, seen))
    doubts = [*_suspect(workshop, seen, at), *_foretold(found, seen, at)]
    seen.facts = Facts(gates=gates, doubts=doubts, places=list(_places(workshop)))
    return seen


def _forming() -> Q:
    """Films that are still forming, and what may fall asleep."""
    forming = Gate.objects.filter(kind="keep_warm", state=Gate.State.WAITING)
    sleeps = Gate.objects.filter(
        opens=True, state__in=PENDING, act_clock__response__sleep_below_c__isnull=False
    )
    return Q(floor_c__isnull=False, id__in=forming.values("wait")) | Q(id__in=sleeps.values("wait"))


def _ending(workshop: Workshop, at: datetime) -> list[UUID]:
    """Waits with a gate that closes soon, or that is soon worth a try."""
    found: list[tuple[int, UUID]] = []
    rows = Clock.objects.filter(workshop=workshop, next_threshold_us__isnull=False)
    rows = rows.filter(stance__in=(Stance.QUICK, Stance.SLOW)).select_related("place__workshop")
    for row, age_us in _ages_ahead(list(rows), at):
        slack = sum(max(-constant, 0) for _, _, constant in row.corrections)
        soon = Gate.objects.filter(
            act_clock=row,
            hurts=False,  # none of those kinds does; it is the index that is told
            state__in=PENDING,
            kind__in=CLOSES if row.stance == Stance.QUICK else TRIED,
            act_us__lte=age_us + slack,
        )
        ids = soon.order_by("act_us").only("act_us", "wait_id")[:MOST]
        found += [((gate.act_us or 0) - row.age_us, gate.wait_id) for gate in ids]
    return list(dict.fromkeys(wait for _, wait in sorted(found)))[:MOST]


def _ages_ahead(rows: Sequence[Clock], at: datetime) -> Iterator[tuple[Clock, int]]:
    """Each clock with its age [us] when what is near ends; the air of all places read at once."""
    since = {row.place: min(row.read_at, at) for row in rows}
    airs = place_airs(since)
    ages = {place.id: Ages(begun, at, {place.id: airs[place.id]}) for place, begun in since.items()}
    for row in rows:
        clock = ages[row.place_id].of_row(row)
        gained = clock.age_at(instant_us(at + NEAR)) - clock.age_at(instant_us(row.read_at))
        yield row, row.age_us + int(gained)


def _gates(found: Current, seen: Seen) -> Iterator[GateFact]:
    groups: dict[tuple[str, str], list[Rung]] = {}
    for rungs in found.rungs.values():
        for rung in rungs:
            if rung.gate.kind in CLOSES | TRIED and rung.gate.state != Gate.State.REACHED:
                groups.setdefault((about_of(rung.wait), rung.gate.kind), []).append(rung)
    for (subject, kind), rungs in groups.items():
        hands_us = _hands_us(kind, rungs)
        for rung in rungs:
            seen.waits[subject, kind, rung.wait.piece.tag] = rung.wait.id
            yield _fact(found, subject, rung, hands_us)


def _fact(found: Current, subject: str, rung: Rung, hands_us: int) -> GateFact:
    times, closes = rung.times, not rung.gate.opens
    window = None
    if rung.gate.kind == "recoat_closes":
        opens = [one for one in found.rungs[rung.wait.id] if one.gate.kind == "recoat_opens"]
        window = opens[0].times.act if opens else None
    return GateFact(
        subject=subject,
        tag=rung.wait.piece.tag,
        gate=rung.gate.kind,
        act_us=_us(times.act),
        check_us=_us(times.check_from) if rung.gate.kind in TRIED else None,
        warn_us=_us(times.warn) if closes else None,
        window_us=_us(window),
        hands_us=hands_us if closes else 0,
        over=rung.over,
        suspect=found.suspect(rung.wait),
    )


def _hands_us(kind: str, rungs: Sequence[Rung]) -> int:
    """How long the act takes for the whole group: as long as the coat took, and no less than that."""
    if kind in OF_MINUTES:
        return 0
    starts = [rung.gate.began_at for rung in rungs]
    return int(max(max(starts) - min(starts), LEAST_HANDS) / timedelta(microseconds=1))


def _us(moment: datetime | None) -> int | None:
    return None if moment is None else instant_us(moment)


def about_of(wait: Wait) -> str:
    """The id of the group a wait belongs to."""
    return str(wait.glue_up_id or wait.coat_id or wait.hold_id)


def _suspect(workshop: Workshop, seen: Seen, at: datetime) -> Iterable[DoubtFact]:
    """Doubts that stand, a fact for each group and cause."""
    rows = Suspicion.objects.filter(workshop=workshop, cleared_by=None, wait__open=True)
    groups: dict[tuple[str, str], list[str]] = {}
    for row in rows.select_related("wait__piece"):
        key = (about_of(row.wait), row.cause)
        groups.setdefault(key, []).append(row.wait.piece.tag)
        seen.waits[(*key, row.wait.piece.tag)] = row.wait_id
    for (subject, cause), tags in groups.items():
        yield DoubtFact(subject, Kind.SUSPECT, sorted(tags), instant_us(at), cause)


def _foretold(found: Current, seen: Seen, at: datetime) -> Iterable[DoubtFact]:
    """What the expected air will spoil or put to sleep, group by group."""
    foresight = Foresight(found.ages)
    groups: dict[str, list[Rung]] = {}
    for wait in found.waits:
        if not found.suspect(wait):
            groups.setdefault(about_of(wait), []).extend(found.rungs.get(wait.id, ()))
    for subject, rungs in groups.items():
        for told in foretold_of(found, foresight, rungs):
            kind = Kind.COLD if told.cause == "cold" else Kind.ASLEEP
            seen.ends[subject, kind] = instant_us(told.at)
            tags = {rung.wait.piece.tag: rung.wait.id for rung in rungs}
            seen.waits.update({(subject, kind, tag): wait for tag, wait in tags.items()})
            yield DoubtFact(subject, kind, sorted(tags), instant_us(at))


def _places(workshop: Workshop) -> Iterable[PlaceFact]:
    """Places in which something waits, and when they were last read."""
    pending = Gate.objects.filter(wait__workshop=workshop, wait__open=True, state__in=PENDING)
    waiting = pending.values("wait__place").annotate(since=Min("wait__began_at"))
    since: Mapping[UUID, datetime] = {row["wait__place"]: row["since"] for row in waiting}
    words = last_words(since)
    for place, began in since.items():
        last = words[place]
        yield PlaceFact(str(place), _us(last.at), instant_us(began), last.patience_us)
