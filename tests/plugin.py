"""Sets the stage before Django reads its settings, and picks the tests a depth asks for.

Records: without `--real` the tests run on SQLite; with it, on a PostgreSQL and a Redis started
here. `python3 manage.py test` runs them once each way, so a flow test is written once and knows
nothing of either. A test that makes sense in one way only is marked `embedded` or `scaled`.

Depth: `quick` leaves out the slow folders, `plain` is what CI runs, and `long` adds the tests
marked `long`. What is left out is deselected, never skipped: a skip fails the whole check.

Order: on SQLite, rows that nobody asked in order come the other way round, so that a test fails
where an answer hangs on the order in which a store happens to give them.
"""

import os
import shutil
import tempfile
from pathlib import Path
from typing import Any

import pytest

TESTS = Path(__file__).parent
SLOW_FOLDERS = {"flows", "browser", "faults"}
TOLD_ONCE = ("tests/demo/",)  # folders whose files share one long story: not shared out
NO_RECORDS = {"core", "published", "architecture", "docs", "browser", "runtime", "bench"}
STARTED = "CURECLOCK_TEST_STAGE"  # tells workers of a parallel run that the stage is set
STAGE = pytest.StashKey[str]()  # the folder, with whoever set the stage and clears it away
MARKERS = {
    "slow": "seconds, not milliseconds: not in `python3 manage.py test --quick`",
    "long": "minutes, not seconds: only `python3 manage.py test --long` runs it",
    "embedded": "only makes sense on SQLite in one process",
    "scaled": "only makes sense on PostgreSQL and Redis",
}


def pytest_addoption(parser: pytest.Parser) -> None:
    group = parser.getgroup("cureclock")
    group.addoption("--real", action="store_true", help="run on PostgreSQL and Redis, started here")
    group.addoption("--table", help="a file in which benches keep the lines of their table")
    group.addoption("--depth", choices=["quick", "plain", "long"], default="plain")


@pytest.hookimpl(tryfirst=True)
def pytest_load_initial_conftests(early_config: pytest.Config, args: list[str]) -> None:
    if STARTED in os.environ:
        return
    for name in [name for name in os.environ if name.startswith("CURECLOCK_")]:
        del os.environ[name]
    for name in ("DATABASE_URL", "REDIS_URL"):
        os.environ.pop(name, None)
    folder = tempfile.mkdtemp(prefix="cureclock-test-")
    os.environ[STARTED] = early_config.stash[STAGE] = folder
    os.environ["CURECLOCK_VAR"] = folder
    os.environ["CURECLOCK_SECRET_KEY"] = "only-in-tests-" + "x" * 40
    os.environ["CURECLOCK_NAMES"] = "testserver"
    os.environ["CURECLOCK_REQUESTS_A_MINUTE"] = "0"  # the tests are many phones in one
    if "--real" in args:
        start_servers()


def start_servers() -> None:
    from tests.servers import Postgres, Redis

    os.environ["DATABASE_URL"] = Postgres().url
    os.environ["REDIS_URL"] = Redis().url


def pytest_configure(config: pytest.Config) -> None:
    for name, meaning in MARKERS.items():
        config.addinivalue_line("markers", f"{name}: {meaning}")
    if config.getoption("--table"):
        os.environ["BENCH_TABLE"] = config.getoption("--table")
    same_draws_each_time(config.getoption("--depth"))
    from cureclock.runtime import webbuild

    if not config.getoption("--table"):  # a bench measures what a server does
        backwards_unless_asked_in_order()
    webbuild.DIST.mkdir(parents=True, exist_ok=True)  # its absence would be warned of in each test


def backwards_unless_asked_in_order() -> None:
    from django.db.backends.signals import connection_created

    connection_created.connect(_backwards, dispatch_uid="tests.backwards")


def _backwards(connection: Any, **_kwargs: Any) -> None:
    if connection.vendor == "sqlite":
        with connection.cursor() as cursor:
            cursor.execute("PRAGMA reverse_unordered_selects = ON")


def same_draws_each_time(depth: str) -> None:
    """A check that gates a change draws the same examples each time; the long one looks further."""
    from hypothesis import settings

    settings.register_profile("steady", derandomize=True, deadline=None)
    settings.register_profile("long", max_examples=1000, deadline=None)
    settings.load_profile("long" if depth == "long" else "steady")


def pytest_unconfigure(config: pytest.Config) -> None:
    if STAGE in config.stash:
        shutil.rmtree(config.stash[STAGE], ignore_errors=True)


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: Any) -> Any:
    """Share the files out among the processes, but a folder that is told once as a whole."""
    from xdist.scheduler import LoadFileScheduling

    class ByFileOrFolder(LoadFileScheduling):
        def _split_scope(self, nodeid: str) -> str:
            told = (folder for folder in TOLD_ONCE if nodeid.startswith(folder))
            return next(told, super()._split_scope(nodeid))

    return ByFileOrFolder(config, log) if config.getoption("dist") == "loadfile" else None


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    depth, real = config.getoption("--depth"), config.getoption("--real")
    chosen = [item for item in items if wanted(item, depth=depth, real=real)]
    if len(chosen) < len(items):
        config.hook.pytest_deselected(items=[item for item in items if item not in chosen])
        items[:] = chosen


def wanted(item: pytest.Item, *, depth: str, real: bool) -> bool:
    folder = folder_of(item.path)
    if item.get_closest_marker("embedded" if real else "scaled"):
        return False
    if real and folder in NO_RECORDS and not item.get_closest_marker("scaled"):
        return False
    if depth == "quick" and (folder in SLOW_FOLDERS or item.get_closest_marker("slow")):
        return False
    return depth == "long" or item.get_closest_marker("long") is None


def folder_of(path: Path) -> str:
    return path.relative_to(TESTS).parts[0] if path.is_relative_to(TESTS) else ""
