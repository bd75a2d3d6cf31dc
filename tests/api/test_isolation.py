"""Nothing of a workshop is read or written by anybody but its own people, whatever they know.

The document of the API is walked, so that an address made tomorrow is tried as well.
"""

import json
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

import pytest
from django.apps import apps
from django.test import Client

from cureclock.api.who import COOKIE
from cureclock.exports.archive.tables import tables
from cureclock.shop.models import Event, LabelVersion, Person, Phone, Reading, Workshop
from tests.api.door import PhoneAtDoor, at_the_clock, paired, sensor_in
from tests.api.intruder import (
    Forger,
    Operation,
    addresses,
    document,
    ids_of,
    nobodys_id,
    operations,
    questions,
    readable,
)
from tests.cast import Cast, when
from tests.intake.whole_shop import RTL, plain, whole_shop

pytestmark = [pytest.mark.django_db, pytest.mark.slow]

AT = "Tue 12:00"
DRAWS = 1200  # forged happenings; every verb gets a dozen or two
# Whoever holds a link or a password of ours; a forged one opens nothing.
OPEN_TO_ALL = {
    "POST /api/pair",
    "POST /api/sign-in",
    "POST /api/answers",
    "POST /api/receipts",
    "GET /api/calendar.ics",  # its key is in the address
}
OPEN_TO_SENSORS = {"POST /api/readings"}
LEAVING = ("/unpair", "/forget")  # anybody may leave by themselves; theirs are tried by their ids
# What anybody who is paired may keep of themselves, a viewer too.
OWN_AFFAIRS = {"shop.Phone", "exports.CalendarFeed", "reminders.Way"}


@dataclass
class House:
    """A workshop with a row in every table, and somebody who belongs to another."""

    told: dict[str, Any]
    cast: Cast
    stranger: Cast
    phone: PhoneAtDoor
    ids: dict[str, list[str]]

    @property
    def every(self) -> list[str]:
        return sorted({one for keys in self.ids.values() for one in keys})

    @property
    def operations(self) -> list[Operation]:
        return operations(self.told)

    def names(self, answer: bytes) -> list[str]:
        """What in an answer is this workshop's."""
        text = readable(answer)
        words = [*self.every, self.cast.workshop.name, RTL]
        return [word for word in words if word in text]


@pytest.fixture
def house() -> House:
    cast = whole_shop("Slipway shed")
    tell_what_was_made_up(cast)
    stranger = Cast.open("Other yard")
    stranger.place("Barn")
    return House(document(), cast, stranger, paired(stranger), ids_of(cast.workshop))


def tell_what_was_made_up(cast: Cast) -> None:
    """What was said of air, sensors and things has the id of the happening that said it."""
    for table in tables():
        if not table.name.endswith("Version") or table.model is LabelVersion:
            continue
        for ident in table.rows(cast.workshop).values_list("pk", flat=True):
            told = {"kind": "made_up", "happened_at": when(AT), "arrived_at": when(AT)}
            Event.objects.get_or_create(id=ident, defaults={"workshop": cast.workshop, **told})


def everything(workshop: Workshop) -> dict[str, list[tuple[Any, ...]]]:
    """Facts, promises and estimates of a workshop, as they stand in the records."""
    found = plain(workshop)
    for model in apps.get_app_config("waits").get_models():
        names = [one.attname for one in model._meta.concrete_fields]
        rows = model._base_manager.values_list(*names)
        found[model._meta.label] = sorted(tuple(repr(value) for value in row) for row in rows)
    return found


def ask(client: Client, operation: Operation, address: str, **more: Any) -> Any:
    with at_the_clock(AT):
        if operation.method == "get":
            return client.get(address, more.get("asked", {}), headers=more.get("headers"))
        return client.generic(
            operation.method.upper(),
            address,
            more.get("sent", b"{}"),
            content_type=operation.sends,
            headers=more.get("headers"),
        )


def test_the_document_names_operations_to_try(house: House) -> None:
    assert len(house.operations) >= 20
    assert len(house.every) >= 40
    assert any(one.places for one in house.operations)


def test_the_owner_of_another_workshop_reads_nothing(house: House) -> None:
    forger = Forger(house.told, house.ids)
    for operation in house.operations:
        if operation.method != "get":
            continue
        for address in addresses(operation, house.every):
            for _ in range(1 if operation.places else 12):
                asked = questions(operation, forger)
                response = ask(house.phone.client, operation, address, asked=asked)
                sent = "".join(str(one) for one in asked.values())
                leaked = [word for word in house.names(response.content) if word not in sent]
                assert not leaked, (str(operation), asked, leaked)
                assert response.status_code < 500


def test_an_id_of_theirs_and_one_that_never_was_get_the_same_answer(house: House) -> None:
    tried = 0
    for operation in house.operations:
        if not operation.places:
            continue
        never = ask_as(house, operation, nobodys_id())
        assert never.status_code == 404, (str(operation), never.content)
        for ident in house.every:
            theirs = ask_as(house, operation, ident)
            same = (theirs.status_code, theirs.content) == (404, never.content)
            assert same or made_by_the_phone(operation, theirs), (str(operation), theirs.content)
            tried += 1
    assert tried > 200


def made_by_the_phone(operation: Operation, response: Any) -> bool:
    """The id in the address is of its own making: that it was used before is all it is told."""
    return operation.method == "put" and response.json()["key"] == "other_body"


def ask_as(house: House, operation: Operation, ident: str) -> Any:
    """Ask as the stranger, the same each time but for the id in the address."""
    (address,) = addresses(operation, [ident])
    forger = Forger(house.told, {})
    headers = house.phone.headers()
    if operation.method == "get":
        asked = questions(operation, forger) if operation.needs_answers else {}
        return ask(house.phone.client, operation, address, asked=asked, headers=headers)
    return ask(
        house.phone.client,
        operation,
        address + asked_in(operation, forger),
        sent=sent_by(operation, forger),
        headers=headers,
    )


def asked_in(operation: Operation, forger: Forger) -> str:
    asked = questions(operation, forger)
    return f"?{urlencode(asked, doseq=True)}" if asked else ""


def sent_by(operation: Operation, forger: Forger) -> bytes:
    """A body as the document wants it; not every one is JSON."""
    return json.dumps(forger.of(operation.body)).encode() if operation.body else b"{}"


def write_everywhere(house: House, phone: PhoneAtDoor) -> list[str]:
    """Send everything everywhere, with the other workshop's ids; what came back of happenings."""
    forger = Forger(house.told, house.ids)
    outcomes: list[str] = []
    for operation in house.operations:
        if operation.method == "get" or operation.path.endswith(LEAVING):
            continue
        for address in addresses(operation, house.every[::8]):
            for _ in range(1 if operation.places else 15):
                sent = sent_by(operation, forger)
                asked = asked_in(operation, forger)
                more = {"sent": sent, "headers": phone.headers()}
                response = ask(phone.client, operation, address + asked, **more)
                assert response.status_code < 500, (str(operation), sent)
    (told,) = (one for one in house.operations if one.path == "/api/happenings")
    assert told.body is not None
    shape = told.body["properties"]["happenings"]["items"]
    for start in range(0, DRAWS, 200):
        forged = [forger.of(shape) for _ in range(min(200, DRAWS - start))]
        with at_the_clock(AT):
            answers = phone.tell(*forged, at=AT)
        outcomes += [one["outcome"] for one in answers]
    return outcomes


def test_the_owner_of_another_workshop_writes_nothing(house: House) -> None:
    before = everything(house.cast.workshop)
    outcomes = write_everywhere(house, house.phone)
    after = {
        label: [row for row in rows if row in set(before.get(label, ()))]
        for label, rows in everything(house.cast.workshop).items()
    }
    assert after == before
    assert set(outcomes) == {"refused", "applied"}
    hold_nothing_of(house, house.stranger.workshop)
    read_nothing_of(house)


def hold_nothing_of(house: House, other: Workshop) -> None:
    """No row of the other workshop points to a row of this one."""
    for table in tables():
        for link in table.links():
            if link.related_model in (Workshop, Person):
                continue
            (to,) = (one for one in tables() if one.model is link.related_model)
            pointed = table.rows(other).exclude(**{link.name: None}).order_by()
            theirs = to.rows(house.cast.workshop).filter(pk__in=pointed.values(link.attname))
            assert not theirs.exists(), (table.name, link.name)


def read_nothing_of(house: House) -> None:
    """Whatever ids the stranger wrote down, what they stand for here is not shown to them."""
    own = house.ids | ids_of(house.stranger.workshop)
    forger = Forger(house.told, own)
    every = sorted({one for keys in own.values() for one in keys})
    words = [house.cast.workshop.name, RTL, "PVA-G", "Shed sensor"]
    for operation in house.operations:
        for address in addresses(operation, every) if operation.method == "get" else ():
            asked = questions(operation, forger)
            text = readable(ask(house.phone.client, operation, address, asked=asked).content)
            assert not [word for word in words if word in text], str(operation)


def test_a_viewer_writes_nothing_but_their_own_affairs(house: House) -> None:
    viewer = paired(house.cast, "viewer")
    before = everything(house.cast.workshop)
    outcomes = write_everywhere(house, viewer)
    assert set(outcomes) == {"refused"}
    after = everything(house.cast.workshop)
    changed = {label for label in after if after[label] != before[label]}
    assert changed <= OWN_AFFAIRS


def nobodies(house: House) -> Iterator[tuple[str, Client, dict[str, str]]]:
    """Everybody whose key opens nothing: without one, with one that was taken back, with another's."""
    yield "no one", Client(), {}
    unpaired = paired(house.cast, "helper", "Robin")
    Phone.objects.filter(pk=unpaired.phone.pk).update(unpaired_at="2026-02-02T00:00:00Z")
    yield "an unpaired phone", unpaired.client, unpaired.headers()
    left = paired(house.cast, "helper", "Ash")
    house.cast.workshop.memberships.filter(person=left.phone.person).delete()
    yield "somebody who left", left.client, left.headers()
    made_up = Client()
    made_up.cookies[COOKIE] = "x" * 43
    yield "a made-up key", made_up, {}
    sensor = sensor_in(house.cast)
    yield "a sensor", Client(), {"Authorization": f"Sensor {sensor.token}"}
    as_phone = Client()
    as_phone.cookies[COOKIE] = sensor.token
    yield "a sensor's token as a phone's", as_phone, {}
    phones_key = paired(house.cast)
    yield "a phone's key as a sensor's", Client(), {"Authorization": f"Sensor {phones_key.token}"}


def nothing_told(response: Any) -> bool:
    """A receipt is taken from anybody, without a word of whether it was known."""
    return response.status_code in (200, 204) and len(response.content) < 60


def test_whoever_has_no_key_gets_the_same_answer_everywhere(house: House) -> None:
    forger = Forger(house.told, house.ids)
    for who, client, headers in nobodies(house):
        before = everything(house.cast.workshop)
        for operation in house.operations:
            if who == "a sensor" and str(operation) in OPEN_TO_SENSORS:
                continue
            for address in addresses(operation, house.every[:8]):
                sent = sent_by(operation, forger)
                asked = questions(operation, forger)
                more = {"asked": asked, "sent": sent, "headers": headers}
                response = ask(client, operation, address, **more)
                answer = (who, str(operation), response.content)
                if str(operation) in OPEN_TO_ALL:
                    assert 400 <= response.status_code < 500 or nothing_told(response), answer
                    continue
                assert response.status_code == 401, answer
                assert response.json()["key"] == "not_paired"
        assert everything(house.cast.workshop) == before


def test_a_sensor_tells_of_its_own_place_only(house: House) -> None:
    sensor = sensor_in(house.cast)
    house.cast.place("Loft", "Tue 10:00")
    row = {"at": "2026-02-03T11:00:00Z", "temp_c": 12.0}
    for place in (house.cast.id("Loft"), house.stranger.id("Barn"), nobodys_id()):
        sent = {"place": str(place), "readings": [row]}
        assert sensor.post("readings", AT, sent).status_code == 404
    assert sensor.post("readings", AT, {"readings": [row]}).status_code == 200


def test_who_tells_under_the_id_of_anothers_reading_cannot_strike_it_out(house: House) -> None:
    for reading in Reading.objects.filter(place__workshop=house.cast.workshop):
        place, target = str(house.stranger.id("Barn")), str(reading.id)
        taken = house.phone.tap("place_made", AT, target, place=place, name="Loft")
        struck = house.phone.tap("struck_out", AT, target=target)
        outcomes = [one["outcome"] for one in house.phone.tell(taken, struck, at=AT)]
        assert outcomes == ["refused", "refused"]
        reading.refresh_from_db()
        assert reading.struck_by is None
