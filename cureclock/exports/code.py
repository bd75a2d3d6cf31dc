"""The square code that a phone's camera reads, drawn sharp at any size."""

from cureclock.exports.paper import Sheet
from cureclock.shop.refusals import Refusal

QUIET = 4  # modules left white around it (ISO/IEC 18004)
LEAST_MODULE_MM = (
    0.3  # what an ordinary printer and camera still manage; common practice, no source
)


def draw_code(sheet: Sheet, link: str, x: float, y: float, side_mm: float) -> None:
    """Draw a link as a code into a square, its white border included.

    Raises:
        Refusal: the square is too small for a code of this link.
    """
    import segno  # noqa: PLC0415 - seldom needed

    rows = [bytes(row) for row in segno.make(link, error="m", micro=False).matrix]
    module = side_mm / (len(rows) + 2 * QUIET)
    if module < LEAST_MODULE_MM:
        raise Refusal(
            "sheet", "the labels are too small for a code that can be read", "take larger ones"
        )
    pen, mm = sheet.pen, sheet.mm
    pen.setFillGray(0)
    path = pen.beginPath()
    for down, row in enumerate(rows):
        top = y + side_mm - (QUIET + down + 1) * module
        for start, end in _runs(row):
            left = x + (QUIET + start) * module
            path.rect(left * mm, top * mm, (end - start) * module * mm, module * mm)
    pen.drawPath(path, stroke=0, fill=1)


def _runs(row: bytes) -> list[tuple[int, int]]:
    """From where to where the modules of a row are dark.

    >>> _runs(b"\\x01\\x01\\x00\\x01")
    [(0, 2), (3, 4)]
    """
    found: list[tuple[int, int]] = []
    for place, dark in enumerate(row):
        if dark and found and found[-1][1] == place:
            found[-1] = (found[-1][0], place + 1)
        elif dark:
            found.append((place, place + 1))
    return found
