"""Bench: a batch of 500 stands of eight joints, its page and every "may I spin?", under 150 ms.

Run: python -m pytest -q -s tests/bench/bench_batch.py
"""

from collections.abc import Callable
from statistics import median
from time import perf_counter
from typing import Any

import pytest
from django.db import connection

from cureclock.waits.may.answers import may
from cureclock.waits.pieces import pieces_shown, standing_pieces
from tests.api.door import paired
from tests.cast import when
from tests.stands import batch_of

pytestmark = pytest.mark.django_db
LIMIT_S = 0.150
AT = "Fri 12:00"
OVER_THE_WIRE = ("GET /api/may",)  # printed; the limit is for the answers themselves


def _counting(seen: list[str]) -> Callable[..., Any]:
    """Notes every query, also those of a request."""

    def noted(execute: Callable[..., Any], sql: str, *rest: Any) -> Any:
        seen.append(sql)
        return execute(sql, *rest)

    return noted


def asked(count: int) -> dict[str, tuple[float, int]]:
    """Median seconds and queries of each question, warm."""
    cast, batch = batch_of(count)
    phone = paired(cast)
    pieces = [piece.id for piece in standing_pieces(batch)]
    questions: dict[str, Callable[[], Any]] = {
        "pieces of the page": lambda: pieces_shown(cast.workshop),
        "may spin, all": lambda: may(cast.workshop, pieces, "spin", when(AT)),
        "GET /api/may": lambda: phone.get(f"may?act=spin&batch={batch.id}", AT),
    }
    found = {}
    for name, ask in questions.items():
        seen: list[str] = []
        with connection.execute_wrapper(_counting(seen)):
            ask()
        took = []
        for _ in range(7):
            began = perf_counter()
            ask()
            took.append(perf_counter() - began)
        found[name] = (median(took), len(seen))
    return found


def test_a_batch_of_500_answers_while_one_waits() -> None:
    few, many = asked(50), asked(500)
    for name, (seconds, queries) in many.items():
        print(
            f"{name}: {1000 * few[name][0]:.0f} ms of 50, {1000 * seconds:.0f} ms of 500, {queries} queries"
        )
        assert queries == few[name][1], name
        assert name in OVER_THE_WIRE or seconds < LIMIT_S, name
