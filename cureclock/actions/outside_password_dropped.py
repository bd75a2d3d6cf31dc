"""An owner takes their password for coming in from outside away."""

from django.db import transaction

from cureclock.shop.happening import Teller
from cureclock.shop.outside import drop_password


def outside_password_dropped(*, by: Teller) -> None:
    """By no password any more; phones that it let in stay until their week is over."""
    by.must_own()
    with transaction.atomic():
        drop_password(by)
