"""Random stories, by the numbers they are drawn from."""

from collections.abc import Iterable

import pytest
from _pytest.mark import ParameterSet

ON_SQLITE, ON_BOTH = 3, 1


def drawn(seeds: Iterable[int]) -> list[ParameterSet]:
    """Seeds to draw stories from: three in the plain run and all in the long one, on SQLite; the
    first on PostgreSQL as well, since what a story tries is the rules, and the engine beneath
    them only in passing."""
    return [
        pytest.param(seed, id=str(seed), marks=marks(number)) for number, seed in enumerate(seeds)
    ]


def marks(number: int) -> list[pytest.MarkDecorator]:
    asked = [pytest.mark.embedded] if number >= ON_BOTH else []
    return [*asked, pytest.mark.long] if number >= ON_SQLITE else asked
