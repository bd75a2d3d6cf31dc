"""Paper: pages in millimetres, words in any script, and the right way round."""

import io
import unicodedata
from collections.abc import Sequence
from functools import cache
from importlib.resources import as_file, files
from typing import Any

A4_MM = (210.0, 297.0)
PLAIN, BOLD = "DejaVuSans", "DejaVuSans-Bold"
FROM_THE_RIGHT = frozenset({"R", "AL", "AN"})  # Unicode's classes of letters and digits
CUT = "…"


class Sheet:
    """A PDF in the making: x and y from the lower left corner, lengths in millimetres, sizes in points.

    Args:
        size_mm: width and height of its pages.
        title: what the file is called inside.
    """

    def __init__(self, size_mm: tuple[float, float], title: str) -> None:
        from reportlab.lib.units import mm  # noqa: PLC0415 - heavy
        from reportlab.pdfgen.canvas import Canvas  # noqa: PLC0415

        _fonts()
        self.mm: float = mm
        self.width, self.height = size_mm
        self._out = io.BytesIO()
        # Without a date of its own: the same rows give the same bytes.
        self.pen: Any = Canvas(self._out, (self.width * mm, self.height * mm), invariant=1)
        self.pen.setTitle(title)
        self.pen.setCreator("CureClock")

    def width_of(self, words: str, size: float, *, bold: bool = False) -> float:
        """How wide words come out."""
        found: float = self.pen.stringWidth(laid_out(words), BOLD if bold else PLAIN, size)
        return found / self.mm

    def words(
        self,
        x: float,
        y: float,
        words: str,
        size: float,
        *,
        bold: bool = False,
        room: float | None = None,
        align: str = "left",
        grey: float = 0.0,
    ) -> None:
        """One line; what does not fit the room is cut, and seen to be."""
        if room is not None:
            words = self._cut(words, size, room, bold)
        self.pen.setFont(BOLD if bold else PLAIN, size)
        self.pen.setFillGray(grey)
        draw = {
            "left": self.pen.drawString,
            "right": self.pen.drawRightString,
            "middle": self.pen.drawCentredString,
        }[align]
        draw(x * self.mm, y * self.mm, laid_out(words))

    def block(
        self,
        x: float,
        y: float,
        words: str,
        size: float,
        room: float,
        *,
        bold: bool = False,
        most: int = 50,
    ) -> float:
        """Words over as many lines as they need; the height of the line below the last."""
        step = size * 1.35 / self.mm
        for line in self.lines(words, size, room, bold=bold)[:most]:
            self.words(x, y, line, size, bold=bold, room=room)
            y -= step
        return y

    def lines(self, words: str, size: float, room: float, *, bold: bool = False) -> list[str]:
        """Words broken between them into lines that fit."""
        found: list[str] = []
        line = ""
        for word in words.split():
            longer = f"{line} {word}".strip()
            if line and self.width_of(longer, size, bold=bold) > room:
                found.append(line)
                longer = word
            line = longer
        return [*found, line] if line else found

    def size_that_fits(
        self, words: str, room: float, most: float, *, bold: bool = False, least: float = 4
    ) -> float:
        """The largest size up to `most` at which words fit the room."""
        wide = self.width_of(words, most, bold=bold)
        return max(most if wide <= room else most * room / wide, least)

    def line(self, points: Sequence[tuple[float, float]], width: float = 0.2) -> None:
        """A line through points."""
        path = self.pen.beginPath()
        path.moveTo(*(part * self.mm for part in points[0]))
        for point in points[1:]:
            path.lineTo(*(part * self.mm for part in point))
        self.pen.setLineWidth(width * self.mm)
        self.pen.drawPath(path)

    def box(self, x: float, y: float, width: float, height: float, *, grey: float) -> None:
        """A filled rectangle."""
        self.pen.setFillGray(grey)
        sides = (part * self.mm for part in (x, y, width, height))
        self.pen.rect(*sides, stroke=0, fill=1)

    def next_page(self) -> None:
        """The page is full."""
        self.pen.showPage()

    def bytes(self) -> bytes:
        """The PDF."""
        self.pen.save()
        return self._out.getvalue()

    def _cut(self, words: str, size: float, room: float, bold: bool) -> str:
        if self.width_of(words, size, bold=bold) <= room:
            return words
        kept = len(words)
        low = 0
        while low < kept:  # the longest beginning that fits, by halving
            middle = (low + kept + 1) // 2
            if self.width_of(words[:middle] + CUT, size, bold=bold) <= room:
                low = middle
            else:
                kept = middle - 1
        return words[:low].rstrip() + CUT


def laid_out(words: str) -> str:
    """Words as they lie on paper from left to right: Arabic letters joined, scripts in their order.

    Args:
        words: any text.

    Returns:
        Its letters in the order in which they are drawn; signs that are not drawn left out.

    >>> laid_out("oak\\n12")
    'oak 12'
    """
    plain = "".join(_drawn(sign) for sign in words)
    if not any(unicodedata.bidirectional(sign) in FROM_THE_RIGHT for sign in plain):
        return plain
    import arabic_reshaper  # noqa: PLC0415 - heavy, and seldom needed
    from bidi import get_display  # noqa: PLC0415

    return str(get_display(arabic_reshaper.reshape(plain)))


def _drawn(sign: str) -> str:
    """A sign as it is drawn: white space as a space, what steers and surrogates not at all."""
    if sign.isspace():
        return " "
    return "" if unicodedata.category(sign) in ("Cc", "Cf", "Cs") else sign


@cache
def _fonts() -> None:
    """Tell the PDF writer of our two fonts, once."""
    from reportlab.pdfbase import pdfmetrics  # noqa: PLC0415
    from reportlab.pdfbase.ttfonts import TTFont  # noqa: PLC0415

    for name in (PLAIN, BOLD):
        with as_file(files("cureclock.exports") / "fonts" / f"{name}.ttf") as path:
            pdfmetrics.registerFont(TTFont(name, str(path)))
