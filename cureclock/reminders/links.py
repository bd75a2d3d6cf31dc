"""Tokens that let a phone say it has shown something, and a link answer for its person, once."""

from datetime import datetime, timedelta

from django.core.signing import BadSignature, Signer
from django.db import IntegrityError, transaction

from cureclock.core.reminding.kinds import Kind
from cureclock.core.reminding.rings import ANSWERS as SAFE
from cureclock.core.reminding.who import Says
from cureclock.reminders import again, rags
from cureclock.reminders.kinds import DATE, TEST
from cureclock.reminders.models import Alert, Delivery, LinkUsed
from cureclock.shop.refusals import NotHere, Refusal

GOOD_FOR = timedelta(days=2)  # our choice
NOT_ANSWERED = frozenset({TEST, DATE, Kind.MORNING, Kind.BEFORE_GO, Kind.AFTER_OUTAGE})


def receipt(row: Delivery) -> str:
    """A token that says no more than that this delivery was shown or seen."""
    return Signer(salt="cureclock.receipt").sign(str(row.pk))


def delivery_of(token: str) -> int:
    """The delivery that a receipt speaks of; refused if we did not write it."""
    try:
        return int(Signer(salt="cureclock.receipt").unsign(token))
    except (BadSignature, ValueError):
        raise Refusal("receipt", "this is no receipt of ours", "leave it out") from None


def answers_to(row: Delivery, alert: Alert, at: datetime) -> tuple[tuple[str, str], ...]:
    """What can be answered to a delivery, each with the token that answers it."""
    if alert.kind in NOT_ANSWERED:
        return ()
    acts = SAFE if alert.kind == Kind.RAGS else tuple(str(says) for says in Says)
    until = int((at + GOOD_FOR).timestamp())
    signer = Signer(salt="cureclock.answer")
    return tuple((act, signer.sign(f"{row.pk} {act} {until}")) for act in acts)


def answer(token: str, at: datetime) -> tuple[Alert, str]:
    """Take an answer that came by a link; one that is forged, too old or used is refused."""
    try:
        ident, act, until = Signer(salt="cureclock.answer").unsign(token).split(" ")
    except (BadSignature, ValueError):
        raise Refusal(
            "link", "this link is none of ours", "answer in the app", "link_gone"
        ) from None
    if at.timestamp() > int(until):
        raise Refusal("link", "this link is too old", "answer in the app", "link_gone")
    return _take(int(ident), act, at)


def _take(ident: int, act: str, at: datetime) -> tuple[Alert, str]:
    row = Delivery.objects.select_related("alert__workshop", "person").filter(pk=ident).first()
    if row is None:
        raise NotHere("link")
    with transaction.atomic():
        try:
            with transaction.atomic():
                LinkUsed.objects.create(delivery=row, act=act, at=at)
        except IntegrityError:
            raise Refusal(
                "link", "this was answered already", "look in the app", "link_gone"
            ) from None
        workshop = row.alert.workshop
        if row.alert.kind == Kind.RAGS:
            rags.placed(workshop, row.alert.about, act, row.person, at)
        else:
            again.answer(workshop, row.alert_id, row.person, act, at)
    return row.alert, act
