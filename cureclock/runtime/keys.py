"""Secrets made at the first run and kept in files that only their owner can read."""

import os
import secrets
from pathlib import Path


def kept_secret(path: Path) -> str:
    """The secret in this file; made now if there is none. Two processes at once end with one."""
    try:
        return path.read_text().strip()
    except FileNotFoundError:
        write_private(path, secrets.token_urlsafe(50).encode(), replace=False)
        return path.read_text().strip()


def write_private(path: Path, content: bytes, *, replace: bool = True) -> None:
    """Whole or not at all, readable by the owner alone from the first byte on."""
    private_folder(path.parent)
    beside = path.with_name(f".{path.name}.{secrets.token_hex(4)}")
    with os.fdopen(os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as out:
        out.write(content)
        out.flush()
        os.fsync(out.fileno())
    if replace:
        beside.replace(path)
        return
    try:
        os.link(beside, path)  # unlike a rename, this loses to whoever was first
    except FileExistsError:
        pass
    finally:
        beside.unlink()


def private_folder(path: Path) -> None:
    path.mkdir(mode=0o700, parents=True, exist_ok=True)
