"""What ships: families of glues, finishes and holds, woods and kinds of clamps, with their sources."""

from functools import cache
from typing import Any

from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from cureclock.api.schema import documented
from cureclock.api.told import as_told
from cureclock.core.materials.gate import Gate
from cureclock.core.materials.library import library
from cureclock.core.materials.model import Family
from cureclock.core.materials.vocabulary import NOTES, TESTS

LISTS = ("families", "woods", "clamp_kinds", "sources")
SHELF = {
    "type": "object",
    "properties": {
        **{name: {"type": "array", "items": {"type": "object"}} for name in LISTS},
        **{name: {"type": "object"} for name in ("tests", "notes")},
    },
}


class LibraryView(APIView):
    """The shelf to choose from."""

    @documented(SHELF)
    def get(self, _request: Request) -> Response:
        """Everything on it. Typical figures, each with its source: the label stands above them."""
        return Response(shelf())


@cache
def shelf() -> dict[str, Any]:
    """Read once; it does not change while the server runs."""
    ships = library()
    return {
        "families": [_family(one) for one in ships.families.values()],
        "woods": [as_told(one) for one in ships.woods.values()],
        "clamp_kinds": [as_told(one) for one in ships.clamp_kinds.values()],
        "sources": [as_told(one) for one in ships.sources.values()],
        "tests": TESTS,
        "notes": NOTES,
    }


def _family(family: Family) -> dict[str, Any]:
    told: dict[str, Any] = as_told(family)
    told["gates"] = [_gate(gate) for gate in family.gates.values()]
    return told


def _gate(gate: Gate) -> dict[str, Any]:
    return {
        "kind": gate.name,
        "hours": gate.hours,
        "upper_hours": gate.unread_hours,
        "by_wall": gate.by_wall,
        "read": False,
        "source": gate.time.source,
        "status": gate.time.status,
    }
