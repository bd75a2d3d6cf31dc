"""A phone is paired: from now on what it tells is told by its person."""

from dataclasses import dataclass
from datetime import datetime
from zoneinfo import available_timezones

from django.db import transaction

from cureclock.shop.models import Membership, Phone
from cureclock.shop.pairing import add_phone, owners_phone_paired, use_link
from cureclock.shop.refusals import Refusal


@dataclass(frozen=True)
class PhonePaired:
    """The link's token and the phone's name; the first phone may also name shop and owner."""

    token: str
    phone_name: str
    person_name: str = ""
    workshop_name: str = ""
    zone: str = ""


def phone_paired(*, said: PhonePaired, at: datetime) -> tuple[Phone, Membership, str]:
    """The phone, what its person may do here, and the token that stays on the phone."""
    if said.zone and said.zone not in available_timezones():
        raise Refusal("zone", f"{said.zone!r} is no zone", "name one like Europe/Dublin")
    with transaction.atomic():
        member = use_link(said.token, at)
        first = not owners_phone_paired(workshop=member.workshop)
        phone, token = add_phone(member, said.phone_name, at)
        if first and member.role == Membership.Role.OWNER:
            _introduce(member, said)
    return phone, member, token


def _introduce(member: Membership, said: PhonePaired) -> None:
    """Names for a shop and an owner that had none."""
    member.person.name = said.person_name or member.person.name
    member.workshop.name = said.workshop_name or member.workshop.name
    member.workshop.zone = said.zone or member.workshop.zone
    member.person.save(update_fields=["name"])
    member.workshop.save(update_fields=["name", "zone"])
