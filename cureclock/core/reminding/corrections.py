"""What was announced and is not so: found by comparing what was said with what is true now."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from cureclock.core.reminding.due_gates import TOLD_IF_SUSPECT
from cureclock.core.reminding.facts import Facts, GateFact, Shop
from cureclock.core.reminding.kinds import BARS, CLOSES, HURTS, Kind
from cureclock.core.reminding.quiet import breaks_quiet
from cureclock.core.reminding.wants import Said, Want, Wanted, ring
from cureclock.core.reminding.who import addressed, concerned
from cureclock.core.units import MINUTE_US

BY_US = 10 * MINUTE_US  # an ordinary time is corrected when it was so far out; our choice


@dataclass(frozen=True)
class Corrected:
    """A correction that is due at once.

    Attributes:
        wanted: the reminder; its about_us is what is true now, None where nobody can say.
        of: key of the alert that is no longer so.
        was_us: what that one said [us].
        suspect: a piece is suspect or barred: no time helps.
    """

    wanted: Wanted
    of: str
    was_us: int
    suspect: bool


def corrections(
    said: Sequence[Said], facts: Facts, shop: Shop, at_us: int
) -> tuple[Corrected, ...]:
    """Announced gates that are not so after all.

    Args:
        said: what has gone out.
        facts: figures and states as they stand now.
        shop: who can be told.
        at_us: now [us].

    Returns:
        Corrected, one for each alert. A gate that can hurt, and the lathe, whatever the size; the
        others where the time was out by ten minutes. A gate that opened later than was said, but
        is open now, needs none. Who was told is told again, and who is there.

    Valid for: alerts that a gate opened which forbids something, that one will close, and those
        for the lathe. A call to an act (scrape, wipe again, look for drips) is not taken back.

    Source: our choice of the ten minutes.
    """
    standing = [
        one for one in said if one.stands and one.about_us is not None and one.gate in BARS | CLOSES
    ]
    compared = [(one, _untrue(one, facts, at_us)) for one in standing]
    return tuple(_correct(one, found, shop, at_us) for one, untrue in compared for found in untrue)


@dataclass(frozen=True)
class _Untrue:
    tags: tuple[str, ...]
    now_us: int | None
    suspect: bool


def _untrue(one: Said, facts: Facts, at_us: int) -> Iterator[_Untrue]:
    """What of one alert is not so; nothing where it still stands."""
    if one.kind in {Kind.SURE, Kind.ASK_LATHE}:
        yield from _lathe(one, facts, at_us)
    elif one.kind in {Kind.OPENS, Kind.CLOSING}:
        rows = [
            row
            for row in facts.gates
            if (row.subject, row.gate) == (one.subject, one.gate)
            and row.tag in one.tags
            and not row.over
        ]
        yield from (_opened if one.kind == Kind.OPENS else _closes)(one, rows, at_us)


def _lathe(one: Said, facts: Facts, at_us: int) -> Iterator[_Untrue]:
    """Pieces told to be past that are barred, or short again."""
    rows = [
        piece
        for piece in facts.pieces
        if piece.batch == one.subject and piece.tag in one.tags and not piece.over
    ]
    wrong = [row for row in rows if row.barred or row.sure_us is None or row.sure_us > at_us]
    if wrong:
        tags = tuple(row.tag for row in wrong)
        barred = any(row.barred for row in wrong)
        sure = [row.sure_us for row in wrong]
        known = None if barred or None in sure else max(at for at in sure if at is not None)
        yield _Untrue(tags, known, barred)


def _opened(one: Said, rows: Sequence[GateFact], at_us: int) -> Iterator[_Untrue]:
    """Pieces whose gate is not open after all."""
    suspect = [row for row in rows if row.suspect and row.gate not in TOLD_IF_SUSPECT]
    shut = [row for row in rows if row.act_us is None or row.act_us > at_us]
    wrong = [row for row in rows if row in suspect or row in shut]
    if not wrong:
        return
    acts = [row.act_us for row in wrong]
    known = None if suspect or None in acts else max(at for at in acts if at is not None)
    said_us = 0 if one.about_us is None else one.about_us
    if known is None or one.gate in HURTS or known - said_us >= BY_US:
        yield _Untrue(tuple(row.tag for row in wrong), known, bool(suspect))


def _closes(one: Said, rows: Sequence[GateFact], at_us: int) -> Iterator[_Untrue]:
    """Pieces whose gate closes sooner than was said, and has not closed yet."""
    said_us = 0 if one.about_us is None else one.about_us
    sooner = [
        row for row in rows if row.act_us is not None and at_us < row.act_us <= said_us - BY_US
    ]
    if sooner:
        known = min(row.act_us for row in sooner if row.act_us is not None)
        yield _Untrue(tuple(row.tag for row in sooner), known, False)


def _correct(one: Said, found: _Untrue, shop: Shop, at_us: int) -> Corrected:
    """The correction of one alert, to those who heard it and those who are there."""
    what = Want(Kind.CORRECTION, one.subject, one.gate, found.tags, one.part, f"of {one.kind}")
    plain = ring(shop, what, at_us, about_us=found.now_us)
    keys = {*one.people, *concerned(shop.people, at_us)}
    to = addressed(shop.people, keys, at_us, breaks_quiet(Kind.CORRECTION, one.gate))
    return Corrected(
        wanted=replace(plain, to=to, listed=False),
        of=one.key,
        was_us=0 if one.about_us is None else one.about_us,
        suspect=found.suspect,
    )
