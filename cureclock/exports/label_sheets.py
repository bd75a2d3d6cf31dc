"""Label sheets: where each label lies, from a table of sizes."""

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from cureclock.exports.paper import A4_MM
from cureclock.shop.refusals import Refusal


@dataclass(frozen=True)
class LabelSheet:
    """Labels of one size: a grid in the middle of a page, or one label that is the page.

    Attributes:
        key: what it is asked for by.
        page_mm: width and height of the page.
        columns, rows: how many labels, across and down.
        width_mm, height_mm: of one label.
        gap_x_mm, gap_y_mm: between two labels.
    """

    key: str
    page_mm: tuple[float, float]
    columns: int
    rows: int
    width_mm: float
    height_mm: float
    gap_x_mm: float = 0.0
    gap_y_mm: float = 0.0

    @property
    def labels(self) -> int:
        """How many labels a page has."""
        return self.columns * self.rows

    @property
    def margins_mm(self) -> tuple[float, float]:
        """What is left beside and above the grid."""
        across = self.columns * self.width_mm + (self.columns - 1) * self.gap_x_mm
        down = self.rows * self.height_mm + (self.rows - 1) * self.gap_y_mm
        return (self.page_mm[0] - across) / 2, (self.page_mm[1] - down) / 2

    def corners(self) -> Iterator[tuple[float, float]]:
        """The lower left corner of each label, in the order in which one reads."""
        left, top = self.margins_mm
        for row in range(self.rows):
            for column in range(self.columns):
                x = left + column * (self.width_mm + self.gap_x_mm)
                upper = self.page_mm[1] - top - row * (self.height_mm + self.gap_y_mm)
                yield x, upper - self.height_mm


@cache
def label_sheets() -> Mapping[str, LabelSheet]:
    """Every size that is known, by its key.

    >>> label_sheets()["a4-21"].labels
    21
    """
    table = tomllib.loads((files("cureclock.exports") / "data" / "sheets.toml").read_text("utf-8"))
    found = {key: LabelSheet(key, A4_MM, **size) for key, size in table["sheet"].items()}
    for key, size in table["single"].items():
        page = (float(size["width_mm"]), float(size["height_mm"]))
        found[key] = LabelSheet(key, page, 1, 1, *page)
    return found


def label_sheet(key: str) -> LabelSheet:
    """The size of this key; an unknown one is refused with those that are known."""
    known = label_sheets()
    if key not in known:
        raise Refusal("sheet", f"{key[:40]!r} is no size known here", f"one of {', '.join(known)}")
    return known[key]
