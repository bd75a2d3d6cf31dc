"""Very many places with open gates, copied inside PostgreSQL from one that verbs have told."""

from collections.abc import Mapping, Sequence
from typing import Any

from django.db import connection
from django.db.models import Model, UUIDField

from cureclock.exports.archive.tables import links_of
from cureclock.shop.models import (
    GlueUp,
    Joint,
    LabelVersion,
    Material,
    Membership,
    Piece,
    Place,
    Reading,
    Sensor,
    Workshop,
)
from cureclock.waits.models import Clock, Gate, Leg, Wait
from tests.cast import Cast

PLACES_EACH = 100  # in one workshop
PER_PLACE = (Place, Sensor, Reading, Piece, GlueUp, Joint, Wait, Leg, Clock, Gate)
KEYED_BY_NUMBER = (
    Clock,
)  # a new number for each; of the others without a UUID the key is left out


def copy_places(cast: Cast, places: int, each: int = PLACES_EACH) -> None:
    """The cast's one place with all that waits in it, so many times, some in each workshop.

    Args:
        cast: a workshop with one place, told by verbs.
        places: how many more there are afterwards.
        each: how many of them a workshop has; where it is one, each has its own materials too.
    """
    shops = -(-places // each)
    own = cast.workshop.id.hex
    _copy(Workshop, f"id = '{own}'", shops, {"id": _uuid("t.id", "shop", "n")})
    _copy(
        Membership,
        f"workshop_id = '{own}'",
        shops,
        {"workshop_id": _uuid("t.workshop_id", "shop", "n")},
    )
    models = (Material, LabelVersion, *PER_PLACE) if each == 1 else PER_PLACE
    for model in models:
        _copy(model, _of(model, own), places, _columns(model, models, each))
    with connection.cursor() as cursor:
        cursor.execute("ANALYZE")


def _columns(
    model: type[Model], models: Sequence[type[Model]] = PER_PLACE, each: int = PLACES_EACH
) -> dict[str, str]:
    """What is other in each copy: its own key, and what it points to of the same copy."""
    found: dict[str, str] = {}
    pk = model._meta.pk
    if isinstance(pk, UUIDField):
        found[pk.column] = _uuid(f"t.{pk.column}", "n", "n")
    elif model in KEYED_BY_NUMBER:
        found[pk.column] = _number(f"t.{pk.column}")
    for link in links_of(model):
        to = link.related_model
        if to is Workshop:
            found[link.column] = _uuid(f"t.{link.column}", "shop", f"(n - 1) / {each} + 1")
        elif to in KEYED_BY_NUMBER:
            found[link.column] = _number(f"t.{link.column}")
        elif to in models:
            found[link.column] = _uuid(f"t.{link.column}", "n", "n")
    names = {field.column for field in model._meta.concrete_fields}
    if model is Piece:
        found["tag"] = "t.tag || '-' || n"
    if "token_hash" in names:
        found["token_hash"] = "md5(t.token_hash || n) || md5(n::text)"
    return found


def _uuid(column: str, kind: str, number: str) -> str:
    return f"CASE WHEN {column} IS NULL THEN NULL ELSE md5({column}::text || '{kind}' || ({number}))::uuid END"


def _number(column: str) -> str:
    return f"1000000 + {column} + 1000 * n"


def _of(model: type[Model], workshop: str) -> str:
    """The rows of the workshop that is copied."""
    ways: Mapping[Any, str] = {
        Reading: "place_id IN (SELECT id FROM shop_place WHERE workshop_id = '{0}')",
        Sensor: "place_id IN (SELECT id FROM shop_place WHERE workshop_id = '{0}')",
        LabelVersion: "material_id IN (SELECT id FROM shop_material WHERE workshop_id = '{0}')",
        Joint: "glue_up_id IN (SELECT id FROM shop_glueup WHERE workshop_id = '{0}')",
        Leg: "wait_id IN (SELECT id FROM waits_wait WHERE workshop_id = '{0}')",
    }
    return ways.get(model, "workshop_id = '{0}'").format(workshop)


def _copy(model: type[Model], where: str, many: int, other: Mapping[str, str]) -> None:
    pk = model._meta.pk.column
    columns = [field.column for field in model._meta.concrete_fields]
    if pk not in other:
        columns.remove(pk)  # the sequence gives it
    values = ", ".join(other.get(one, f't."{one}"') for one in columns)
    names = ", ".join(f'"{one}"' for one in columns)
    table = model._meta.db_table
    with connection.cursor() as cursor:
        cursor.execute(
            f"INSERT INTO {table} ({names}) SELECT {values} FROM {table} t, "
            f"generate_series(1, {many}) n WHERE t.{where}"
        )


def waits_in_one_place(cast: Cast, times: int) -> None:
    """Every wait of the cast's shop so many times more, in the same place, on the same clocks."""
    own, keys = cast.workshop.id.hex, {Piece, Joint, Wait, Leg, Gate}
    salt = f"{Wait.objects.count()} "
    for model in (Piece, Joint, Wait, Leg, Gate):
        other = {
            column: value.replace("'n'", f"'{salt}'")
            for column, value in _columns(model).items()
            if column == model._meta.pk.column or _to(model, column) in keys
        }
        if model is Piece:
            other["tag"] = f"left(md5(t.id::text || '{salt}' || n), 12)"
        _copy(model, _of(model, own), times, other)
    with connection.cursor() as cursor:
        cursor.execute("ANALYZE")


def _to(model: type[Model], column: str) -> Any:
    return next((one.related_model for one in links_of(model) if one.column == column), None)
