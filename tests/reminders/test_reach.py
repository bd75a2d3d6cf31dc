"""Whom an address rings for: nobody loses theirs because somebody else gives the same one."""

import pytest

from cureclock.reminders import reach
from cureclock.reminders.models import Way
from cureclock.shop.models import Person, Phone
from tests.api.door import paired
from tests.cast import Cast, when
from tests.faults.oracle import Device

pytestmark = pytest.mark.django_db

ENDPOINT = "https://push.example.org/x"
AT = when("Mon 09:00")


def phones() -> tuple[Phone, Phone]:
    cast = Cast.open()
    return paired(cast).phone, paired(cast, "viewer").phone


def told() -> set[Person]:
    return {way.person for way in Way.objects.select_related("person")}


def test_a_mailbox_that_two_people_read_rings_for_both() -> None:
    first, second = phones()
    for phone in (first, second, first):
        reach.by_email(phone.workshop, phone.person, "shed@example.org", AT)
    assert told() == {first.person, second.person}
    assert Way.objects.count() == 2


def test_an_address_without_its_keys_takes_nobodys_alerts() -> None:
    first, second = phones()
    reach.by_push(first, endpoint=ENDPOINT, **Device("owner").keys, at=AT)
    for endpoint in (ENDPOINT, f"{ENDPOINT}/2"):
        reach.by_push(second, endpoint=endpoint, **Device("stranger").keys, at=AT)
    assert told() == {first.person, second.person}


def test_a_phone_that_changed_hands_rings_for_its_new_person_only() -> None:
    first, second = phones()
    keys = Device("shared").keys
    for phone in (first, second):
        reach.by_push(phone, endpoint=ENDPOINT, **keys, at=AT)
    assert told() == {second.person}
