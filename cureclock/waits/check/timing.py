"""Is there time? Spreading and tightening against what the glue allows in today's air."""

from dataclasses import dataclass
from typing import Any

from cureclock.core.joint.assembly import assembly_today_s
from cureclock.core.joint.spread import Spreading, loads_needed
from cureclock.core.materials.label import Label
from cureclock.core.refusal import Refused
from cureclock.core.units import HOUR_US, SECOND_US
from cureclock.core.wording.say import say
from cureclock.waits.check.asked import HandsAsked
from cureclock.waits.check.said import CheckLine, Word, clock_of, figure
from cureclock.waits.check.scene import AirThen

HOUR_S = HOUR_US / SECOND_US
DRY_PCT = 0.0  # damp that nobody measured counts as dry air
TIGHT = 0.25  # less than this part of the limit to spare is tight; our choice


@dataclass(frozen=True)
class Timing:
    """What the clock on the glue says.

    Attributes:
        oldest_s: age of the first spread glue when the last clamp is tight; None: not timed.
        spread_s: time to spread and place all of it; None: not timed.
        largest: most pieces in one go; loads: goes for all of them.
    """

    lines: tuple[CheckLine, ...]
    oldest_s: float | None = None
    spread_s: float | None = None
    largest: int | None = None
    loads: int | None = None


def timing(
    label: Label, air: AirThen, wood_c: float, hands: HandsAsked | None, many: int, *, clamps: float
) -> Timing:
    """Lines about time for a load of so many pieces.

    Args:
        wood_c: temperature of the wood; the warmer of it and the air counts.
        clamps: clamps on each piece, where nobody said how many are tightened.
    """
    limits = {
        name: _limit(label, name, air, wood_c, hands)
        for name in ("open_time", "total_assembly")
        if label.gate(name) is not None
    }
    if not limits:
        return Timing((CheckLine("open_time", Word.NOTE, say("check.time.none")),))
    limit = limits.get("total_assembly", limits.get("open_time"))
    assert limit is not None
    if hands is None:
        says = say("check.time.untimed", limit=clock_of(limit.today_s))
        line = CheckLine("open_time", Word.CARE, says, (limit.sum,), values=limit.values)
        return Timing((line,))
    spreading = _spreading(hands, clamps)
    return _timed(spreading, hands, many, limit, limits.get("open_time"))


@dataclass(frozen=True)
class _Limit:
    """How long the glue may stand today."""

    label_s: float
    today_s: float
    sum: str

    @property
    def values(self) -> dict[str, float]:
        return {"label_s": self.label_s, "limit_s": self.today_s}


def _limit(
    label: Label, name: str, air: AirThen, wood_c: float, hands: HandsAsked | None
) -> _Limit:
    gate = label.gate(name)
    assert gate is not None
    label_s, warm_c = gate.hours * HOUR_S, max(air.temp_c, wood_c)
    rh_pct = DRY_PCT if air.rh_pct is None else air.rh_pct
    if label_s > 24 * HOUR_S:
        raise Refused(name, f"{gate.hours:g} h", "a day at most, for a check")
    today = assembly_today_s(
        label_s,
        warm_c,
        rh_pct,
        draught=hands.draught if hands else False,
        label_temp_c=label.label_temp_c,
        q=label.q,
    )
    told = say(
        "check.sum.limit",
        label=clock_of(label_s),
        temp=figure(warm_c),
        rh=say("check.damp_unread") if air.rh_pct is None else f"{figure(rh_pct, 0)} %",
        today=clock_of(float(today)),
    )
    return _Limit(label_s, float(today), told)


def _spreading(hands: HandsAsked, clamps: float) -> Spreading:
    return Spreading(
        spread_s=hands.spread_s,
        place_s=hands.place_s,
        tighten_s=hands.tighten_s,
        clamps_each=clamps if hands.clamps_each is None else hands.clamps_each,
        assemble_s=hands.assemble_s,
        spreaders=hands.spreaders,
        tighteners=hands.tighteners,
        one_by_one=hands.one_by_one,
    )


def _timed(
    spreading: Spreading, hands: HandsAsked, many: int, limit: _Limit, opened: _Limit | None
) -> Timing:
    oldest = float(spreading.oldest_glue_s(many))
    spare = float(spreading.spare_s(many, limit.today_s))
    largest = min(int(spreading.largest_load(limit.today_s)), many)
    loads = int(loads_needed(many, largest)) if largest else None
    over = spare < 0
    lines = [_spare_line(oldest, spare, limit, _age_sum(spreading, many, oldest))]
    if over and largest:
        lines.append(_split_line(largest, loads or 1))
    if over:
        lines += _other_ways(spreading, many, limit)
    own_s = hands.spread_s + hands.place_s
    if opened is not None and own_s > opened.today_s:
        says = say("check.time.open", own=clock_of(own_s), limit=clock_of(opened.today_s))
        lines.append(CheckLine("open_time", Word.NOT_NOW, says, (opened.sum,)))
    spread_s = many * own_s / hands.spreaders
    return Timing(tuple(lines), oldest, spread_s, largest, loads)


def _spare_line(oldest: float, spare: float, limit: _Limit, age: str) -> CheckLine:
    told = {"oldest": clock_of(oldest), "limit": clock_of(limit.today_s), "spare": clock_of(spare)}
    if spare < 0:
        word, says = Word.NOT_NOW, say("check.time.over", **told)
    elif spare < TIGHT * limit.today_s:
        word, says = Word.CARE, say("check.time.tight", **told)
    else:
        word, says = Word.GO, say("check.time.spare", **told)
    values = {**limit.values, "oldest_s": oldest, "spare_s": spare}
    return CheckLine("open_time", word, says, (age, limit.sum), values=values)


def _age_sum(spreading: Spreading, many: int, oldest: float) -> str:
    return say(
        "check.sum.age_each" if spreading.one_by_one else "check.sum.age",
        many=many,
        spread=figure(spreading.spread_s),
        place=figure(spreading.place_s),
        spreaders=spreading.spreaders,
        assemble=figure(spreading.assemble_s),
        clamps=figure(spreading.clamps_each, 2),
        tighten=figure(spreading.tighten_s),
        tighteners=spreading.tighteners,
        oldest=clock_of(oldest),
    )


def _split_line(largest: int, loads: int) -> CheckLine:
    says = say("check.time.split", largest=largest, loads=loads)
    values = {"largest_load": float(largest), "loads": float(loads)}
    return CheckLine("load", Word.NOTE, says, values=values)


def _other_ways(spreading: Spreading, many: int, limit: _Limit) -> list[CheckLine]:
    """What one more spreader gives, and pressing each as it is spread."""
    said = (spreading.spread_s, spreading.place_s, spreading.tighten_s, spreading.clamps_each)
    two = Spreading(*said, spreading.assemble_s, spreaders=spreading.spreaders + 1)
    found = [_way("two", two, many, limit)]
    if not spreading.one_by_one:
        found.append(_way("each", Spreading(*said, one_by_one=True), many, limit))
    return found


def _way(key: str, way: Spreading, many: int, limit: _Limit) -> CheckLine:
    oldest, largest = float(way.oldest_glue_s(many)), int(way.largest_load(limit.today_s))
    told: dict[str, Any] = {
        "oldest": clock_of(oldest),
        "largest": largest,
        "spreaders": way.spreaders,
    }
    says = say("check.time.two", **told) if key == "two" else say("check.time.each", **told)
    sums = (_age_sum(way, many, oldest),)
    return CheckLine(f"load_{key}", Word.NOTE, says, sums, values={"oldest_s": oldest})
