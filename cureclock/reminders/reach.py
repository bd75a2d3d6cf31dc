"""How people can be reached: ways are added, replaced and dropped here, and bounded."""

from datetime import datetime
from urllib.parse import urlsplit
from uuid import UUID

from django.core.exceptions import ValidationError
from django.core.validators import validate_email

from cureclock.reminders import outage
from cureclock.reminders.channels import notifier, webhook, webpush
from cureclock.reminders.models import Way
from cureclock.shop.models import Person, Phone, Workshop
from cureclock.shop.refusals import NotHere, Refusal

MOST_WAYS = 20  # of one person in one workshop; our choice
LONGEST = 1000


def by_push(
    phone: Phone, *, endpoint: str, p256dh: str, auth: str, at: datetime, origin: str = ""
) -> Way:
    """A phone's own push address: one a phone, the newest counts; one that changed hands rings
    for its new person only, if it shows the keys it had.

    Args:
        phone: paired.
        endpoint, p256dh, auth: as the browser gave them.
        at: now.
        origin: where the phone's page came from, for links that have to be whole.

    Raises:
        Refusal: not https, inside a house or this machine, or keys that are none.
    """
    webpush.check(endpoint, p256dh, auth)
    Way.objects.filter(phone=phone, kind="webpush").exclude(address=endpoint).delete()
    keys = {"p256dh": p256dh, "auth": auth, "origin": origin}
    same = Way.objects.filter(workshop=phone.workshop, kind="webpush", address=endpoint)
    handed_on = same.filter(keys__p256dh=p256dh, keys__auth=auth)
    handed_on.exclude(person=phone.person).delete()
    return _keep(phone.workshop, phone.person, "webpush", endpoint, at, keys=keys, phone=phone)


def by_email(workshop: Workshop, person: Person, address: str, at: datetime) -> Way:
    """A mailbox."""
    try:
        validate_email(address)
    except ValidationError:
        raise Refusal("address", "this is no mail address", "write it as name@host") from None
    return _keep(workshop, person, "email", address, at, host="mail")


def by_notifier(workshop: Workshop, person: Person, address: str, at: datetime) -> Way:
    """A service the person uses already, by the address that service gave them."""
    return _keep(workshop, person, "notifier", notifier.allowed(address), at)


def by_webhook(workshop: Workshop, person: Person, address: str, secret: str, at: datetime) -> Way:
    """An address of the maker's own, called with a signature made with the secret."""
    webhook.check(address, secret)
    return _keep(workshop, person, "webhook", address, at, keys={"secret": secret})


def drop(workshop: Workshop, ident: UUID) -> None:
    """A way that is no longer wanted."""
    if not Way.objects.filter(workshop=workshop, id=ident).delete()[0]:
        raise NotHere("way")


def _keep(
    workshop: Workshop,
    person: Person,
    kind: str,
    address: str,
    at: datetime,
    *,
    host: str = "",
    keys: dict[str, str] | None = None,
    phone: Phone | None = None,
) -> Way:
    if len(address) > LONGEST:
        raise Refusal("address", "this address is too long", f"at most {LONGEST} characters")
    others = Way.objects.filter(workshop=workshop, person=person).exclude(address=address)
    if others.count() >= MOST_WAYS:
        raise Refusal("address", f"{person.name} has {MOST_WAYS} ways already", "drop one first")
    values = {
        "phone": phone,
        "host": host or urlsplit(address).netloc.rpartition("@")[2] or kind,
        "keys": keys or {},
        "dead_since": None,
        "dead_why": "",
    }
    way, _ = Way.objects.update_or_create(
        workshop=workshop,
        person=person,
        kind=kind,
        address=address,
        defaults=values,
        create_defaults={**values, "made_at": at},
    )
    outage.hand_over(way, at)
    return way
