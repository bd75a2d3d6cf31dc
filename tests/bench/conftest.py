"""What every bench does first, as a server does at its start."""

import gc
from collections.abc import Iterator

import pytest


@pytest.fixture(autouse=True)
def loaded_for_good() -> Iterator[None]:
    """The tests' own library is no garbage to look through, for us or for a rival."""
    gc.collect()
    gc.freeze()
    yield
    gc.unfreeze()
