"""Lines of words that run down a page and on to the next."""

from collections.abc import Sequence

from cureclock.exports.paper import A4_MM, Sheet

MARGIN_MM = 15.0
LEAD = 1.35
BODY, SMALL, HEAD, TITLE = 9.0, 7.5, 11.0, 16.0
GREY = 0.35


class Flow:
    """A sheet that is filled from the top; a page that is full is followed by another.

    Args:
        title: what the file is called inside.
        foot: what stands below every page.
    """

    def __init__(self, title: str, foot: str) -> None:
        self.sheet = Sheet(A4_MM, title)
        self.foot = foot
        self.number = 1
        self.y = A4_MM[1] - MARGIN_MM
        self._footed()

    @property
    def room(self) -> float:
        """How wide a line may be."""
        return self.sheet.width - 2 * MARGIN_MM

    def need(self, height: float) -> None:
        """Go on to the next page unless so much is left of this one."""
        if self.y - height < MARGIN_MM + 5:
            self.sheet.next_page()
            self.number += 1
            self.y = A4_MM[1] - MARGIN_MM
            self._footed()

    def gap(self, height: float = 3.0) -> None:
        """Leave some white."""
        self.y -= height

    def say(self, words: str, size: float = BODY, *, bold: bool = False) -> None:
        """Words over as many lines as they need, across pages."""
        step = size * LEAD / self.sheet.mm
        for line in self.sheet.lines(words, size, self.room, bold=bold):
            self.need(step)
            self.y -= step
            self.sheet.words(MARGIN_MM, self.y, line, size, bold=bold, room=self.room)

    def head(self, words: str) -> None:
        """A heading that is never the last line of a page."""
        self.need(20)
        self.gap(4)
        self.say(words, HEAD, bold=True)
        self.gap(1)

    def row(self, cells: Sequence[str], widths: Sequence[float], *, bold: bool = False) -> None:
        """A line of a table; what does not fit its column is cut, and seen to be."""
        step = SMALL * LEAD / self.sheet.mm
        self.need(step)
        self.y -= step
        x = MARGIN_MM
        for cell, width in zip(cells, widths, strict=True):
            self.sheet.words(x, self.y, cell, SMALL, bold=bold, room=width - 2)
            x += width

    def bytes(self) -> bytes:
        """The PDF."""
        return self.sheet.bytes()

    def _footed(self) -> None:
        low = MARGIN_MM - 6
        room = self.room - 12
        self.sheet.words(MARGIN_MM, low, self.foot, 6.5, room=room, grey=GREY)
        right = self.sheet.width - MARGIN_MM
        self.sheet.words(right, low, str(self.number), 6.5, align="right", grey=GREY)
