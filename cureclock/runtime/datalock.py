"""One server on one set of records: a second would ring every phone twice."""

import os
from pathlib import Path
from typing import IO

from cureclock.runtime.keys import private_folder

try:
    import fcntl
except ImportError:  # not there on Windows; the busy port then has to do
    fcntl = None  # type: ignore[assignment]


class Held(Exception):
    """Another process has the records open."""


def hold(beside: Path) -> IO[str]:
    """Keep the returned file open for as long as the records are used; the lock ends with it."""
    path = beside.with_name(f"{beside.name}.lock")
    private_folder(path.parent)
    file = path.open("a+")
    try:
        if fcntl:
            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        file.seek(0)
        owner = file.read().strip() or "unknown"
        file.close()
        raise Held(
            f"Another `up` (process {owner}) is already using these records ({beside}). "
            "Stop that one first, or set CURECLOCK_VAR to another folder."
        ) from None
    file.truncate(0)
    file.write(str(os.getpid()))
    file.flush()
    return file
