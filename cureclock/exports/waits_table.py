"""Every gate of every wait as a table: what it needed, when each figure came, what was doubted."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime

from cureclock.core.units import HOUR_US, instant_us
from cureclock.core.wording.say import say
from cureclock.exports.cells import Cell, csv_bytes
from cureclock.exports.told import carried_by
from cureclock.exports.waited import Waited, ages_of, group_name, waited
from cureclock.shop.models import Batch, Workshop
from cureclock.waits.figures import Instants
from cureclock.waits.minute import to_minute
from cureclock.waits.models import Gate, Leg, Suspicion, Wait


@dataclass(frozen=True)
class Row:
    """One gate of one wait."""

    told: Waited
    gate: Gate
    times: Instants

    @property
    def wait(self) -> Wait:
        """The wait it is of."""
        return self.told.wait

    def shown(self, moment: datetime | None) -> datetime | None:
        """A figure to the minute, on its safe side."""
        return to_minute(moment, opens=self.gate.opens)

    def hours(self, moment: datetime | None) -> float | None:
        """How long after what the gate counts from a figure came."""
        if moment is None:
            return None
        return round((instant_us(moment) - instant_us(self.gate.began_at)) / HOUR_US, 6)

    def doubts(self, *, cleared: bool) -> str:
        """The causes that stand, or those that somebody cleared, each with its instant."""
        chosen = [one for one in self.told.doubts if (one.cleared_by is not None) == cleared]
        return "; ".join(_doubt(one) for one in chosen)


# Heading, and what stands below it.
COLUMNS: tuple[tuple[str, Callable[[Row], Cell]], ...] = (
    ("export.wait.id", lambda row: row.wait.id),
    ("export.wait.group", lambda row: group_name(row.wait)),
    ("export.wait.piece", lambda row: row.wait.piece.tag),
    ("export.wait.what", lambda row: row.wait.piece.what),
    ("export.wait.batch", lambda row: str(row.wait.piece.batch or "")),
    ("export.wait.joint", lambda row: str(row.wait.joint or "")),
    ("export.wait.zone", lambda row: row.wait.zone.name if row.wait.zone else ""),
    ("export.wait.material", lambda row: row.wait.label.material.name),
    ("export.wait.container", lambda row: row.wait.label.container),
    ("export.wait.read_by", lambda row: str(row.wait.label.read_by or "")),
    ("export.wait.place", lambda row: row.wait.place.name),
    ("export.wait.began", lambda row: row.wait.began_at),
    ("export.wait.between", lambda row: row.wait.between),
    ("export.wait.running", lambda row: row.wait.open),
    ("export.wait.gate", lambda row: row.gate.kind),
    ("export.wait.gate_name", lambda row: say(f"gate.{row.gate.kind}.name")),
    ("export.wait.opens", lambda row: row.gate.opens),
    ("export.wait.hurts", lambda row: row.gate.hurts),
    ("export.wait.counts_from", lambda row: row.gate.began_at),
    ("export.wait.need_h", lambda row: row.gate.need_us / HOUR_US),
    ("export.wait.margin", lambda row: row.gate.margin),
    ("export.wait.bare", lambda row: row.shown(row.times.bare)),
    ("export.wait.check_from", lambda row: row.shown(row.times.check_from)),
    ("export.wait.not_before", lambda row: row.shown(row.times.act) if row.gate.opens else None),
    ("export.wait.sure", lambda row: row.shown(row.times.sure)),
    ("export.wait.warn", lambda row: row.shown(row.times.warn)),
    ("export.wait.not_after", lambda row: None if row.gate.opens else row.shown(row.times.act)),
    ("export.wait.bare_h", lambda row: row.hours(row.times.bare)),
    ("export.wait.acts_h", lambda row: row.hours(row.times.act)),
    ("export.wait.sure_h", lambda row: row.hours(row.times.sure)),
    ("export.wait.state", lambda row: row.gate.state),
    ("export.wait.seen", lambda row: row.gate.reached_at),
    ("export.wait.stays", lambda row: "; ".join(_stay(leg) for leg in row.told.stays)),
    ("export.wait.suspect", lambda row: row.doubts(cleared=False)),
    ("export.wait.cleared", lambda row: row.doubts(cleared=True)),
)


def waits_csv(
    workshop: Workshop, at: datetime, batch: Batch | None = None, *, bom: bool = False
) -> Iterator[bytes]:
    """A line for each gate of each wait, of one batch where one is given."""
    chosen = Wait.objects.filter(workshop=workshop)
    if batch is not None:
        chosen = chosen.filter(piece__in=carried_by(workshop, batch))
    ages = ages_of(chosen, at)
    rows = ([cell(row) for _, cell in COLUMNS] for row in _rows(waited(chosen, ages)))
    return csv_bytes([say(heading) for heading, _ in COLUMNS], rows, bom=bom)


def _rows(groups: Iterator[Sequence[Waited]]) -> Iterator[Row]:
    for group in groups:
        for told in group:
            for gate, times in told.gates:
                yield Row(told, gate, times)


def _stay(leg: Leg) -> str:
    until = "" if leg.ended_at is None else _utc(leg.ended_at)
    return f"{leg.place.name} {_utc(leg.began_at)}/{until}"


def _doubt(one: Suspicion) -> str:
    return f"{one.cause} {_utc(one.at)}"


def _utc(moment: datetime) -> str:
    return f"{moment.astimezone(UTC):%Y-%m-%dT%H:%M:%SZ}"
