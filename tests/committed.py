"""When the alerts of clamps that may come off were committed, for benches of how late that is."""

import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from typing import Any

from cureclock.reminders import points, promise


@contextmanager
def commits() -> Iterator[Mapping[str, float]]:
    """By glue-up, the instant at which its alert stood in the records [s]; filled as they come."""
    committed: dict[str, float] = {}
    written: list[str] = []
    plain = promise.write

    def write(promises: Any, at: Any, houses: Any) -> int:
        told = plain(promises, at, houses)
        written.extend(str(one.alert.about) for one in promises if one.alert.gate == "clamps_off")
        return told

    def commit(point: str) -> None:
        if point == "fire.committed" and written:
            committed.update(dict.fromkeys(written, time.time()))
            written.clear()

    over = points.listen(commit)
    promise.write = write
    try:
        yield committed
    finally:
        promise.write = plain
        over()
