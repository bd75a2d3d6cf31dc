"""Worlds to break: on SQLite, or with `--real` on a PostgreSQL of their own."""

from collections.abc import Iterator

import pytest

from tests.faults.servers import Postgres
from tests.faults.world import World, migrate_on, on_postgres, on_sqlite


@pytest.fixture(scope="session")
def own_postgres(request: pytest.FixtureRequest) -> Iterator[Postgres]:
    """A PostgreSQL that these tests alone use, because they kill it."""
    server = Postgres()
    migrate_on(server)
    yield server
    server.stop()


@pytest.fixture
def world(request: pytest.FixtureRequest) -> Iterator[World]:
    if request.config.getoption("--real"):
        with on_postgres(request.getfixturevalue("own_postgres")) as made:
            yield made
    else:
        with on_sqlite() as made:
            yield made
