"""Somebody at the door who knows every id of a workshop that is not theirs, and tries them all."""

import random
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any
from uuid import UUID, uuid4

import pypdfium2
from django.apps import apps
from django.db.models import ForeignKey, Model
from django.test import Client

from cureclock.exports.archive.tables import tables
from cureclock.shop.models import Workshop

Json = dict[str, Any]
WORDS = ("Box", "L-99", "owner", "tacky", "spin", "other", "drum", "cold", "Europe/Dublin")
ALSO_CALLED = {  # what a field may call a row, beside the name of its own kind
    "label": "LabelVersion",
    "lot": "StockLot",
    "target": "Event",
    "happening": "Event",
    "made_from": "Piece",
    "piece_b": "Piece",
    "about": "GlueUp",
    "conflict": "Conflict",
}


def document() -> Json:
    """What the server says of its API."""
    response = Client().get("/api/schema")
    assert response.status_code == 200
    told: Json = response.json()
    return told


@dataclass(frozen=True)
class Operation:
    """One way to ask the server for something."""

    path: str
    method: str
    told: Mapping[str, Any] = field(repr=False)

    @property
    def places(self) -> list[str]:
        """What stands in braces in the path."""
        return re.findall(r"\{(\w+)\}", self.path)

    @property
    def asks(self) -> list[Json]:
        """What may be asked after the question mark."""
        return [one for one in self.told.get("parameters", ()) if one["in"] == "query"]

    @property
    def body(self) -> Json | None:
        """The schema of what is sent, if anything is."""
        content = self.told.get("requestBody", {}).get("content", {})
        return content["application/json"]["schema"] if "application/json" in content else None

    @property
    def needs_answers(self) -> bool:
        """Whether something has to be asked."""
        return any(one.get("required") for one in self.asks)

    @property
    def sends(self) -> str:
        """What kind of body it takes."""
        kinds = [*self.told.get("requestBody", {}).get("content", {}), "application/json"]
        picture = (self.body or {}).get("format") == "binary"
        return "image/jpeg" if picture else str(kinds[0])

    def __str__(self) -> str:
        return f"{self.method.upper()} {self.path}"


def operations(told: Json) -> list[Operation]:
    """Every one there is."""
    ways = ("get", "post", "put", "patch", "delete")
    return [
        Operation(path, method, one)
        for path, methods in sorted(told["paths"].items())
        for method, one in methods.items()
        if method in ways
    ]


def ids_of(workshop: Workshop) -> dict[str, list[str]]:
    """Every id of a workshop's rows, by the kind of row; estimates have ids as well."""
    found: dict[str, list[str]] = {}
    for table in tables():
        if table.model._meta.pk.get_internal_type() == "UUIDField":
            keys = table.rows(workshop).values_list("pk", flat=True)
            found[table.model.__name__] = [str(one) for one in keys]
    for model in apps.get_app_config("waits").get_models():
        own = next((one for one in ("workshop", "wait__workshop") if _leads(model, one)), None)
        if own and model._meta.pk.get_internal_type() == "UUIDField":
            keys = model._base_manager.filter(**{own: workshop}).values_list("pk", flat=True)
            found[model.__name__] = [str(one) for one in keys]
    return {kind: keys for kind, keys in found.items() if keys}


def _leads(model: type[Model], path: str) -> bool:
    first = path.split("__", maxsplit=1)[0]
    return any(
        one.name == first and isinstance(one, ForeignKey) for one in model._meta.concrete_fields
    )


@dataclass
class Forger:
    """Fills what the document asks for with ids that it was never given.

    Args:
        told: the document.
        ids: by kind.
        chance: where it draws from.
    """

    told: Json
    ids: dict[str, list[str]]
    chance: random.Random = field(default_factory=lambda: random.Random(9))

    def of(self, schema: Json, name: str = "", depth: int = 0) -> Any:
        """Something of this schema."""
        schema = self._resolved(schema)
        if "enum" in schema:
            return self.chance.choice(schema["enum"])
        if schema.get("format") == "uuid":
            return self.id(name)
        for several in ("oneOf", "anyOf"):
            if several in schema:
                return self.of(self.chance.choice(schema[several]), name, depth)
        make = getattr(self, f"_{schema.get('type', 'any')}")
        return make(schema, name, depth)

    def _resolved(self, schema: Json) -> Json:
        while "$ref" in schema or "allOf" in schema:
            if "$ref" in schema:
                schema = self.told["components"]["schemas"][schema["$ref"].rsplit("/", 1)[1]]
            else:
                schema = schema["allOf"][0]
        return schema

    def id(self, name: str) -> str:
        """Mostly one of the right kind, now and then any, or one that never was."""
        kind = self._kind(name)
        dice = self.chance.randrange(10)
        if kind in self.ids and dice < 8:
            return self.chance.choice(self.ids[kind])
        if dice == 9 or not self.ids:
            return str(UUID(int=self.chance.getrandbits(128), version=4))
        return self.chance.choice(self.ids[self.chance.choice(sorted(self.ids))])

    def _kind(self, name: str) -> str:
        named = ALSO_CALLED.get(name)
        if named:
            return named
        kind = "".join(part.title() for part in name.split("_"))
        return kind if kind in self.ids else kind.removesuffix("s")

    def _object(self, schema: Json, _name: str, depth: int) -> Json:
        needed = set(schema.get("required", ()))
        return {
            name: self.of(one, name, depth + 1)
            for name, one in schema.get("properties", {}).items()
            if name in needed or (depth < 6 and self.chance.random() < 0.5)
        }

    def _array(self, schema: Json, name: str, depth: int) -> list[Any]:
        many = max(schema.get("minItems", 0), self.chance.choice((1, 1, 2)))
        made = [self.of(schema.get("items", {}), name, depth + 1) for _ in range(many)]
        return made if made and isinstance(made[0], dict | list) else list(dict.fromkeys(made))

    def _string(self, schema: Json, _name: str, _depth: int) -> str:
        if schema.get("format") == "date-time":
            return f"2026-02-03T{self.chance.randrange(12):02}:00:00Z"
        known = {"date": "2026-03-01", "time": "18:00:00"}
        return known.get(schema.get("format", ""), self.chance.choice(WORDS))

    def _integer(self, schema: Json, _name: str, _depth: int) -> int:
        return self.chance.randint(schema.get("minimum", 0), 5)

    def _number(self, _schema: Json, _name: str, _depth: int) -> float:
        return self.chance.choice((0.5, 8.0, 12.5, 20.0))

    def _boolean(self, _schema: Json, _name: str, _depth: int) -> bool:
        return self.chance.random() < 0.5

    def _any(self, _schema: Json, _name: str, _depth: int) -> Any:
        return self.chance.choice((None, 1, "x", self.id("")))


def addresses(operation: Operation, ids: Sequence[str]) -> Iterator[str]:
    """The address of an operation with each of these ids where one belongs."""
    if not operation.places:
        yield operation.path
        return
    for ident in ids:
        yield re.sub(r"\{\w+\}", ident, operation.path)


def questions(operation: Operation, forger: Forger) -> Json:
    """Something for everything that may be asked."""
    return {one["name"]: forger.of(one["schema"], one["name"]) for one in operation.asks}


def readable(answer: bytes) -> str:
    """What a person would read of an answer; most are words, some are pages."""
    if not answer.startswith(b"%PDF"):
        return answer.decode(errors="replace")
    pages = pypdfium2.PdfDocument(answer)
    return "\n".join(page.get_textpage().get_text_bounded() for page in pages)


def nobodys_id() -> str:
    """One that never was."""
    return str(uuid4())
