"""Tags to stick or hang on pieces: a number to be read from afar, and a code that opens the piece."""

from collections.abc import Sequence
from dataclasses import dataclass
from uuid import UUID

from cureclock.core.reminding.names import in_order, look_alikes
from cureclock.core.wording.say import say
from cureclock.exports.code import draw_code
from cureclock.exports.label_sheets import LabelSheet
from cureclock.exports.paper import Sheet, laid_out
from cureclock.shop.models import Piece, Workshop
from cureclock.shop.refusals import Refusal

PAD_MM = 2.0
LARGEST = 60.0  # size of the number, in points
CODE_OF_WIDTH, LARGEST_CODE_MM = 0.48, 30.0
DIGIT_HIGH = 0.73  # height of a digit of our font over its size
UNDERLINED, CROSSED = "69", "7"  # common practice, no source
MOST = 2000  # tags in one file


@dataclass(frozen=True)
class Tag:
    """What stands on one tag; `alike` are other numbers that it could be taken for."""

    piece: UUID
    number: str
    what: str
    batch: str
    alike: tuple[str, ...] = ()


def tags_of(workshop: Workshop, pieces: Sequence[Piece]) -> list[Tag]:
    """The tags of pieces in the order of their numbers, each with those it looks like."""
    every = list(Piece.objects.filter(workshop=workshop).values_list("tag", flat=True))
    alike: dict[str, list[str]] = {}
    for one, other in look_alikes(every):
        alike.setdefault(one, []).append(other)
        alike.setdefault(other, []).append(one)
    by_number = {piece.tag: piece for piece in pieces}
    return [
        Tag(
            piece.id,
            piece.tag,
            piece.what,
            piece.batch.name if piece.batch else "",
            tuple(alike.get(piece.tag, ())),
        )
        for piece in (by_number[number] for number in in_order(by_number))
    ]


def print_tags(
    tags: Sequence[Tag],
    labels: LabelSheet,
    base_url: str,
    *,
    start: int = 1,
    outline: bool = False,
) -> bytes:
    """A PDF of tags.

    Args:
        tags: in the order in which they are printed.
        labels: their size and how they lie.
        base_url: where the phones reach the server, without a slash at the end.
        start: the first label that is still on the sheet, 1 or more.
        outline: draw the edges, to cut them out of plain paper.

    Raises:
        Refusal: no tag, too many, or a first label that the sheet does not have.
    """
    if not 1 <= len(tags) <= MOST:
        raise Refusal("piece", f"{len(tags)} tags were asked for", f"ask for 1 to {MOST}")
    if not 1 <= start <= labels.labels:
        raise Refusal("start", f"{start} is no label of this sheet", f"1 to {labels.labels}")
    sheet = Sheet(labels.page_mm, say("export.tags.title"))
    corners = list(labels.corners())
    for place, tag in enumerate(tags, start - 1):
        if place % labels.labels == 0 and place > start - 1:
            sheet.next_page()
        corner = corners[place % labels.labels]
        if outline:
            _edge(sheet, labels, *corner)
        _draw(sheet, labels, tag, f"{base_url}/piece/{tag.piece}", corner)
    return sheet.bytes()


def _draw(
    sheet: Sheet, labels: LabelSheet, tag: Tag, link: str, corner: tuple[float, float]
) -> None:
    x, y = corner
    high = labels.height_mm - 2 * PAD_MM
    side = min(high, labels.width_mm * CODE_OF_WIDTH - PAD_MM, LARGEST_CODE_MM)
    draw_code(
        sheet, link, x + labels.width_mm - PAD_MM - side, y + PAD_MM + (high - side) / 2, side
    )
    left, room = x + PAD_MM, labels.width_mm - 3 * PAD_MM - side
    small = min(9.0, max(5.0, high * 0.32))
    step = small * 1.3 / sheet.mm
    said = [tag.what, tag.batch]
    if tag.alike:
        said.append(say("export.tags.alike", others=", ".join(tag.alike)))
    below = [words for words in said if words]
    base = y + PAD_MM + 0.3 * step
    for place, words in enumerate(reversed(below)):
        sheet.words(left, base + place * step, words, small, room=room)
    above = high - len(below) * step
    tall = above * sheet.mm / (DIGIT_HIGH + 0.25)
    size = sheet.size_that_fits(tag.number, room, min(tall, LARGEST), bold=True, least=1)
    draw_number(sheet, tag.number, left, y + PAD_MM + high - size * DIGIT_HIGH / sheet.mm, size)


def draw_number(sheet: Sheet, number: str, x: float, y: float, size: float) -> None:
    """A number whose 6 and 9 are underlined and whose 7 is crossed, so that it reads one way."""
    em = size / sheet.mm
    left = x
    for sign in laid_out(number):
        wide = sheet.width_of(sign, size, bold=True)
        sheet.words(left, y, sign, size, bold=True)
        if sign in UNDERLINED:
            under = y - 0.13 * em
            sheet.line([(left + 0.08 * wide, under), (left + 0.92 * wide, under)], 0.07 * em)
        elif sign in CROSSED:
            middle = y + 0.34 * em
            sheet.line([(left + 0.18 * wide, middle), (left + 0.82 * wide, middle)], 0.08 * em)
        left += wide


def _edge(sheet: Sheet, labels: LabelSheet, x: float, y: float) -> None:
    right, top = x + labels.width_mm, y + labels.height_mm
    sheet.line([(x, y), (right, y), (right, top), (x, top), (x, y)], 0.1)
