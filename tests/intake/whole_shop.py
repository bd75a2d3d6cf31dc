"""A workshop with a row in every table there is, and its rows as plain values to be compared."""

import io
from datetime import UTC, date, datetime, time
from pathlib import Path
from typing import Any
from uuid import uuid4

from django.db import models
from django.db.models import ForeignKey

from cureclock.actions.pieces_made import PieceSaid
from cureclock.exports.archive.tables import tables
from cureclock.exports.archive.write import write_archive
from cureclock.shop.models import Person, Workshop
from cureclock.waits.models import Gate
from tests.api.door import paired, sensor_in
from tests.cast import Cast, when

NOW = when("Tue 12:00")
RTL = "עץ 🪵 خشب"
Plain = dict[str, list[tuple[Any, ...]]]


def whole_shop(name: str = "Slipway shed") -> Cast:
    """A story told by verbs, and one made-up row in each table that it does not reach."""
    cast = Cast.open(name)
    cast.place()
    cast.material()
    paired(cast)
    sensor_in(cast)
    cast.read("Mon 06:00", 16.0, 60.0)
    for tag in ("L-01", "L-02", "L-03"):
        cast.piece(tag, what=f"{RTL} {tag}")
    cast.spread("G1", ["L-01", "L-02"], "Mon 08:00")
    cast.press("G1", "Mon 08:10")
    cast.press("G1", "Mon 09:00")  # contradicts the first: a conflict to settle
    cast.read("Mon 20:00", 4.125, None)
    cast.do("clamps_off", "Mon 21:00", glue_up=cast.id("G1"), ident=cast.id("off"))
    cast.do("struck_out", "Mon 21:05", target=cast.id("off"))
    cast.spread("G2", ["L-03"], "Tue 08:00")
    cast.press("G2", "Tue 08:10")
    cast.read("Tue 09:00", 1 / 3 + 18, 55.5)
    Gate.objects.filter(workshop=cast.workshop, kind="clamps_off").update(
        state=Gate.State.REACHED, reached_at=when("Mon 10:00")
    )
    whole = PieceSaid(cast.id("W"), "W", RTL, (), (cast.id("L-01"), cast.id("L-02")))
    cast.do("pieces_made", "Tue 10:00", pieces=(whole,), batch_name="Batch W")
    fill(cast.workshop)
    return cast


def fill(workshop: Workshop) -> None:
    """One made-up row in each table that has none of this workshop yet."""
    for table in tables():
        if not table.rows(workshop).exists():
            fields = table.model._meta.concrete_fields
            values = {field.attname: _value(field, workshop) for field in fields}
            if values.get("id") is None:
                values.pop("id", None)
            table.model._base_manager.create(**values)


def _value(field: Any, workshop: Workshop) -> Any:
    if isinstance(field, ForeignKey):
        table = next(one for one in tables() if one.model is field.related_model)
        return table.rows(workshop).values_list("pk", flat=True).first()
    if isinstance(field, models.JSONField) and field.default is list:
        return []  # a list of rows: each has its own shape, which nobody can make up
    for kind, value in MADE_UP:
        if isinstance(field, kind):
            return value() if callable(value) else value
    raise TypeError(field)


MADE_UP: tuple[tuple[Any, Any], ...] = (
    (models.AutoField, None),
    (models.BigAutoField, None),
    (models.UUIDField, uuid4),
    (models.DateTimeField, lambda: datetime(2026, 2, 2, 3, 4, 5, 678901, tzinfo=UTC)),
    (models.DateField, date(2026, 2, 28)),
    (models.TimeField, time(22, 30)),
    (models.BooleanField, True),
    (models.IntegerField, 7),
    (models.FloatField, 0.1),
    (models.JSONField, lambda: {"a": [1, 0.1, None, RTL]}),
    (models.TextField, RTL),
    (models.CharField, lambda: uuid4().hex[:3]),
)


def plain(workshop: Workshop) -> Plain:
    """Every row of every table, as the records have them."""
    found: Plain = {}
    for table in tables():
        names = [field.attname for field in table.model._meta.concrete_fields]
        found[table.name] = sorted(
            tuple(repr(value) for value in row) for row in table.rows(workshop).values_list(*names)
        )
    return found


def archived(workshop: Workshop, pictures: Path | None = None) -> bytes:
    out = io.BytesIO()
    write_archive(workshop, out, NOW, pictures)
    return out.getvalue()


def forget(workshop: Workshop) -> None:
    """As if this had never been here."""
    people = list(
        Person.objects.filter(memberships__workshop=workshop).values_list("id", flat=True)
    )
    workshop.delete()
    Person.objects.filter(id__in=people).delete()


def kept(folder: Path, content: bytes) -> Path:
    """A backup as a file."""
    path = folder / "backup.zip"
    path.write_bytes(content)
    return path
