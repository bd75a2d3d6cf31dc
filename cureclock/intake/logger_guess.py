"""The shape of a logger's file, guessed from its own lines; what cannot be told is asked."""

import re
from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise

from cureclock.intake.logger_rows import cells_of, figure_in
from cureclock.intake.logger_times import FIGURES, MONTH, local_time
from cureclock.shop.logger_shape import EPOCH, ORDERS, SEPARATORS, TOLD, FileShape
from cureclock.shop.refusals import Refusal

SAMPLE = 400  # lines that are looked at, from the beginning
DATE = re.compile(
    r"\d{1,4}\s*[-./]\s*(?:\d{1,2}|[a-z]{3,9})\s*[-./]\s*\d{1,4}"
    r"|\d{1,2}\s+[a-z]{3,9}\.?,?\s+\d{4}|[a-z]{3,9}\.?\s+\d{1,2},\s*\d{4}|\d{8}(?=[ T])",
    re.IGNORECASE,
)
CLOCK = re.compile(r"\d{1,2}:\d{2}")
OWN_OFFSET = re.compile(r"\d(?:Z|[+-]\d{2}:?\d{2})$")
HEAD_OFFSET = re.compile(r"(?:UTC|GMT)\s*([+-]\s*\d{1,2}(?::?\d{2})?)?", re.IGNORECASE)
TEMP = re.compile(
    r"temp|celsius|fahrenheit|\u00b0\s*[cf]|[\u2103\u2109]|\bdeg\b|^t\d?$|_c$|_f$", re.IGNORECASE
)
DAMP = re.compile(r"hum|\brh\b|_rh|%|feuchte|damp|^rh|^h\d?$", re.IGNORECASE)
NOT_AIR = re.compile(r"dew|batt|volt|press|index|signal|rssi|taupunkt|feels", re.IGNORECASE)
WARM_F = re.compile(r"fahrenheit|\u00b0\s*f|\u2109|deg\s*f|\(f\)|_f$|\[f\]", re.IGNORECASE)
WARM_C = re.compile(r"celsius|\u00b0\s*c|\u2103|deg\s*c|\(c\)|_c$|\[c\]", re.IGNORECASE)
WARMEST_C = 45.0  # a shed warmer than this is one in degrees Fahrenheit
MEND = "choose the file as the logger's program saves it, as CSV"


@dataclass(frozen=True)
class Guess:
    """A shape, the names of the columns, what each part of it rests on, and what is asked.

    Attributes:
        why: part of the shape to one of "file", "values", "workshop", "nothing".
        asked: parts that the file leaves open.
    """

    shape: FileShape
    columns: tuple[str, ...]
    why: Mapping[str, str]
    asked: tuple[str, ...]


def guess(lines: Sequence[str], workshop_zone: str) -> Guess:
    """Guess from the first lines of a file; Refusal where it is no file of readings."""
    sample = list(lines[:SAMPLE])
    separator, table = _table(sample)
    first_row, at, clock = _time_columns(table)
    data = [row for row in table[first_row:] if len(row) > at and is_time(row[at])]
    head = _head(table, first_row, max(len(row) for row in data))
    taken = {at} if clock is None else {at, clock}
    temp, rh = _figures(head, data, taken)
    order, order_why = _order(data, at)
    fahrenheit, unit_why = _unit(head, data, temp)
    named = [*head[at : at + 1], *(cell for row in table[:first_row] for cell in row)]
    zone, zone_why = _zone(named, [row[at] for row in data], order, workshop_zone)
    decimal = _decimal(data, [temp, *([] if rh is None else [rh])])
    shape = FileShape(
        separator=separator,
        decimal=decimal,
        first_row=first_row,
        at=at,
        clock=clock,
        temp=temp,
        rh=rh,
        order=order,
        fahrenheit=fahrenheit,
        zone=zone,
    )
    why = {"order": order_why, "fahrenheit": unit_why, "zone": zone_why}
    asked = ("order",) if order_why == "nothing" else ()
    return Guess(shape, tuple(head), why, asked)


def is_time(text: str) -> bool:
    """Whether a cell is a time."""
    return bool(DATE.search(text)) or _is_epoch(text)


def _is_epoch(text: str) -> bool:
    try:
        local_time(text.strip(), EPOCH)
    except (ValueError, OverflowError, OSError):
        return False
    return True


def _table(lines: Sequence[str]) -> tuple[str, list[list[str]]]:
    """The separator that gives most lines the same two columns or more, with a time in one."""
    best: tuple[int, str, list[list[str]]] | None = None
    for separator in SEPARATORS:
        table = [_cells(line, separator) for line in lines]
        timed = [len(row) for row in table if any(is_time(cell) for cell in row)]
        counts = Counter(width for width in timed if width > 1)
        score = max(counts.values(), default=0)
        if score and (best is None or score > best[0]):
            best = (score, separator, table)
    if best is None:
        raise Refusal("file", "no row has a time and a temperature in it", MEND, "no_readings")
    return best[1], best[2]


def _cells(line: str, separator: str) -> list[str]:
    try:
        return [cell.strip() for cell in cells_of(line, separator)]
    except Refusal:
        return []


def _time_columns(table: Sequence[Sequence[str]]) -> tuple[int, int, int | None]:
    """The first row with a reading, the column of its time, and of its time of day if apart."""
    places = Counter(column for row in table for column, cell in enumerate(row) if is_time(cell))
    dated = Counter(c for row in table for c, cell in enumerate(row) if DATE.search(cell))
    at = min((dated or places).items(), key=lambda one: (-one[1], one[0]))[0]
    rows = [n for n, row in enumerate(table) if len(row) > at + 1 and is_time(row[at])]
    if not rows:
        raise Refusal("file", "no row has a time and a temperature in it", MEND, "no_readings")
    first = next((n for n in rows if _has_figure(table[n], at)), rows[0])
    row = table[first]
    apart = DATE.search(row[at]) and not CLOCK.search(row[at])
    clock = next((c for c, cell in enumerate(row) if c != at and CLOCK.match(cell)), None)
    return first, at, clock if apart else None


def _has_figure(row: Sequence[str], at: int) -> bool:
    return any(_figure(cell) is not None for column, cell in enumerate(row) if column != at)


def _figure(cell: str) -> float | None:
    return figure_in(cell) if not DATE.search(cell) else None


def _head(table: Sequence[Sequence[str]], first_row: int, width: int) -> list[str]:
    """The names of the columns: the last row before the readings that is as wide."""
    for row in reversed(table[:first_row]):
        if len(row) >= 2 and abs(len(row) - width) <= 1 and not all(map(_is_number, row)):
            return [*row, *[""] * (width - len(row))]
    return [""] * width


def _is_number(cell: str) -> bool:
    return figure_in(cell) is not None


def _figures(
    head: Sequence[str], data: Sequence[Sequence[str]], taken: set[int]
) -> tuple[int, int | None]:
    """The columns of temperature and humidity, by their names, else by their place."""
    free = [
        column
        for column in range(max(len(row) for row in data))
        if column not in taken
        and _mostly_figures(data, column)
        and (_named(head, column) or not _counts_rows(data, column))
    ]
    name = dict(enumerate(head))
    fit = [column for column in free if not NOT_AIR.search(name.get(column, ""))]
    warm = [c for c in fit if TEMP.search(name[c]) and not DAMP.search(name[c])] if head else []
    damp = [c for c in fit if DAMP.search(name.get(c, ""))]
    left = [column for column in fit if column not in damp]
    if not (warm or left):
        raise Refusal("file", "no column of temperatures was found", MEND, "no_readings")
    temp = (warm or left)[0]
    if damp:
        return temp, damp[0]
    nameless = [c for c in left if c > temp and not name.get(c)]
    return temp, nameless[0] if nameless and not any(name.values()) else None


def _named(head: Sequence[str], column: int) -> bool:
    name = head[column] if column < len(head) else ""
    return bool(TEMP.search(name) or DAMP.search(name))


def _mostly_figures(data: Sequence[Sequence[str]], column: int) -> bool:
    good = sum(len(row) > column and _figure(row[column]) is not None for row in data)
    return good * 2 >= len(data)


def _counts_rows(data: Sequence[Sequence[str]], column: int) -> bool:
    """A column that only counts: 1, 2, 3."""
    told = [_figure(row[column]) for row in data if len(row) > column]
    pairs = list(pairwise(told))
    return len(pairs) > 1 and all(
        a is not None and b is not None and abs(b - a) == 1 and a == int(a) for a, b in pairs
    )


def _decimal(data: Sequence[Sequence[str]], columns: Sequence[int]) -> str:
    cells = [row[column] for row in data for column in columns if len(row) > column]
    commas, points = (sum(sign in cell for cell in cells) for sign in ",.")
    return "," if commas > points else "."


def _order(data: Sequence[Sequence[str]], at: int) -> tuple[str, str]:
    """In which order day, month and year stand; "nothing" where either would do."""
    texts = [row[at] for row in data]
    if not DATE.search(texts[0]):
        return EPOCH, "file"
    named = MONTH.search(texts[0])
    first = len(FIGURES.findall(texts[0])[0])
    if first >= 4 and not named:
        return "ymd", "file"
    if named:
        return ("mdy" if named.start() == 0 else "dmy"), "file"
    return _day_or_month_first(texts)


def _day_or_month_first(texts: Sequence[str]) -> tuple[str, str]:
    """By the rows that only one of them reads; rows that neither reads say nothing about it."""
    dmy, mdy = ({text for text in texts if _reads(text, order)} for order in ORDERS[1:])
    if dmy - mdy and mdy - dmy:
        return ("dmy" if len(dmy) >= len(mdy) else "mdy"), "nothing"
    if dmy != mdy:
        return ("dmy" if dmy - mdy else "mdy"), "values"
    spans = {order: _span_s(dmy, order) for order in ORDERS[1:]}
    if spans["dmy"] != spans["mdy"]:
        return min(spans, key=lambda order: spans[order]), "values"
    return "dmy", "nothing"


def _reads(text: str, order: str) -> bool:
    try:
        local_time(text, order)
    except (ValueError, LookupError, TypeError):
        return False
    return True


def _span_s(texts: Collection[str], order: str) -> float:
    """How far all the rows reach; the wrong order scatters them over the year."""
    times: list[datetime] = [local_time(text, order).replace(tzinfo=None) for text in texts]
    return (max(times) - min(times)).total_seconds() if times else 0.0


def _unit(head: Sequence[str], data: Sequence[Sequence[str]], temp: int) -> tuple[bool, str]:
    name = head[temp] if temp < len(head) else ""
    cells = [row[temp] for row in data if len(row) > temp]
    if WARM_F.search(name) or any(cell.endswith(("F", "\u2109")) for cell in cells):
        return True, "file"
    if WARM_C.search(name) or any(cell.endswith(("C", "\u2103")) for cell in cells):
        return False, "file"
    told = sorted(value for cell in cells if (value := _figure(cell)) is not None)
    return (True, "values") if told and told[len(told) // 2] > WARMEST_C else (False, "nothing")


def _zone(
    named: Sequence[str], times: Sequence[str], order: str, workshop_zone: str
) -> tuple[str, str]:
    if order == EPOCH:
        return "UTC", "file"
    clocks = [text for text in times if CLOCK.search(text)]
    if clocks and all(OWN_OFFSET.search(text) for text in clocks):
        return TOLD, "file"
    for text in named:
        found = HEAD_OFFSET.search(text)
        if found:
            offset = (found[1] or "+00:00").replace(" ", "")
            return (offset if ":" in offset else f"{offset}:00"), "file"
    return workshop_zone, "workshop"
