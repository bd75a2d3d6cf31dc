"""Secrets are made once, kept whole, and read by their owner alone."""

import stat
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from cureclock.runtime.keys import kept_secret, write_private


def test_kept_secret_is_the_same_at_every_start(tmp_path: Path) -> None:
    first = kept_secret(tmp_path / "var" / "secret_key")
    assert kept_secret(tmp_path / "var" / "secret_key") == first
    assert len(first) >= 64


def test_kept_secret_is_closed_to_other_users(tmp_path: Path) -> None:
    kept_secret(tmp_path / "var" / "secret_key")
    assert stat.S_IMODE((tmp_path / "var" / "secret_key").stat().st_mode) == 0o600
    assert stat.S_IMODE((tmp_path / "var").stat().st_mode) == 0o700


def test_kept_secret_asked_for_by_many_at_once_is_one(tmp_path: Path) -> None:
    with ThreadPoolExecutor(8) as pool:
        asked = list(pool.map(lambda _: kept_secret(tmp_path / "secret_key"), range(64)))
    assert len(set(asked)) == 1
    assert [path.name for path in tmp_path.iterdir()] == ["secret_key"]


def test_write_private_replaces_whole_files(tmp_path: Path) -> None:
    write_private(tmp_path / "a", b"old")
    write_private(tmp_path / "a", b"new")
    assert (tmp_path / "a").read_bytes() == b"new"
    assert [path.name for path in tmp_path.iterdir()] == ["a"]
