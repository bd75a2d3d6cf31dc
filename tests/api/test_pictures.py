"""Pictures: kept small and without where they were taken; bombs and other files are refused."""

import io
import zlib
from pathlib import Path
from struct import pack
from typing import Any
from uuid import UUID, uuid4

import pytest
from PIL import Image

from cureclock.shop.models import Photo
from cureclock.shop.pictures import MOST_BYTES
from tests.api.door import PhoneAtDoor, at_the_clock, paired
from tests.cast import Cast

pytestmark = pytest.mark.django_db
AT = "Mon 12:00"


@pytest.fixture
def phone(settings: Any, tmp_path: Path) -> PhoneAtDoor:
    settings.CURECLOCK_VAR = tmp_path
    cast = Cast.open()
    cast.piece("P-1")
    cast.do("piece_lost", "Mon 10:00", piece=cast.id("P-1"), ident=cast.id("lost"), why="cracked")
    one = paired(cast)
    one.event, one.piece = cast.id("lost"), cast.id("P-1")  # type: ignore[attr-defined]
    return one


def picture(width: int, height: int, kind: str = "JPEG", **how: Any) -> bytes:
    out = io.BytesIO()
    mode = how.pop("mode", "RGB")
    Image.new(mode, (width, height), how.pop("color", "brown")).save(out, kind, **how)
    return out.getvalue()


def send(phone: PhoneAtDoor, content: bytes, ident: UUID | None = None, **more: Any) -> Any:
    event = more.get("event", phone.event)  # type: ignore[attr-defined]
    with at_the_clock(AT):
        return phone.client.put(
            f"/api/pictures/{ident or uuid4()}?event={event}",
            content,
            content_type=more.get("kind", "image/jpeg"),
            headers=phone.headers(),
        )


def test_a_picture_is_made_small_and_comes_back(phone: PhoneAtDoor) -> None:
    ident = uuid4()
    told = send(phone, picture(4000, 3000), ident).json()
    assert (told["width"], told["height"], told["known"]) == (1600, 1200, False)
    back = phone.get(f"pictures/{ident}", AT)
    assert (back.status_code, back["Content-Type"]) == (200, "image/jpeg")
    assert Image.open(io.BytesIO(back.content)).size == (1600, 1200)
    told = phone.get(f"pieces/{phone.piece}", AT).json()  # type: ignore[attr-defined]
    assert told["history"][0]["pictures"] == [str(ident)]


def test_where_and_with_what_it_was_taken_is_not_kept(phone: PhoneAtDoor, tmp_path: Path) -> None:
    exif = Image.Exif()
    exif[0x010F] = "A maker of phones"
    exif.get_ifd(0x8825)[2] = (51.0, 30.0, 0.0)
    assert b"A maker of phones" in picture(40, 30, exif=exif)
    assert send(phone, picture(40, 30, exif=exif)).status_code == 200
    (kept,) = tmp_path.rglob("*.jpg")
    assert b"A maker of phones" not in kept.read_bytes()
    assert not Image.open(io.BytesIO(kept.read_bytes())).getexif()


def test_a_phone_held_sideways_gives_an_upright_picture(phone: PhoneAtDoor) -> None:
    exif = Image.Exif()
    exif[0x0112] = 6  # a quarter turn
    told = send(phone, picture(400, 300, exif=exif)).json()
    assert (told["width"], told["height"]) == (300, 400)


@pytest.mark.parametrize("kind", ["PNG", "WEBP"])
def test_what_is_see_through_is_laid_on_white(phone: PhoneAtDoor, kind: str) -> None:
    ident = uuid4()
    clear = picture(20, 20, kind, mode="RGBA", color=(0, 0, 0, 0))
    assert send(phone, clear, ident, kind=f"image/{kind.lower()}").status_code == 200
    back = Image.open(io.BytesIO(phone.get(f"pictures/{ident}", AT).content))
    assert min(back.getpixel((10, 10))) > 250  # type: ignore[arg-type, type-var]


def bomb(side: int) -> bytes:
    """A PNG of very many pixels in very few bytes."""

    def chunk(kind: bytes, content: bytes) -> bytes:
        return pack(">I", len(content)) + kind + content + pack(">I", zlib.crc32(kind + content))

    packer = zlib.compressobj(9)
    rows = b"".join(packer.compress(bytes(1 + side // 8)) for _ in range(min(side, 2000)))
    head = pack(">IIBBBBB", side, side, 1, 0, 0, 0, 0)
    body = chunk(b"IHDR", head) + chunk(b"IDAT", rows + packer.flush()) + chunk(b"IEND", b"")
    return b"\x89PNG\r\n\x1a\n" + body


@pytest.mark.parametrize("side", [8000, 60_000])
def test_a_bomb_is_refused_before_it_is_unpacked(phone: PhoneAtDoor, side: int) -> None:
    content = bomb(side)
    assert len(content) < 2**20
    answer = send(phone, content, kind="image/png")
    assert (answer.status_code, answer.json()["key"]) == (413, "too_big")
    assert not Photo.objects.exists()


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"hello",
        b"<svg xmlns='http://www.w3.org/2000/svg'/>",
        b"GIF89a" + bytes(50),
        b"%PDF-1.7",
    ],
)
def test_what_is_no_picture_is_refused_in_words(
    phone: PhoneAtDoor, content: bytes, tmp_path: Path
) -> None:
    answer = send(phone, content)
    assert answer.status_code == 422
    assert answer.json()["field"] == "picture"
    assert answer.json()["mend"]
    assert not list(tmp_path.rglob("*.jpg"))


@pytest.mark.parametrize("part", [0.1, 0.5, 0.9])
def test_a_picture_cut_short_is_refused(phone: PhoneAtDoor, part: float) -> None:
    noisy = Image.effect_noise((800, 600), 90)
    out = io.BytesIO()
    noisy.save(out, "JPEG")
    assert send(phone, out.getvalue()[: int(len(out.getvalue()) * part)]).status_code == 422
    assert not Photo.objects.exists()


def test_too_many_bytes_are_refused(phone: PhoneAtDoor) -> None:
    answer = send(phone, picture(10, 10) + bytes(MOST_BYTES))
    assert (answer.status_code, answer.json()["key"]) == (413, "too_big")


def test_a_picture_sent_twice_is_one_and_its_id_is_good_for_no_other(phone: PhoneAtDoor) -> None:
    ident = uuid4()
    assert send(phone, picture(10, 10), ident).json()["known"] is False
    assert send(phone, picture(10, 10), ident).json()["known"] is True
    assert Photo.objects.count() == 1
    assert send(phone, picture(10, 10), ident, event=uuid4()).json()["key"] == "other_body"


def test_nobody_elses_happening_and_nobody_elses_picture(phone: PhoneAtDoor) -> None:
    ident = uuid4()
    send(phone, picture(10, 10), ident)
    other = paired(Cast.open("Another"))
    other.event = phone.event  # type: ignore[attr-defined]
    assert send(other, picture(10, 10)).status_code == 404
    assert other.get(f"pictures/{ident}", AT).status_code == 404


def test_who_may_only_look_sends_none(phone: PhoneAtDoor) -> None:
    cast = Cast.open("Third")
    cast.piece("P-1")
    cast.do("piece_lost", "Mon 10:00", piece=cast.id("P-1"), ident=cast.id("lost"))
    viewer = paired(cast, "viewer")
    viewer.event = cast.id("lost")  # type: ignore[attr-defined]
    assert send(viewer, picture(10, 10)).status_code in (403, 422)
    assert not Photo.objects.exists()
