"""Everything that is kept of one person in a workshop, for that person to take away."""

from typing import Any

from cureclock.exports.archive.tables import tables
from cureclock.exports.archive.values import columns_of
from cureclock.shop.models import Person, Workshop

SECRET = ("token_hash", "password", "keys", "address")  # keys to a door, not what is known of them


def person_told(workshop: Workshop, person: Person) -> dict[str, list[dict[str, Any]]]:
    """Every row of a workshop that names them, by table, without keys and addresses to push to."""
    found: dict[str, list[dict[str, Any]]] = {}
    for table in tables():
        own = [one.name for one in table.links() if one.related_model is Person]
        rows = table.rows(workshop)
        if table.model is Person:
            rows, own = rows.filter(pk=person.pk), [""]
        told = [_row(one) for name in own for one in _named(rows, name, person)]
        if told:
            found[table.name] = told
    return found


def _named(rows: Any, name: str, person: Person) -> Any:
    return rows.filter(**{name: person}) if name else rows


def _row(row: Any) -> dict[str, Any]:
    columns = [one for one in columns_of(type(row)) if one.name not in SECRET]
    values = {one.name: (getattr(row, one.name), one.plain) for one in columns}
    return {
        name: plain(value) if plain is not None and value is not None else value
        for name, (value, plain) in values.items()
    }
