"""A backup made while others write is of one instant: what comes back agrees with itself."""

import threading
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from uuid import UUID, uuid4

import pytest
from django.db import connections

from cureclock.exports.archive.write import write_archive
from cureclock.intake.backup_restore import restore
from cureclock.shop.models import Event, GlueUp, Joint, Piece, Reading, Workshop
from cureclock.waits.rebuild import differences
from tests.cast import Cast, when
from tests.intake.whole_shop import NOW, forget, whole_shop

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.slow]
HANDS = 2


class Hand(threading.Thread):
    """Glues and reads, over and over; remembers in which order it did."""

    def __init__(self, cast: Cast, number: int) -> None:
        super().__init__()
        self.cast, self.number = cast, number
        self.over = threading.Event()
        self.told: list[UUID] = []
        self.failed: list[Exception] = []

    def run(self) -> None:
        try:
            while not self.over.wait(0.02):
                self.once(len(self.told))
        except Exception as stumbled:  # noqa: BLE001 - whatever it was is the finding
            self.failed.append(stumbled)
        finally:
            connections.close_all()

    def once(self, count: int) -> None:
        at = NOW + timedelta(seconds=10 * count + self.number)
        tag, name = f"H{self.number}-{count}", f"G {self.number} {count}"
        self.cast.piece(tag, at=at)  # type: ignore[arg-type]
        self.cast.spread(name, [tag], at, label="PVA-G label")  # type: ignore[arg-type]
        ident = uuid4()
        self.cast.do("pressure_on", at, glue_up=self.cast.id(name), ident=ident)
        self.cast.do("reading_taken", at, place=self.cast.id("Shed"), temp_c=15.0 + count % 5)
        self.told.append(ident)


@pytest.fixture
def hands() -> Iterator[list[Hand]]:
    cast = whole_shop()
    known = [Hand(cast, number) for number in range(HANDS)]
    for one in known:
        one.start()
    yield known
    for one in known:
        one.over.set()
        one.join()


def test_what_is_backed_up_while_others_write_comes_back_whole(
    hands: list[Hand], tmp_path: Path
) -> None:
    cast, paths = hands[0].cast, []
    for number in range(3):
        while min(len(one.told) for one in hands) < 2 + number and not any(
            one.failed for one in hands
        ):
            hands[0].over.wait(0.02)
        paths.append(tmp_path / f"{number}.zip")
        with paths[-1].open("wb") as out:
            write_archive(cast.workshop, out, NOW)
    for one in hands:
        one.over.set()
    for one in hands:
        one.join()
        assert one.failed == []
    counts = [comes_back(path, hands) for path in paths]
    assert counts == sorted(counts)
    assert counts[0] >= 2 * HANDS


def comes_back(path: Path, hands: list[Hand]) -> int:
    """Of each hand all that it did up to some moment, and nothing of half an act."""
    forget(Workshop.objects.get())
    back = restore(path, NOW).workshop
    kept = set(Event.objects.filter(workshop=back).values_list("id", flat=True))
    for one in hands:
        there = [ident in kept for ident in one.told]
        assert there == sorted(there, reverse=True)
    for glue_up in GlueUp.objects.filter(workshop=back, name__startswith="G "):
        assert Joint.objects.filter(glue_up=glue_up).count() == 1
    assert Piece.objects.filter(workshop=back, tag__startswith="H").exists()
    assert Reading.objects.filter(place__workshop=back).exists()
    assert differences(back, when("Wed 12:00")) == []
    return sum(ident in kept for one in hands for ident in one.told)
