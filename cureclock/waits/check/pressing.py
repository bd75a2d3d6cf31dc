"""Will it be pressed hard enough, with what, and is enough of that free?"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from cureclock.core.joint.clamps import clamp_spacing_m, clamps_by_force, clamps_needed
from cureclock.core.joint.column import clamps_for_stacks, column_holds, columns_needed
from cureclock.core.joint.pressure import adhesive_pressure_kpa, press_force_kn
from cureclock.core.materials.adhesive import Adhesive
from cureclock.core.materials.library import wood
from cureclock.core.refusal import Refused
from cureclock.core.units import instant_us
from cureclock.core.wording.say import say
from cureclock.core.wording.times import Reader
from cureclock.waits.check.asked import GlueUpAsked, PressAsked, WoodAsked
from cureclock.waits.check.said import CheckLine, TiedUp, Word, figure
from cureclock.waits.check.shape import Shape
from cureclock.waits.ledger import Ledger, LedgerLine, free_when

KPA = 1000.0  # in a megapascal
MM = 1e-3
ONE_EACH = ("band", "form")  # one holds one piece, whatever its force
HANDS_ONLY = ("light", "touch", "roller", "press")  # presses no clamp is counted for


@dataclass(frozen=True)
class Pressing:
    """What it is pressed with.

    Attributes:
        each: clamps on one piece alone; 1 where none are counted.
        takes: what it would tie up.
    """

    lines: tuple[CheckLine, ...]
    each: float = 1.0
    takes: tuple[TiedUp, ...] = ()


def pressing(
    asked: GlueUpAsked,
    known: Adhesive | None,
    shape: Shape | None,
    stock: Ledger,
    *,
    reader: Reader,
    at: datetime,
) -> Pressing:
    """Lines about pressure, clamps, and how many are free."""
    if shape is None:
        return Pressing(())
    pressure = _pressure(asked.press, asked.wood, known)
    found = [] if pressure is None else [pressure]
    kpa = None if pressure is None else pressure.values["pressure_kpa"]
    line = _chosen(asked.press, shape, stock)
    if line is None:
        if stock.lines and kpa != 0:
            found.append(CheckLine("clamps", Word.CARE, say("check.clamps.none_owned")))
        return Pressing(tuple(found))
    counted = _count(line, asked.press, shape, kpa, asked.many)
    found.extend(counted.lines)
    found.append(_free(line, counted.needed, reader, at))
    others = [one for one in stock.lines if one.kind == "column" and one.thing != line.thing]
    if found[-1].word == Word.NOT_NOW:
        found += _columns(others, shape, kpa, asked.many, at)
    take = TiedUp(line.thing, line.name, counted.needed)
    return Pressing(tuple(found), counted.each, (take,))


def _pressure(press: PressAsked, of: WoodAsked, known: Adhesive | None) -> CheckLine | None:
    """The pressure that wood and glue ask for; none where neither says."""
    sums: tuple[str, ...] = ()
    if press.pressure_mpa is not None:
        kpa = press.pressure_mpa * KPA
    elif known is not None and known.pressing in ("contact", *HANDS_ONLY):
        says = say("check.pressure.contact")
        return CheckLine("pressure", Word.NOTE, says, values={"pressure_kpa": 0.0})
    else:
        density = density_of(of)
        span = None if known is None else known.pressure_mpa
        if density is None or span is None:
            return None
        low = 0.0 if span.low is None else span.low
        high = low if span.high is None else span.high
        kpa = float(adhesive_pressure_kpa(density, low * KPA, high * KPA))
        told = {"density": figure(density, 0), "low": figure(low, 2), "high": figure(high, 2)}
        sums = (say("check.sum.pressure", mpa=figure(kpa / KPA, 2), **told),)
    says = say("check.pressure.mpa", mpa=figure(kpa / KPA, 2))
    return CheckLine("pressure", Word.NOTE, says, sums, values={"pressure_kpa": kpa})


def density_of(of: WoodAsked) -> float | None:
    """The density of the densest wood in it."""
    if of.density_kg_m3 is not None:
        return of.density_kg_m3
    figures = [wood(key).density_kg_m3 for key in of.woods]
    return max((one.value for one in figures if one is not None), default=None)


def _chosen(press: PressAsked, shape: Shape, stock: Ledger) -> LedgerLine | None:
    """What was asked for; else of the usual kind what reaches, the most free of them."""
    if press.thing is not None:
        line = stock.line(press.thing)
        if line is None:
            raise Refused("press.thing", "none of them", "something the ledger counts")
        return line
    reach = None if shape.outer_m is None else shape.outer_m / MM
    for kind in dict.fromkeys((shape.held_by, "clamp")):
        fit = [one for one in stock.lines if one.kind == kind and _reaches(one, reach)]
        if fit:
            return max(fit, key=lambda one: (one.force_kn is not None, one.free, one.name))
    return None


def _reaches(line: LedgerLine, reach_mm: float | None) -> bool:
    return line.reach_mm is None or reach_mm is None or line.reach_mm >= reach_mm


@dataclass(frozen=True)
class _Counted:
    lines: tuple[CheckLine, ...]
    each: float
    needed: int


def _count(
    line: LedgerLine, press: PressAsked, shape: Shape, kpa: float | None, many: int
) -> _Counted:
    """How many of a thing the load needs, and by which rule."""
    if line.kind == "column":
        return _in_columns(line, shape, kpa, many)
    stacks = int(columns_needed(many, press.per_stack))
    if line.kind in ONE_EACH:
        says = say("check.clamps.one_each", name=line.name, needed=stacks)
        told = CheckLine("clamps_count", Word.NOTE, says, values={"needed": float(stacks)})
        return _Counted((told,), 1.0, stacks)
    rule = _rule(line, press, shape, kpa)
    needed = int(clamps_for_stacks(rule.values["each"], many, press.per_stack))
    each = rule.values["each"]
    words: dict[str, Any] = {
        "each": figure(each),
        "many": many,
        "per": press.per_stack,
        "needed": needed,
    }
    sums = (*rule.sum, say("check.sum.stacks", **words))
    says = say("check.clamps.count", name=line.name, **words)
    values = {**rule.values, "needed": float(needed)}
    return _Counted(
        (CheckLine("clamps_count", rule.word, says, sums, values=values),), each, needed
    )


def _rule(line: LedgerLine, press: PressAsked, shape: Shape, kpa: float | None) -> CheckLine:
    """Clamps on one piece by force and by spacing, the larger of the two."""
    outer = shape.outer_m if press.outer_mm is None else press.outer_mm * MM
    by_force = None
    if kpa is not None and line.force_kn is not None:
        force = float(press_force_kn(kpa, shape.line_area_m2))
        by_force = int(clamps_by_force(kpa, shape.line_area_m2, line.force_kn))
    sums: list[str] = []
    values: dict[str, float] = {}
    if by_force is not None and line.force_kn is not None and kpa is not None:
        told = {"mpa": figure(kpa / KPA, 2), "area": figure(shape.line_area_m2, 5)}
        told |= {"force": figure(force), "kn": figure(line.force_kn), "count": str(by_force)}
        sums.append(say("check.sum.by_force", **told))
        values |= {"force_kn": force, "by_force": float(by_force)}
    by_spacing = None
    if shape.length_m is not None and outer is not None:
        spacing = float(clamp_spacing_m(outer, press.caul_mm * MM))
        found = clamps_needed(0.0, shape.line_area_m2, 1.0, shape.length_m, spacing)
        by_spacing = int(found.by_spacing)
        told = {"outer": figure(outer / MM), "caul": figure(press.caul_mm)}
        told |= {"spacing": figure(spacing / MM, 0), "length": figure(shape.length_m / MM)}
        sums.append(say("check.sum.by_spacing", count=str(by_spacing), **told))
        values |= {"by_spacing": float(by_spacing), "spacing_mm": spacing / MM}
    if by_force is None:
        sums.append(say("check.clamps.no_force", name=line.name))
    each = max(by_force or 1, by_spacing or 1)
    word = Word.CARE if by_force is None and kpa != 0 else Word.NOTE
    return CheckLine("clamps_count", word, "", tuple(sums), values={**values, "each": float(each)})


def _in_columns(line: LedgerLine, shape: Shape, kpa: float | None, many: int) -> _Counted:
    needed = int(columns_needed(many, line.takes))
    told: dict[str, Any] = {"name": line.name, "needed": needed, "takes": line.takes, "many": many}
    word, sums = Word.NOTE, [say("check.sum.columns", **told)]
    values = {"needed": float(needed)}
    if kpa is not None and line.force_kn is not None:
        force = float(press_force_kn(kpa, shape.line_area_m2))
        values["force_kn"] = force
        sums.append(say("check.sum.column_force", force=figure(force), kn=figure(line.force_kn)))
        if not bool(column_holds(kpa, shape.line_area_m2, line.force_kn)):
            word = Word.NOT_NOW
    says = say("check.clamps.weak" if word == Word.NOT_NOW else "check.clamps.columns", **told)
    told_line = CheckLine("clamps_count", word, says, tuple(sums), values=values)
    return _Counted((told_line,), 1.0, needed)


def _free(line: LedgerLine, needed: int, reader: Reader, at: datetime) -> CheckLine:
    """Whether so many are free; else what could come off now, and when they will be."""
    told: dict[str, Any] = {
        "needed": needed,
        "free": line.free,
        "owned": line.count,
        "name": line.name,
    }
    values = {key: float(value) for key, value in told.items() if isinstance(value, int)}
    values["could_come_off"] = float(line.could_come_off)
    if needed <= line.free:
        return CheckLine("clamps", Word.GO, say("check.clamps.free", **told), values=values)
    sums = tuple(
        say(
            "check.sum.held",
            count=str(one.count),
            name=one.name,
            at=reader.opens(None if one.opens_at is None else instant_us(one.opens_at)),
        )
        for one in line.holders
    )
    when = free_when(line, needed, at)
    if needed > line.count:
        says = say("check.clamps.too_few", **told)
        return CheckLine("clamps", Word.NOT_NOW, says, sums, values=values)
    if needed <= line.free + line.could_come_off:
        first = next(one for one in line.holders if one.could_come_off)
        says = say("check.clamps.come_off", off=line.could_come_off, group=first.name, **told)
        return CheckLine("clamps", Word.CARE, says, sums, at, values)
    if when is None:
        says = say("check.clamps.nobody_knows", **told)
    else:
        says = say("check.clamps.later", at=reader.opens(instant_us(when)), **told)
    return CheckLine("clamps", Word.NOT_NOW, says, sums, when, values)


def _columns(
    lines: Sequence[LedgerLine], shape: Shape, kpa: float | None, many: int, at: datetime
) -> Iterable[CheckLine]:
    """Press columns that would do in the place of clamps."""
    for line in lines:
        enough = line.force_kn is None or kpa is None
        holds = enough or bool(column_holds(kpa, shape.line_area_m2, line.force_kn))  # type: ignore[arg-type]
        needed = int(columns_needed(many, line.takes))
        if holds and needed <= line.free:
            says = say("check.clamps.or_column", name=line.name, needed=needed, free=line.free)
            yield CheckLine("column", Word.NOTE, says, at=at, values={"needed": float(needed)})
