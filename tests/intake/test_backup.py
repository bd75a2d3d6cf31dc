"""Backup and restore: every row comes back, estimates agree, and nothing of it reaches anybody."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from uuid import UUID
from zipfile import ZipFile

import pytest
from pytest_django import DjangoDbBlocker

from cureclock.exports.archive.secrets import WHY
from cureclock.intake.backup_restore import restore
from cureclock.reminders.models import Delivery, LinkUsed, Way
from cureclock.shop.models import BrokerVersion, Membership, Person, Phone, Workshop
from cureclock.shop.refusals import Refusal
from cureclock.shop.sealing import sealed, unsealed
from cureclock.waits.models import Gate
from cureclock.waits.rebuild import differences
from tests.api.door import PhoneAtDoor, paired
from tests.intake.whole_shop import NOW, Plain, archived, forget, kept, plain, whole_shop

pytestmark = pytest.mark.django_db(transaction=True)
# Something of each stays behind.
IN_PART = {"reminders.Way", "reminders.Delivery", "shop.BrokerVersion"}


@dataclass(frozen=True)
class Made:
    """A backup, and what the records held when it was made."""

    content: bytes
    rows: Plain
    gates: dict[UUID, tuple[object, ...]]
    links: dict[UUID, UUID]
    phone: PhoneAtDoor
    owner: UUID


def gates() -> dict[UUID, tuple[object, ...]]:
    return {row[0]: row for row in Gate.objects.values_list("id", "state", "reached_at")}


def links() -> dict[UUID, UUID]:
    """Which alert each link answered, found over a row that the records number themselves."""
    return dict(LinkUsed.objects.values_list("id", "delivery__alert"))


@pytest.fixture(scope="module")
def made(django_db_setup: None, django_db_blocker: DjangoDbBlocker) -> Iterator[Made]:
    """A shop told once for this module, backed up and forgotten."""
    with django_db_blocker.unblock():
        shop = whole_shop()
        phone = paired(shop)
        Way.objects.update(
            address="https://push.example.org/secret-path",
            keys={"auth": "secret-key"},
            dead_since=None,
            dead_why="",
        )
        Delivery.objects.update(state=Delivery.State.PENDING)
        BrokerVersion.objects.update(password=sealed("secret-knot"))
        rows = plain(shop.workshop)
        content = archived(shop.workshop)
        assert shop.owner.person
        found = Made(content, rows, gates(), links(), phone, shop.owner.person.id)
        forget(shop.workshop)
        yield found


@pytest.fixture
def backup(made: Made, tmp_path: Path) -> Path:
    return kept(tmp_path, made.content)


def test_every_row_of_every_table_comes_back(made: Made, backup: Path) -> None:
    assert all(made.rows.values()), "a table without a row proves nothing"
    after = plain(restore(backup, NOW).workshop)
    assert after.keys() == made.rows.keys()
    for name in made.rows.keys() - IN_PART:
        assert after[name] == made.rows[name], name
    assert [len(after[name]) for name in IN_PART] == [1, 1, 1]


def test_estimates_are_made_anew_and_agree(made: Made, backup: Path) -> None:
    assert not Gate.objects.exists()
    back = restore(backup, NOW).workshop
    assert differences(back, NOW) == []
    assert gates() == made.gates
    assert Gate.State.REACHED in {state for _, state, _ in made.gates.values()}


def test_a_backup_of_what_was_restored_is_the_same_backup(backup: Path, tmp_path: Path) -> None:
    first = archived(restore(backup, NOW).workshop)
    again = kept(tmp_path, first)
    forget(Workshop.objects.get())
    assert archived(restore(again, NOW).workshop) == first


def test_a_workshop_that_is_here_is_not_restored_over(backup: Path) -> None:
    here = restore(backup, NOW).workshop
    before = plain(here)
    with pytest.raises(Refusal, match="here already"):
        restore(backup, NOW)
    assert plain(here) == before


def test_rows_that_are_here_in_another_workshop_are_refused(made: Made, backup: Path) -> None:
    Person.objects.create(id=made.owner, name="Somebody else")
    with pytest.raises(Refusal, match="another workshop"):
        restore(backup, NOW)
    assert not Workshop.objects.exists()
    assert not Phone.objects.exists()
    assert Person.objects.get().name == "Somebody else"


def test_it_is_restored_beside_another_workshop_and_touches_none_of_it(
    made: Made, backup: Path
) -> None:
    """Rows that the records number get new numbers then, and what points to them follows."""
    other = whole_shop("Another")
    others = plain(other.workshop)
    back = restore(backup, NOW).workshop
    assert plain(other.workshop) == others
    after = plain(back)
    assert {name: len(rows) for name, rows in after.items()} == {
        name: len(rows) for name, rows in made.rows.items()
    }
    assert after["shop.Event"] == made.rows["shop.Event"]
    assert differences(back, NOW) == []
    assert made.links.items() <= links().items()


def test_numbering_goes_on_after_the_highest_that_came_back(backup: Path) -> None:
    back = restore(backup, NOW).workshop
    highest = max(Membership.objects.values_list("id", flat=True))
    person = Person.objects.create(name="New hand")
    assert Membership.objects.create(workshop=back, person=person, role="helper").id > highest


def test_nothing_in_it_reaches_anybody(backup: Path) -> None:
    with ZipFile(backup) as archive:
        inside = b"".join(archive.read(name) for name in archive.namelist())
    assert b"secret" not in inside
    assert b"push.example.org" not in inside
    restore(backup, NOW)
    way = Way.objects.get()
    assert (way.keys, way.dead_why) == ({}, WHY)
    assert way.dead_since is not None
    assert Delivery.objects.get().state == Delivery.State.EXPIRED
    password = BrokerVersion.objects.get().password
    assert password  # that there was one is known
    assert unsealed(password) is None


def test_paired_phones_stay_paired(made: Made, backup: Path) -> None:
    assert made.phone.get("phones", NOW).status_code == 401
    restore(backup, NOW)
    assert made.phone.get("phones", NOW).status_code == 200


def test_pictures_come_back_byte_for_byte(backup: Path, tmp_path: Path) -> None:
    pictures, back = tmp_path / "pictures", tmp_path / "back"
    (pictures / "ab").mkdir(parents=True)
    (pictures / "ab" / "one.jpg").write_bytes(bytes(range(256)) * 5000)
    (pictures / "two.jpg").write_bytes(b"")
    path = kept(tmp_path, archived(restore(backup, NOW).workshop, pictures))
    forget(Workshop.objects.get())
    assert restore(path, NOW, back).pictures == 2
    assert (back / "ab" / "one.jpg").read_bytes() == bytes(range(256)) * 5000
    assert (back / "two.jpg").read_bytes() == b""


def test_pictures_that_are_there_are_not_written_over(backup: Path, tmp_path: Path) -> None:
    pictures = tmp_path / "pictures"
    pictures.mkdir()
    (pictures / "one.jpg").write_bytes(b"mine")
    path = kept(tmp_path, archived(restore(backup, NOW).workshop, pictures))
    forget(Workshop.objects.get())
    (pictures / "one.jpg").write_bytes(b"other")
    with pytest.raises(Refusal, match="already"):
        restore(path, NOW, pictures)
    assert (pictures / "one.jpg").read_bytes() == b"other"
    assert not Workshop.objects.exists()
