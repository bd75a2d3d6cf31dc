"""Random stories, by the numbers they are drawn from."""

from collections.abc import Iterable

import pytest
from _pytest.mark import ParameterSet

ON_BOTH = 2


def drawn(seeds: Iterable[int]) -> list[ParameterSet]:
    """Seeds to draw stories from: all on SQLite, the first two on PostgreSQL as well, since what
    a story tries is the rules, and the engine beneath them only in passing."""
    return [
        pytest.param(seed, id=str(seed), marks=[pytest.mark.embedded] if number >= ON_BOTH else [])
        for number, seed in enumerate(seeds)
    ]
