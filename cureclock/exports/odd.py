"""What went otherwise than planned in a batch: early, cold, late, opened, lost, and who said so."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from cureclock.core.reminding.names import compressed
from cureclock.core.units import HOUR_US
from cureclock.core.wording.say import say
from cureclock.exports.spoken import Spoken
from cureclock.exports.waited import Waited, group_name
from cureclock.shop.models import Event, Joint, Piece, Zone
from cureclock.waits.current import RUNG
from cureclock.waits.models import Suspicion, Wait

LATE = ("pressed_late", "pot_life_over")
LINES = {
    "override": "export.odd.override",
    "joint_opened": "export.odd.opened",
    "piece_lost": "export.odd.lost",
    "coat_stripped": "export.odd.stripped",
    "records_swapped": "export.odd.swapped",
    "witness": "export.odd.witness",
    "checked": "export.odd.bad",
}
GATE_OF = {"cold": "keep_warm", "off_early": "clamps_off"}


@dataclass(frozen=True)
class Odd:
    """One thing that went otherwise; lines of one batch are told in order of time.

    Attributes:
        kind: cold, off_early, another cause of doubt, window, or the happening that tells it.
        about: the glue-up or coat, else the piece.
        tags: of the pieces it concerns; empty where it concerns the whole group.
        event: the happening behind it, where it is one.
    """

    at: datetime
    words: str
    kind: str
    about: UUID | None
    tags: tuple[str, ...] = ()
    who: str = ""
    why: str = ""
    event: UUID | None = None


def odd_of(groups: Iterable[Sequence[Waited]], told: Sequence[Event], spoken: Spoken) -> list[Odd]:
    """Everything odd about a batch.

    Args:
        groups: its waits, those of one glue-up or coat together, the earliest first.
        told: what was told of it and stands, in order of time.
        spoken: how times are said.
    """
    every = [*groups]
    found = [odd for group in every for odd in _doubts(group, spoken)]
    found += _windows([one for group in every for one in group], spoken)
    found += _told(told, spoken)
    return sorted(found, key=lambda odd: odd.at)


def _doubts(group: Sequence[Waited], spoken: Spoken) -> Iterator[Odd]:
    """One line for each cause and instant, with the pieces it stands against."""
    same: dict[tuple[str, datetime], list[tuple[Waited, Suspicion]]] = {}
    for one in group:
        for doubt in one.doubts:
            if doubt.cause != "override":  # its own line says who and why
                same.setdefault((doubt.cause, doubt.at), []).append((one, doubt))
    for (cause, at), rows in same.items():
        tags = tuple(dict.fromkeys(one.wait.piece.tag for one, _ in rows))
        which = _which(rows[0][0].wait, tags)
        words = _doubt(cause, which, *rows[0], spoken)
        yield Odd(at, words, cause, subject_of(rows[0][0].wait), tags)


def _doubt(cause: str, which: str, told: Waited, doubt: Suspicion, spoken: Spoken) -> str:
    at = spoken.closes(doubt.at)
    gate = told.gate(GATE_OF.get(cause, "")) or told.gate("clamps_off_stressed")
    banked = spoken.hours((doubt.banked_us or 0) / HOUR_US)
    need = spoken.hours(gate[0].need_us / HOUR_US) if gate else ""
    cleared = say("export.odd.cleared") if doubt.cleared_by else ""
    if cause == "cold":
        temp = f"{doubt.temp_c:.1f}" if doubt.temp_c is not None else ""
        words = say("export.odd.cold", which=which, temp=temp, at=at, banked=banked, need=need)
    elif cause == "off_early":
        words = say("export.odd.off_early", which=which, at=at, banked=banked, need=need)
    elif cause in LATE:
        words = say("export.odd.late", which=which, at=at, cause=say(f"suspect.{cause}"))
    else:
        words = say("export.odd.suspect", which=which, at=at, cause=say(f"suspect.{cause}"))
    return f"{words} {cleared}".strip()


def _windows(every: Sequence[Waited], spoken: Spoken) -> Iterator[Odd]:
    """Coats that went on after the window of the coat below had shut, those of one coat together."""
    late: dict[UUID | None, list[Late]] = {}
    for one in late_coats(every):
        late.setdefault(one.wait.coat_id, []).append(one)
    for rows in late.values():
        at = min(one.shut_at for one in rows)
        tags = tuple(dict.fromkeys(one.wait.piece.tag for one in rows))
        words = say(
            "export.odd.window",
            which=_which(rows[0].wait, tags),
            shut=spoken.closes(at),
            coated=spoken.closes(min(one.wait.began_at for one in rows)),
        )
        yield Odd(at, words, "window", rows[0].below, tags)


@dataclass(frozen=True)
class Late:
    """A coat on a zone whose window had shut: when it had, and the coat below."""

    wait: Wait
    shut_at: datetime
    below: UUID | None


def late_coats(every: Iterable[Waited]) -> Iterator[Late]:
    """Every zone that was coated after the window of the coat below had shut."""
    below: dict[UUID, Waited] = {}
    for one in sorted((w for w in every if w.wait.zone_id), key=lambda w: w.wait.began_at):
        zone, coat = one.wait.zone_id, one.wait.coat
        assert zone is not None
        before = below.get(zone)
        shut = before.gate("recoat_closes") if before else None
        if before and shut and shut[1].act and coat and one.wait.began_at > shut[1].act:
            yield Late(one.wait, shut[1].act, before.wait.coat_id)
        below[zone] = one


def _told(told: Sequence[Event], spoken: Spoken) -> Iterator[Odd]:
    names = _names(told)
    for event in told:
        words = _event(event, names, spoken)
        if words:
            yield Odd(
                event.happened_at,
                words,
                event.kind,
                event.glue_up_id or event.coat_id or event.piece_id,
                _tags(event, names),
                event.person.name if event.person else "",
                _reason(event),
                event.id,
            )


def _tags(event: Event, names: Mapping[UUID, str]) -> tuple[str, ...]:
    """The pieces a happening names."""
    if event.kind == "records_swapped":
        ids = [UUID(str(event.body[name])) for name in ("first", "second")]
    else:
        named = (*event.body.get("joints", ()), *event.body.get("zones", ()))
        ids = [UUID(one["id"] if isinstance(one, dict) else one) for one in named]
    found = tuple(dict.fromkeys(names[one] for one in ids if one in names))
    return found or ((event.piece.tag,) if event.piece else ())


def _reason(event: Event) -> str:
    body = event.body
    return str(body.get("why") or body.get("reason") or body.get("note") or "")


def subject_of(wait: Wait) -> UUID | None:
    """The glue-up, coat or hold a wait is of."""
    return wait.glue_up_id or wait.coat_id or wait.hold_id


def _event(event: Event, names: Mapping[UUID, str], spoken: Spoken) -> str:
    """The line of a happening, nothing where there is nothing odd about it."""
    body = event.body
    if event.kind not in LINES or (event.kind == "checked" and body.get("result") != "bad"):
        return ""
    swapped = event.kind == "records_swapped"
    return say(
        LINES[event.kind],
        which=_both(body, names) if swapped else _about(event, names),
        at=spoken.closes(event.happened_at),
        who=event.person.name if event.person else say("export.odd.nobody"),
        why=_reason(event) or "–",
        act=_act(str(body.get("act") or body.get("gate") or "")),
        torn=body.get("torn_tenths"),
    )


def _act(kind: str) -> str:
    """An act in words, where it is one of a gate."""
    return say(f"gate.{kind}.name") if kind in RUNG else kind


def _both(body: Mapping[str, object], names: Mapping[UUID, str]) -> str:
    ids = (UUID(str(body[name])) for name in ("first", "second"))
    return compressed(names.get(ident, "") for ident in ids)


def _about(event: Event, names: Mapping[UUID, str]) -> str:
    """What a happening is about: the pieces it names, else its piece, else its whole group."""
    named = [
        one["id"] if isinstance(one, dict) else one
        for one in (*event.body.get("joints", ()), *event.body.get("zones", ()))
    ]
    group = str(event.glue_up or event.coat or "")
    if named:
        return f"{group} {compressed(names.get(UUID(one), '') for one in named)}".strip()
    return event.piece.tag if event.piece else group


def _names(told: Sequence[Event]) -> dict[UUID, str]:
    """The tag behind every joint, zone or piece that the happenings name."""
    ids: set[UUID] = set()
    for event in told:
        for one in (*event.body.get("joints", ()), *event.body.get("zones", ())):
            ids.add(UUID(one["id"] if isinstance(one, dict) else one))
        ids.update(
            UUID(str(event.body[name])) for name in ("first", "second") if name in event.body
        )
    rows = [
        *Joint.objects.filter(id__in=ids).values_list("id", "piece__tag"),
        *Zone.objects.filter(id__in=ids).values_list("id", "piece__tag"),
        *Piece.objects.filter(id__in=ids).values_list("id", "tag"),
    ]
    return dict(rows)


def _which(wait: Wait, tags: Iterable[str]) -> str:
    return say("export.calendar.which", name=group_name(wait), tags=compressed(tags))
