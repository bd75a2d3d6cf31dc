"""What was told lately is shown to every phone of the workshop, until it is undone or too old."""

from uuid import uuid4

import pytest

from tests.api.door import PhoneAtDoor, paired
from tests.cast import Cast, when

pytestmark = pytest.mark.django_db


def told(phone: PhoneAtDoor, verb: str, at: str, **said: object) -> str:
    ident = str(uuid4())
    one = {"id": ident, "verb": verb, "at": when(at).isoformat(), "said": said}
    body = {"sent_at": when(at).isoformat(), "happenings": [one]}
    (answer,) = phone.post("happenings", at, body).json()["answers"]
    assert answer["outcome"] == "applied", answer
    return ident


def lately(phone: PhoneAtDoor, at: str) -> list[str]:
    return [one["id"] for one in phone.get("lately", at).json()["told"]]


def test_the_last_acts_of_every_phone_can_be_taken_back_for_ten_minutes() -> None:
    cast = Cast.open()
    one, other = paired(cast), paired(cast, "helper")
    shed = told(one, "place_made", "Mon 08:00", place=str(uuid4()), name="Shed")
    loft = told(one, "place_made", "Mon 08:05", place=str(uuid4()), name="Loft")
    assert lately(other, "Mon 08:09") == [loft, shed]
    assert lately(other, "Mon 08:11") == [loft]
    told(other, "struck_out", "Mon 08:12", target=loft)
    assert lately(one, "Mon 08:13") == []
    assert lately(paired(Cast.open("Other yard")), "Mon 08:09") == []
