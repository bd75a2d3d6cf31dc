"""A shed as a phone finds it now: a place just read, glue, finish, pieces with numbers."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any
from urllib.parse import urlsplit

from playwright.sync_api import Page

from cureclock.actions.pairing_offered import pairing_offered
from cureclock.actions.phone_paired import PhonePaired, phone_paired
from cureclock.actions.pieces_made import ZoneSaid
from cureclock.api.who import COOKIE
from tests.cast import PVA_G, Cast

GLUE: dict[str, Any] = {**PVA_G, "open_time": 5 / 60, "total_assembly": 12 / 60}
VARNISH: dict[str, Any] = {"wipe_off": 20 / 60, "dust_free": 2, "touch": 4, "recoat_opens": 8}


def ago(hours: float) -> datetime:
    """An instant so many hours before now, as the server's clock tells it."""
    return datetime.now(UTC) - timedelta(hours=hours)


def zone_where_it_is(hour: int) -> str:
    """A zone in which it is this hour now; the names of these zones count westwards."""
    west = datetime.now(UTC).hour - hour
    return f"Etc/GMT{west:+d}" if west <= 12 else f"Etc/GMT{west - 24:+d}"


@dataclass
class Shed:
    """A cast whose shed is in use today, and the way to put a paired phone into a hand."""

    cast: Cast
    phones: Callable[[], Page]
    url: str

    @classmethod
    def open(cls, phones: Callable[[], Page], url: str, pieces: int = 8) -> "Shed":
        shed = cls(Cast.open(), phones, url)
        cast, at = shed.cast, ago(48)
        cast.do("place_made", at, place=cast.id("Shed"), name="Shed")
        shed.label("PVA-G", "pva_interior", GLUE)
        shed.label("Varnish-W", "varnish_wiping", VARNISH)
        for number in range(1, pieces + 1):
            shed.piece(f"L-{number:02d}")
        for hours in (36, 24, 12, 6, 0.1):
            shed.read(20, hours)
        return shed

    def label(self, name: str, family: str, values: dict[str, Any]) -> None:
        ids = {"material": self.cast.id(name), "label": self.cast.id(f"{name} label")}
        self.cast.do("label_read", ago(48), **ids, name=name, family=family, values=values)

    def piece(self, tag: str) -> None:
        zones = (
            ZoneSaid(self.cast.id(f"{tag} drum"), "drum"),
            ZoneSaid(self.cast.id(f"{tag} tenon"), "tenon", keep_bare=True),
        )
        self.cast.piece(tag, ago(47), what="drum", zones=zones)  # type: ignore[arg-type]

    def read(self, temp_c: float, hours_ago: float) -> None:
        self.cast.read(ago(hours_ago), temp_c, 60.0)  # type: ignore[arg-type]

    def glued(self, name: str, tags: list[str], hours_ago: float) -> None:
        """A glue-up spread five minutes before it was pressed, so many hours ago."""
        self.cast.spread(name, tags, ago(hours_ago + 1 / 12))  # type: ignore[arg-type]
        self.cast.press(name, ago(hours_ago))  # type: ignore[arg-type]

    def morning(self) -> None:
        """It is eight in the morning here: the shop lies in the zone where it is so now."""
        self.cast.workshop.zone = zone_where_it_is(8)
        self.cast.workshop.save(update_fields=["zone"])

    def phone(self, role: str = "owner") -> Page:
        """A paired phone, its app not opened yet."""
        page = self.phones()
        person = getattr(self.cast, role).person
        token, _ = pairing_offered(
            by=self.cast.owner, person_name=person.name, role=role, at=ago(0)
        )
        said = PhonePaired(token=token, phone_name=f"phone of {person.name}")
        _, _, key = phone_paired(said=said, at=ago(0))
        host = urlsplit(self.url).hostname
        page.context.add_cookies([{"name": COOKIE, "value": key, "domain": host, "path": "/"}])  # type: ignore[typeddict-item]
        return page
