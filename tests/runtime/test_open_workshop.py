"""`manage.py open_workshop`: one more workshop, and a way back in for an owner without a phone."""

from io import StringIO
from typing import Any

import pytest
from django.core.management import call_command
from django.core.management.base import CommandError
from django.utils import timezone

from cureclock.actions.phone_paired import PhonePaired, phone_paired
from cureclock.shop.models import Membership, Phone, Workshop
from cureclock.shop.pairing import add_phone
from tests.cast import Cast, when

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def reached(settings: Any) -> None:
    settings.CURECLOCK_NAMES = ["glue.example.org"]


def link(*words: str, **options: Any) -> str:
    out = StringIO()
    call_command("open_workshop", *words, stdout=out, **options)
    return out.getvalue().split()[-1]


def comes_in(address: str) -> Membership:
    said = PhonePaired(address.rsplit("/", 1)[1], "a phone", zone="Europe/Dublin")
    return phone_paired(said=said, at=timezone.now())[1]


def test_one_more_workshop_is_opened_with_an_owner_of_its_own() -> None:
    first = Cast.open("Slipway shed")
    add_phone(
        Membership.objects.get(workshop=first.workshop, role="owner"), "one", when("Mon 07:00")
    )
    address = link("Loft", owner="Ash")
    assert address.startswith("https://glue.example.org/pair/")
    member = comes_in(address)
    assert (member.workshop.name, member.person.name, member.role) == ("Loft", "Ash", "owner")
    assert member.workshop != first.workshop
    assert member.workshop.zone == "Europe/Dublin"  # by the clock of its own first phone
    assert Workshop.objects.count() == 2


def test_an_owner_whose_phones_are_lost_comes_in_again_and_nothing_is_opened() -> None:
    cast = Cast.open("Slipway shed")
    member = comes_in(link("Slipway shed", address="https://10.0.0.7:8443/"))
    assert member.person == cast.owner.person
    assert (Workshop.objects.count(), Phone.objects.count()) == (1, 1)


def test_what_nobody_could_mean_is_told_in_a_sentence(settings: Any) -> None:
    Cast.open("Twin")
    Cast.open("Twin")
    with pytest.raises(CommandError, match=r"2 workshops are called so. What to do: rename"):
        link("Twin")
    with pytest.raises(CommandError, match="up to 80 characters"):
        link(" ")
    settings.CURECLOCK_NAMES = []
    with pytest.raises(CommandError, match="--address"):
        link("Loft")
    assert Workshop.objects.count() == 2
