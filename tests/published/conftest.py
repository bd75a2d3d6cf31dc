"""The register of checks: each printed figure and what we make of it, for the science page.

It asserts nothing. Rows are kept in the pytest cache under `cureclock/checked`, by test, so that
workers of a parallel run and later partial runs add to the same table; `--cache-clear` empties it.
"""

import fcntl
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from numpy.typing import ArrayLike

CACHE_KEY = "cureclock/checked"
ROWS = pytest.StashKey[dict[str, list[dict[str, Any]]]]()

Checked = Callable[[str, str, ArrayLike, ArrayLike], None]


def pytest_configure(config: pytest.Config) -> None:
    config.stash[ROWS] = {}


@pytest.fixture
def checked(request: pytest.FixtureRequest) -> Checked:
    """Record a check: quantity, source, our figures, the printed ones (any shape)."""
    rows = request.config.stash[ROWS].setdefault(request.node.nodeid, [])
    rows.clear()

    def record(quantity: str, source: str, ours: ArrayLike, theirs: ArrayLike) -> None:
        rows.append({"quantity": quantity, "source": source, **_worst(ours, theirs)})

    return record


def _worst(ours: ArrayLike, theirs: ArrayLike) -> dict[str, Any]:
    """How many figures were held against each other, and the pair furthest apart."""
    mine, printed = np.asarray(ours), np.asarray(theirs)
    if mine.dtype.kind not in "biuf" or printed.dtype.kind not in "biuf":
        same = bool(np.all(mine == printed))
        return {"ours": str(ours), "theirs": str(theirs), "difference": 0.0 if same else None,
                "cells": int(mine.size)}  # fmt: skip
    pairs = np.broadcast_arrays(mine.astype(float), printed.astype(float))
    apart = np.abs(pairs[0] - pairs[1])
    at = int(np.argmax(apart))
    return {
        "ours": _short(pairs[0].flat[at]),
        "theirs": _short(pairs[1].flat[at]),
        "difference": _short(apart.flat[at]),
        "cells": int(apart.size),
    }


def _short(value: float) -> float:
    return float(f"{value:.6g}")


def pytest_sessionfinish(session: pytest.Session) -> None:
    rows = {name: kept for name, kept in session.config.stash[ROWS].items() if kept}
    cache = session.config.cache
    if not rows or cache is None:
        return
    with (cache.mkdir("cureclock") / "checked.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        merged = {**cache.get(CACHE_KEY, {}), **rows}
        cache.set(CACHE_KEY, dict(sorted(merged.items())))
