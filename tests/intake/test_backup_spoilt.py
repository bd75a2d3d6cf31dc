"""A backup that was cut short, tampered with, or made by a newer program: one sentence, and nothing written."""

import hashlib
import io
import json
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path
from typing import Any
from uuid import uuid4
from zipfile import ZIP_BZIP2, ZIP_DEFLATED, ZipFile

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st
from pytest_django import DjangoDbBlocker

from cureclock.exports.archive.manifest import FORM, NAME
from cureclock.exports.archive.secrets import NEVER_UNSEALED, WHY
from cureclock.exports.archive.tables import tables
from cureclock.intake.backup import Backup
from cureclock.intake.backup_restore import restore
from cureclock.reminders.models import Way
from cureclock.shop.models import BrokerVersion, Workshop
from cureclock.shop.refusals import Refusal
from tests.intake.whole_shop import NOW, archived, forget, kept, plain, whole_shop

Files = dict[str, bytes]
EVENTS = "tables/shop.Event.jsonl"
READINGS = "tables/shop.Reading.jsonl"


class Content(bytes):
    """A backup; too long to be printed when a test fails."""

    def __repr__(self) -> str:
        return f"a backup of {len(self)} bytes"


@pytest.fixture(scope="module")
def content(django_db_setup: None, django_db_blocker: DjangoDbBlocker) -> Iterator[bytes]:
    """A good backup, made once for this module."""
    with django_db_blocker.unblock():
        shop = whole_shop()
        made = Content(archived(shop.workshop))
        forget(shop.workshop)
        yield made


def unpacked(content: bytes) -> Files:
    with ZipFile(io.BytesIO(content)) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def packed(files: Files, how: int = ZIP_DEFLATED) -> bytes:
    out = io.BytesIO()
    with ZipFile(out, "w", how) as archive:
        for name, inside in files.items():
            archive.writestr(name, inside)
    return out.getvalue()


def signed(files: Files) -> bytes:
    """Packed again with a manifest that vouches for it: what somebody who tampers well would do."""
    manifest = json.loads(files[NAME])
    for member in manifest["members"]:
        inside = files[member["name"]]
        member["size"], member["digest"] = len(inside), hashlib.sha256(inside).hexdigest()
        if member["rows"] is not None:
            member["rows"] = inside.count(b"\n")
    files[NAME] = json.dumps(manifest).encode()
    return packed(files)


def rows(files: Files, name: str) -> list[dict[str, Any]]:
    return [json.loads(line) for line in files[name].splitlines()]


def put(files: Files, name: str, told: list[Any]) -> Files:
    return {**files, name: b"".join(json.dumps(row).encode() + b"\n" for row in told)}


def refused(content: bytes, folder: Path) -> str:
    """Why it is not taken; and that nothing of it is left."""
    before = Workshop.objects.count()
    with pytest.raises(Refusal) as why:
        restore(kept(folder, content), NOW)
    assert Workshop.objects.count() == before
    for table in tables():
        assert table.model._base_manager.count() == 0 or before, table.name
    assert why.value.wrong
    assert why.value.mend
    return str(why.value)


@pytest.mark.django_db
@pytest.mark.parametrize("part", [0.0, 0.1, 0.5, 0.9, 0.99, 0.9999])
def test_a_backup_cut_short_is_refused(content: bytes, tmp_path: Path, part: float) -> None:
    short = content[: min(int(len(content) * part), len(content) - 1)]
    assert "cut short" in refused(short, tmp_path)


@pytest.mark.django_db
def test_a_file_that_is_not_there_or_a_folder_is_refused(tmp_path: Path) -> None:
    for path in (tmp_path / "none.zip", tmp_path):
        with pytest.raises(Refusal, match="cannot be opened"):
            restore(path, NOW)


@pytest.mark.django_db
def test_every_member_is_vouched_for(content: bytes, tmp_path: Path) -> None:
    files = unpacked(content)
    for name in files.keys() - {NAME}:
        changed = packed({**files, name: files[name] + b"{}\n"})
        assert "was changed after" in refused(changed, tmp_path), name


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("change", "why"),
    [
        (lambda files: {k: v for k, v in files.items() if k != READINGS}, "does not hold what"),
        (lambda files: {**files, "tables/shop.Evil.jsonl": b""}, "does not hold what"),
        (lambda files: {k: v for k, v in files.items() if k != NAME}, "cannot be read"),
        (lambda files: {**files, NAME: b"{}"}, "cannot be read"),
        (lambda files: {**files, NAME: b"[" * 100_000}, "cannot be read"),
        (lambda files: {**files, NAME: b" " * (17 * 1024 * 1024)}, "cannot be read"),
    ],
)
def test_members_that_lack_or_were_added_are_refused(
    content: bytes, tmp_path: Path, change: Callable[[Files], Files], why: str
) -> None:
    assert why in refused(packed(change(unpacked(content))), tmp_path)


@pytest.mark.django_db
def test_a_backup_packed_in_another_way_is_refused(content: bytes, tmp_path: Path) -> None:
    assert "no backup" in refused(packed(unpacked(content), ZIP_BZIP2), tmp_path)


@pytest.mark.django_db
@pytest.mark.parametrize(
    "newer",
    [
        {"form": FORM + 1},
        {"migrations": {"shop": "9999_from_later"}},
        {"migrations": {"an_app_of_tomorrow": "0001_initial"}},
    ],
)
def test_a_backup_of_a_newer_version_is_refused(
    content: bytes, tmp_path: Path, newer: dict[str, Any]
) -> None:
    files = unpacked(content)
    manifest = {**json.loads(files[NAME]), **newer}
    changed = packed({**files, NAME: json.dumps(manifest).encode()})
    assert "newer version" in refused(changed, tmp_path)


def _broken(column: str, value: Any, name: str = EVENTS) -> Callable[[Files], Files]:
    def change(files: Files) -> Files:
        told = rows(files, name)
        told[0][column] = value
        return put(files, name, told)

    return change


def _without(column: str, name: str = EVENTS) -> Callable[[Files], Files]:
    return lambda files: put(
        files, name, [{k: v for k, v in row.items() if k != column} for row in rows(files, name)]
    )


BROKEN: dict[str, Callable[[Files], Files]] = {
    "an id that is none": _broken("id", "no id"),
    "no id": _broken("id", None),
    "a time without its offset": _broken("happened_at", "2026-02-02T08:00:00"),
    "a time that is none": _broken("happened_at", 7),
    "a kind that is too long": _broken("kind", "x" * 41),
    "a sign no record holds": _broken("kind", "a\0b"),
    "half a sign": _broken("kind", "\ud800"),
    "a number below none": _broken("number", -1),
    "a number too large": _broken("number", 2**70),
    "truth for a number": _broken("number", True),
    "a temperature that is none": _broken("temp_c", "warm", READINGS),
    "a temperature without end": _broken("temp_c", float("inf"), READINGS),
    "a column nobody knows": _broken("evil", 1),
    "a column that lacks": _without("kind"),
    "a place that is not there": _broken("place_id", str(uuid4()), READINGS),
    "a row twice": lambda f: put(f, EVENTS, rows(f, EVENTS) + rows(f, EVENTS)[:1]),
    "a row that is a list": lambda f: put(f, EVENTS, [*rows(f, EVENTS), [1]]),
    "a line that is no JSON": lambda f: {**f, EVENTS: f[EVENTS] + b"oak\n"},
    "a line without its end": lambda f: {**f, EVENTS: f[EVENTS] + b"{}"},
    "two workshops": lambda f: put(
        f,
        "tables/shop.Workshop.jsonl",
        [
            *rows(f, "tables/shop.Workshop.jsonl"),
            {**rows(f, "tables/shop.Workshop.jsonl")[0], "id": str(uuid4())},
        ],
    ),
    "no workshop": lambda f: put(f, "tables/shop.Workshop.jsonl", []),
    "a gate in no state": lambda f: put(f, "seen.jsonl", [{"id": str(uuid4()), "state": "x"}]),
    "a happening without its label": lambda f: put(
        f,
        "tables/shop.LabelVersion.jsonl",
        [{**row, "values": {"evil": 1}} for row in rows(f, "tables/shop.LabelVersion.jsonl")],
    ),
}


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("name", BROKEN)
def test_rows_that_make_no_sense_are_refused_however_well_vouched_for(
    content: bytes, tmp_path: Path, name: str
) -> None:
    refused(signed(BROKEN[name](unpacked(content))), tmp_path)


@pytest.mark.django_db(transaction=True)
def test_signing_again_without_a_change_is_taken(content: bytes, tmp_path: Path) -> None:
    """So that the test above refuses for the change, and not for the signing."""
    assert restore(kept(tmp_path, signed(unpacked(content))), NOW).workshop


@pytest.mark.django_db(transaction=True)
def test_what_an_older_program_kept_in_clear_or_a_hand_put_in_is_left_out(
    content: bytes, tmp_path: Path
) -> None:
    files = unpacked(content)
    ways, brokers = "tables/reminders.Way.jsonl", "tables/shop.BrokerVersion.jsonl"
    alive = {"address": "https://10.0.0.1/", "keys": {"a": "b"}, "dead_since": None, "dead_why": ""}
    files = put(files, ways, [row | alive for row in rows(files, ways)])
    files = put(files, brokers, [row | {"password": "knot"} for row in rows(files, brokers)])
    people, called = "tables/shop.Person.jsonl", {"notify_url": "https://10.0.0.1/"}
    files = put(files, people, [row | called for row in rows(files, people)])
    restore(kept(tmp_path, signed(files)), NOW)
    assert BrokerVersion.objects.get().password == NEVER_UNSEALED
    way = Way.objects.get()
    assert (way.keys, way.dead_why) == ({}, WHY)
    assert "10.0.0.1" not in way.address


@pytest.mark.django_db(transaction=True)
def test_rows_that_point_into_another_workshop_are_refused(content: bytes, tmp_path: Path) -> None:
    """As somebody would try who wants to read another shop's pieces by a restored one."""
    other = whole_shop("Another")
    before = plain(other.workshop)
    person = other.owner.person
    assert person
    targets = {
        EVENTS: {
            "place_id": other.id("Shed"),
            "piece_id": other.id("L-01"),
            "person_id": person.id,
        },
        READINGS: {"place_id": other.id("Shed")},
        "tables/shop.MadeFrom.jsonl": {"part_id": other.id("L-02")},
    }
    for name, columns in targets.items():
        for column, ident in columns.items():
            changed = signed(_broken(column, str(ident), name)(unpacked(content)))
            with pytest.raises(Refusal, match="another workshop"):
                restore(kept(tmp_path, changed), NOW)
            assert Workshop.objects.count() == 1
    assert plain(other.workshop) == before


@pytest.mark.django_db
@pytest.mark.parametrize(
    "name", ["../evil", "/evil", "a/../../evil", "a\\evil", "C:evil", "a//b", "", "./a"]
)
def test_a_picture_with_a_name_that_leads_elsewhere_is_refused(
    content: bytes, tmp_path: Path, name: str
) -> None:
    files = unpacked(content)
    manifest = json.loads(files[NAME])
    manifest["members"].append({"name": f"pictures/{name}", "rows": None, "size": 1, "digest": ""})
    files = {**files, f"pictures/{name}": b"x", NAME: json.dumps(manifest).encode()}
    with pytest.raises(Refusal, match=r"leads elsewhere|does not hold"):
        restore(kept(tmp_path, signed(files)), NOW, tmp_path / "pictures")
    assert [path.name for path in tmp_path.rglob("*")] == ["backup.zip"]


def _opened(content: bytes) -> None:
    """Open and read everything, as far as that goes; only a refusal may stop it."""
    with suppress(Refusal):
        backup = Backup(io.BytesIO(content))
        backup.check()
        for member in backup.manifest.members:
            if member.rows is not None:
                list(backup.rows(member.name))


@given(st.binary(max_size=400))
@example(b"PK\x05\x06" + bytes(18))
def test_any_bytes_are_read_or_refused(content: bytes) -> None:
    _opened(content)


@pytest.mark.django_db
@settings(max_examples=200, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.data())
def test_a_backup_with_any_bytes_changed_is_read_or_refused(
    content: bytes, data: st.DataObject
) -> None:
    """Each change is either seen, or changed nothing that is read."""
    spoilt = bytearray(content)
    for _ in range(data.draw(st.integers(1, 8))):
        spoilt[data.draw(st.integers(0, len(spoilt) - 1))] = data.draw(st.integers(0, 255))
    _opened(bytes(spoilt))


PLAIN_JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=10),
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3)
    ),
    max_leaves=8,
)


@pytest.mark.django_db
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.dictionaries(
        st.sampled_from(
            [
                "form",
                "product",
                "workshop_id",
                "workshop_name",
                "made_at",
                "migrations",
                "members",
                "left_out",
            ]
        ),
        PLAIN_JSON,
        min_size=1,
    )
)
def test_a_manifest_that_says_anything_is_read_or_refused(
    content: bytes, said: dict[str, Any]
) -> None:
    files = unpacked(content)
    manifest = {**json.loads(files[NAME]), **said}
    _opened(packed({**files, NAME: json.dumps(manifest).encode()}))


@pytest.mark.django_db(transaction=True)
@settings(
    max_examples=30, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None
)
@given(st.data())
def test_rows_that_say_anything_are_taken_whole_or_not_at_all(
    content: bytes, tmp_path: Path, data: st.DataObject
) -> None:
    files = unpacked(content)
    names = sorted(name for name in files if name.startswith("tables/"))
    name = data.draw(st.sampled_from(names))
    told = rows(files, name)
    column = data.draw(st.sampled_from(sorted(told[0])))
    told[0][column] = data.draw(PLAIN_JSON)
    path = kept(tmp_path, signed(put(files, name, told)))
    try:
        back = restore(path, NOW).workshop
    except Refusal:
        assert not Workshop.objects.exists()
    else:
        forget(back)
