"""Gates by the thresholds they stand at, on many clocks in one question.

Written out, because the framework can say neither question: walks of one index for each of many
clocks, as far as that clock's own age, or to the first row.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import cache
from typing import Any, NamedTuple, cast
from uuid import UUID

from django.db import connection
from django.db.models import Model

from cureclock.waits.models import Clock, Gate, Wait

PENDING = (Gate.State.WAITING, Gate.State.WARNED)


@dataclass(frozen=True)
class Threshold:
    """One that fires: of which gates, on which clock, while they are in which states."""

    clock: str
    column: str
    flags: str
    states: tuple[Gate.State, ...]


ACTS = Threshold("act_clock", "act_us", "NOT g.hurts", PENDING)
WARNS = Threshold("act_clock", "warn_us", "NOT g.opens", (Gate.State.WAITING,))
SURE = Threshold("sure_clock", "sure_us", "g.hurts", (Gate.State.WAITING,))
THRESHOLDS = (ACTS, WARNS, SURE)


class Standing(NamedTuple):
    """A gate on a clock, and whose it is; `threshold` as it is stored."""

    clock: int
    id: UUID
    wait: UUID
    kind: str
    opens: bool
    threshold: int
    placed: int
    stay_at: datetime
    workshop: UUID
    place: UUID
    glue_up: UUID | None
    coat: UUID | None
    hold: UUID | None


OF_GATE = ("id", "wait_id", "kind", "opens", "", "placed", "stay_at")  # between them its threshold
OF_WAIT = ("workshop_id", "place_id", "glue_up_id", "coat_id", "hold_id")


def standing(
    threshold: Threshold, reach: Sequence[tuple[int, int]], *, most: int = -1
) -> list[Standing]:
    """Gates that stand at or below a height on each of some clocks, clock by clock, lowest first.

    Args:
        threshold: which of their thresholds.
        reach: clocks and how high on each [us].
        most: at most so many, and locked; those somebody else is writing are passed over.
    """
    if not reach:
        return []
    values = [part for turn, (pk, us) in enumerate(reach) for part in (turn, pk, us)]
    due = ", ".join(["(%s, %s, %s)"] * len(reach))
    asked = f"WITH due(turn, clock, us) AS (VALUES {due}) {_standing(threshold)}"
    if most >= 0:
        asked += f" LIMIT {most}"
        if connection.features.has_select_for_update_skip_locked:
            asked += " FOR UPDATE OF g SKIP LOCKED"
    with connection.cursor() as cursor:
        cursor.execute(asked, values)
        rows = cursor.fetchall()
    read = _readers(connection.vendor, threshold)
    return [Standing._make(made(value) for made, value in zip(read, row)) for row in rows]  # noqa: B905


@cache
def _standing(threshold: Threshold) -> str:
    column = f"g.{threshold.column}"
    told = [f"g.{name}" if name else column for name in OF_GATE]
    told += [f"w.{name}" for name in OF_WAIT]
    return (
        f"SELECT due.clock, {', '.join(told)} FROM due "
        f"CROSS JOIN {Gate._meta.db_table} g "
        f"INNER JOIN {Wait._meta.db_table} w ON w.id = g.wait_id "
        f"WHERE g.{threshold.clock}_id = due.clock AND {column} <= due.us "
        f"AND {threshold.flags} AND g.state IN ({_states(threshold.states)}) "
        f"ORDER BY due.turn, {column}"
    )


@cache
def _readers(_vendor: str, threshold: Threshold) -> tuple[Callable[[Any], Any], ...]:
    """What makes of a value, as the records hold it, what the program does."""
    gate = [name or threshold.column for name in OF_GATE]
    columns = [(Gate, name) for name in (threshold.clock, *gate)]
    return tuple(_reader(model, name) for model, name in [*columns, *((Wait, n) for n in OF_WAIT)])


def _reader(model: type[Model], name: str) -> Callable[[Any], Any]:
    column = cast(Any, model._meta.get_field(name)).get_col("")
    own = connection.ops.get_db_converters(column)
    steps = [*own, *column.get_db_converters(connection)]

    def read(value: Any) -> Any:
        for step in steps:
            value = step(value, column, connection)
        return value

    return read if steps else _as_is


def _as_is(value: Any) -> Any:
    return value


def lowest(clocks: Sequence[int]) -> dict[int, list[int]]:
    """The lowest stored thresholds that can still fire, some of each clock, by its key."""
    if not clocks:
        return {}
    marks = ", ".join(["%s"] * len(clocks))
    with connection.cursor() as cursor:
        cursor.execute(f"{LOWEST} ({marks})", list(clocks))
        return {pk: [one for one in least if one is not None] for pk, *least in cursor.fetchall()}


def _least(threshold: Threshold, state: Gate.State) -> str:
    """State by state, because only so an index gives it at once, however many wait."""
    column, gates = f"g.{threshold.column}", f"{Gate._meta.db_table} g"
    of_it = f"g.{threshold.clock}_id = c.id AND {threshold.flags} AND g.state = '{state}'"
    known = f"{of_it} AND {column} IS NOT NULL"
    return f"(SELECT {column} FROM {gates} WHERE {known} ORDER BY {column} LIMIT 1)"


def _states(states: Iterable[Gate.State]) -> str:
    return ", ".join(f"'{state}'" for state in states)


LOWEST = (
    f"SELECT c.id, {', '.join(_least(one, state) for one in THRESHOLDS for state in one.states)} "
    f"FROM {Clock._meta.db_table} c WHERE c.id IN"
)
