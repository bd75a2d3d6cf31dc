"""Signing in from outside: passwords as Argon2 makes them, and tries that are counted before."""

import ipaddress
from datetime import datetime, timedelta

from django.contrib.auth.hashers import check_password, make_password
from django.contrib.auth.password_validation import CommonPasswordValidator
from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import F

from cureclock.shop.happening import Teller
from cureclock.shop.models import Membership, OutsidePassword, SignIn, SignInTries
from cureclock.shop.refusals import Refusal
from cureclock.shop.tokens import hashed

SHORTEST = 12  # characters; length is what counts, our choice
GOOD_FOR = timedelta(days=7)  # a phone that was let in by a password; our choice
WINDOW = timedelta(minutes=15)
MOST_BY_NAME, MOST_BY_ADDRESS = 10, 30  # tries in a window; our choice
MOST_SET = 10  # by one person in a window: each costs as much as a sign-in; our choice
KEPT = timedelta(days=1)
REFUSED = Refusal("password", "name and password do not belong together", "try again", "no_entry")


class Throttled(Refusal):
    """Too many tries; the next is looked at when the window has passed."""

    def __init__(
        self, wait_s: int, otherwise: str = ", or open a pairing link in the shop"
    ) -> None:
        self.wait_s = wait_s
        minutes = -(-wait_s // 60)
        mend = f"wait {minutes} {'minute' if minutes == 1 else 'minutes'}{otherwise}"
        super().__init__("who", "there were too many tries", mend, "too_many")


def set_password(teller: Teller, login: str, password: str, at: datetime) -> OutsidePassword:
    """Keep an owner's password; the one before opens nothing any more."""
    assert teller.person is not None
    name = login.casefold()
    _good_enough(password, name)
    taken = OutsidePassword.objects.filter(login=name)
    if taken.exclude(workshop=teller.workshop, person=teller.person).exists():
        raise Refusal("name", "this name cannot be had", "choose another")
    kept, _ = OutsidePassword.objects.update_or_create(
        workshop=teller.workshop,
        person=teller.person,
        defaults={"login": name, "password": make_password(password), "set_at": at},
    )
    return kept


def password_of(teller: Teller) -> OutsidePassword | None:
    """The one an owner set, if any."""
    own = OutsidePassword.objects.filter(workshop=teller.workshop, person=teller.person)
    return own.first()


def drop_password(teller: Teller) -> None:
    """Nobody comes in by it any more; where there is none, nothing changes."""
    OutsidePassword.objects.filter(workshop=teller.workshop, person=teller.person).delete()


def last_sign_in(teller: Teller, *, well: bool) -> SignIn | None:
    """When somebody last came in by an owner's name, or was last turned away."""
    rows = SignIn.objects.filter(workshop=teller.workshop, person=teller.person, well=well)
    return rows.order_by("-at", "-id").first()


def _good_enough(password: str, login: str) -> None:
    if len(password) < SHORTEST:
        wrong = f"is shorter than {SHORTEST} characters"
        raise Refusal("password", wrong, "take a few words that nobody would guess")
    if login in password.casefold():
        raise Refusal("password", "holds the name", "take words that have nothing to do with it")
    try:
        CommonPasswordValidator().validate(password)
    except ValidationError as error:
        raise Refusal("password", "is among those tried first", "take another") from error


def network_of(address: str) -> str:
    """What tries are counted by: of IPv6 the first 64 bits, since whoever has one address there
    has all of them (RFC 4291 section 2.5.1)."""
    try:
        found = ipaddress.ip_address(address.partition("%")[0])
    except ValueError:
        return address
    if found.version == 4 or found.ipv4_mapped:
        return str(found)
    return str(ipaddress.ip_network((found, 64), strict=False))


def count_try(login: str, address: str, at: datetime) -> None:
    """Count a try by its name and its address, before anything is looked at.

    Raises:
        Throttled: one of them was tried too often.
    """
    SignInTries.objects.filter(since__lt=at - KEPT).delete()
    by_name = _counted(hashed(f"name {login.casefold()}"), MOST_BY_NAME, at)
    by_address = _counted(hashed(f"address {network_of(address)}"), MOST_BY_ADDRESS, at)
    waits = (by_name, by_address)
    if any(waits):
        raise Throttled(max(waits))


def count_set(teller: Teller, at: datetime) -> None:
    """Count that somebody sets a password, before the work of it is done.

    Raises:
        Throttled: they did so too often.
    """
    assert teller.person is not None
    wait_s = _counted(hashed(f"set {teller.workshop.id} {teller.person.id}"), MOST_SET, at)
    if wait_s:
        raise Throttled(wait_s, "")


def _counted(key: str, most: int, at: datetime) -> int:
    """For how long this key has to wait [s]; 0 where it may go on."""
    with transaction.atomic():
        SignInTries.objects.filter(key=key, since__lte=at - WINDOW).delete()
        tries, _ = SignInTries.objects.get_or_create(key=key, defaults={"since": at})
        SignInTries.objects.filter(key=key).update(count=F("count") + 1)
        tries.refresh_from_db()
    if tries.count <= most:
        return 0
    return max(1, int((tries.since + WINDOW - at).total_seconds()))


def member_by_password(login: str, password: str, address: str, at: datetime) -> Membership:
    """The owner whom a name and a password open the shop to; every try by a known name is kept.

    An unknown name costs as long as a known one and gets the same answer.
    """
    known = OutsidePassword.objects.filter(login=login.casefold()).first()
    if known is None:
        make_password(password)
        raise REFUSED
    owners = Membership.objects.select_related("workshop", "person")
    owner = owners.filter(
        workshop=known.workshop_id, person=known.person_id, role=Membership.Role.OWNER
    ).first()
    well = check_password(password, known.password) and owner is not None
    SignIn.objects.create(
        workshop_id=known.workshop_id, person_id=known.person_id, at=at, well=well, address=address
    )
    if not well or owner is None:
        raise REFUSED
    SignInTries.objects.filter(key=hashed(f"name {login.casefold()}")).delete()
    return owner


def sign_ins(teller: Teller, most: int) -> list[SignIn]:
    """Who tried to come in from outside, the newest first."""
    rows = SignIn.objects.filter(workshop=teller.workshop).select_related("person", "phone")
    return list(rows.order_by("-at", "-id")[:most])
