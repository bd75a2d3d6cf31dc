"""Where a coat hangs or lies: hooks and points that are free."""

from collections.abc import Iterable
from datetime import datetime
from typing import Any
from uuid import UUID

from cureclock.core.refusal import Refused
from cureclock.core.units import instant_us
from cureclock.core.wording.say import say
from cureclock.core.wording.times import Reader
from cureclock.shop.models import Place
from cureclock.waits.check.said import CheckLine, TiedUp, Word
from cureclock.waits.ledger import Ledger, LedgerLine, free_when

HANGS = ("hook", "point")


def hanging(
    stock: Ledger, thing: UUID | None, place: Place, many: int, *, reader: Reader, at: datetime
) -> tuple[list[CheckLine], tuple[TiedUp, ...]]:
    """Lines about hooks or points for so many pieces, and what the coat would tie up."""
    line = _chosen(stock, thing, place)
    if line is None:
        return [], ()
    told: dict[str, Any] = {
        "needed": many,
        "free": line.free,
        "owned": line.count,
        "name": line.name,
    }
    values = {key: float(value) for key, value in told.items() if isinstance(value, int)}
    takes = (TiedUp(line.thing, line.name, many),)
    if many <= line.free:
        return [CheckLine("hooks", Word.GO, say("check.hooks.free", **told), values=values)], takes
    found = [_short(line, many, told, values, reader=reader, at=at)]
    found += _elsewhere(stock, line, many)
    return found, takes


def _chosen(stock: Ledger, thing: UUID | None, place: Place) -> LedgerLine | None:
    if thing is not None:
        line = stock.line(thing)
        if line is None:
            raise Refused("thing", "none of them", "something the ledger counts")
        return line
    here = [one for one in stock.lines if one.kind in HANGS and one.place in (None, place.id)]
    return max(here, key=lambda one: (one.place is not None, one.free, one.name), default=None)


def _short(
    line: LedgerLine,
    many: int,
    told: dict[str, Any],
    values: dict[str, float],
    *,
    reader: Reader,
    at: datetime,
) -> CheckLine:
    when = free_when(line, many, at)
    if many > line.count:
        says = say("check.hooks.too_few", **told)
    elif when is None:
        says = say("check.hooks.nobody_knows", **told)
    else:
        says = say("check.hooks.later", at=reader.opens(instant_us(when)), **told)
    return CheckLine("hooks", Word.NOT_NOW, says, at=when, values=values)


def _elsewhere(stock: Ledger, line: LedgerLine, many: int) -> Iterable[CheckLine]:
    """Others on which they would all find room."""
    for other in stock.lines:
        if other.kind in HANGS and other.thing != line.thing and other.free >= many:
            says = say("check.hooks.there", name=other.name, free=other.free)
            yield CheckLine("hooks_other", Word.NOTE, says, values={"free": float(other.free)})
