"""The care card: what goes with a piece to whoever will use it, with the day it may be used from."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from uuid import UUID

from django.db.models import Q

from cureclock.core.reminding.names import in_order
from cureclock.core.wording.say import say
from cureclock.exports.paper import Sheet
from cureclock.exports.waited import Waited, ages_of, waited
from cureclock.shop.lineage import below, closure
from cureclock.shop.models import Piece, Workshop
from cureclock.shop.refusals import Refusal
from cureclock.waits.models import Wait
from cureclock.waits.pieces import suspect_causes

CARD_MM = (105.0, 148.0)  # a sheet of A6
MARGIN_MM = 9.0
MOST = 500
LINES = ("export.card.until", "export.card.after", "export.card.estimate", "export.card.ask")
USED_FROM = ("service", "full_cure")  # what has to be past before it is used


@dataclass(frozen=True)
class Card:
    """What stands on one card.

    Attributes:
        used_from: not in use before that day; the slowest joint or film rules.
        because: what rules it.
        finishes: the names of the finishes on it.
    """

    piece: UUID
    tag: str
    what: str
    used_from: date
    because: str
    finishes: tuple[str, ...]


def cards_of(workshop: Workshop, pieces: Sequence[Piece], at: datetime) -> list[Card]:
    """The cards of pieces, in the order of their numbers.

    Raises:
        Refusal: a piece in doubt, or one of which nobody can say when it may be used.
    """
    if not 1 <= len(pieces) <= MOST:
        raise Refusal("piece", f"{len(pieces)} cards were asked for", f"ask for 1 to {MOST}")
    doubts = suspect_causes(workshop)
    parts = below([piece.id for piece in pieces])
    carried = {piece.id: closure([piece.id], parts) for piece in pieces}
    every = {part for own in carried.values() for part in own}
    chosen = Wait.objects.filter(
        Q(joint__isnull=False) | Q(zone__isnull=False), piece__in=every, open=True
    )
    told: dict[UUID, list[Waited]] = {}
    for group in waited(chosen, ages_of(chosen, at)):
        for one in group:
            told.setdefault(one.wait.piece_id, []).append(one)
    by_number = {piece.tag: piece for piece in pieces}
    cards = []
    for number in in_order(by_number):
        piece = by_number[number]
        if piece.id in doubts:
            wrong = f"{number} is in doubt: {say(f'suspect.{doubts[piece.id]}')}"
            raise Refusal("piece", wrong, "break a witness, or glue it anew, first", "in_doubt")
        own = [one for part in carried[piece.id] for one in told.get(part, ())]
        cards.append(_card(workshop, piece, own))
    return cards


def _card(workshop: Workshop, piece: Piece, own: Collection[Waited]) -> Card:
    """The slowest of its joints and films, by the figure on the safe side."""
    rows = [
        (times.sure or times.act, f"{one.wait.joint or one.wait.zone}, {gate.kind}", one)
        for one in own
        for gate, times in one.gates
        if gate.kind in USED_FROM
    ]
    silent = [one for one in own if not any(gate.kind in USED_FROM for gate, _ in one.gates)]
    known = [(moment, why, one) for moment, why, one in rows if moment is not None]
    if silent or not known or len(known) < len(rows):
        wrong = f"nobody can say when {piece.tag} may be used"
        mend = "read the labels of what is on it, or leave its card blank"
        raise Refusal("piece", wrong, mend, "unknown")
    moment, _, ruling = max(known, key=lambda row: row[0])
    finishes = dict.fromkeys(one.wait.label.material.name for one in own if one.wait.zone_id)
    return Card(
        piece=piece.id,
        tag=piece.tag,
        what=piece.what,
        used_from=_day(moment, workshop),
        because=ruling.wait.label.material.name,
        finishes=tuple(finishes),
    )


def _day(moment: datetime, workshop: Workshop) -> date:
    """The first whole day after an instant, by the shop's own clock."""
    local = moment.astimezone(workshop.tz)
    midnight = local.time() == local.min.time()
    return local.date() if midnight else local.date() + timedelta(days=1)


def print_cards(workshop: Workshop, cards: Sequence[Card]) -> bytes:
    """A PDF with a card a page."""
    sheet = Sheet(CARD_MM, say("export.card.title"))
    for number, card in enumerate(cards):
        if number:
            sheet.next_page()
        _draw(sheet, workshop, card)
    return sheet.bytes()


def _draw(sheet: Sheet, workshop: Workshop, card: Card) -> None:
    room, left = CARD_MM[0] - 2 * MARGIN_MM, MARGIN_MM
    y = CARD_MM[1] - MARGIN_MM - 6
    y = sheet.block(left, y, card.what or card.tag, 15, room, bold=True, most=3)
    y = sheet.block(left, y - 1, f"{card.tag}, {workshop.name}", 9, room, most=2)
    sheet.line([(left, y), (left + room, y)], 0.3)
    y = sheet.block(left, y - 9, say("export.card.not_before"), 11, room, bold=True)
    day = say(
        "export.card.day",
        day=card.used_from.day,
        month=say(f"time.month.{card.used_from.month}"),
        year=card.used_from.year,
    )
    y = sheet.block(left, y - 4, day, 20, room, bold=True)
    y = sheet.block(left, y - 1, say("export.card.because", material=card.because), 8.5, room)
    if card.finishes:
        names = ", ".join(card.finishes)
        y = sheet.block(left, y - 3, say("export.card.finishes", names=names), 8.5, room)
    for key in LINES:
        y = sheet.block(left, y - 3, say(key), 8.5, room)
