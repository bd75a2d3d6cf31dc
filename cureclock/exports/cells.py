"""Tables as CSV (RFC 4180): every cell is taken as text or number by whatever opens it, never run."""

import csv
import io
from collections.abc import Iterable, Iterator, Sequence
from datetime import UTC, date, datetime
from uuid import UUID

from cureclock.core.wording.say import say

Cell = str | int | float | bool | datetime | date | UUID | None
GUARD = "'"
FORMULA = tuple("=+-@＝＋－＠")  # what spreadsheets take for the beginning of one, wide forms too
# They may pass over these before it; and what begins with our own guard is guarded too, so that
# a guard can be told from what was said.
LED_BY = tuple("\t\r\n" + GUARD)
BOM = "\ufeff"
ROWS_A_PIECE = 500


def csv_bytes(
    headings: Sequence[str], rows: Iterable[Sequence[Cell]], *, bom: bool = False
) -> Iterator[bytes]:
    """A table in pieces, as many rows at a time as are at hand.

    Args:
        headings: one for each column.
        rows: cells; times come out in UTC.
        bom: begin with the mark by which some spreadsheets know UTF-8.
    """
    out = io.StringIO()
    if bom:
        out.write(BOM)
    lines = csv.writer(out, lineterminator="\r\n")
    lines.writerow([guarded(heading) for heading in headings])
    for number, row in enumerate(rows, 1):
        lines.writerow([_written(cell) for cell in row])
        if number % ROWS_A_PIECE == 0:
            yield out.getvalue().encode("utf-8", "replace")
            out.seek(0)
            out.truncate()
    yield out.getvalue().encode("utf-8", "replace")


def guarded(words: str) -> str:
    """Words that no spreadsheet runs: what could begin a formula is led by an apostrophe.

    >>> guarded("=1+1"), guarded("oak"), guarded(" @x")
    ("'=1+1", 'oak', "' @x")
    """
    runs = words.lstrip().lstrip(BOM).startswith(FORMULA) or words.startswith(LED_BY)
    return GUARD + words if runs else words


def _written(cell: Cell) -> str | int | float:
    """A cell as it is written; numbers with a point, times in UTC to the second."""
    if cell is None:
        return ""
    if isinstance(cell, bool):
        return say("export.cell.yes") if cell else say("export.cell.no")
    if isinstance(cell, datetime):
        return f"{cell.astimezone(UTC):%Y-%m-%dT%H:%M:%SZ}"
    if isinstance(cell, int | float):
        return cell
    return guarded(str(cell))
