"""Secret addresses for calendars: given out once, good for reading one feed, and taken back."""

from datetime import datetime
from uuid import UUID

from cureclock.exports.models import CalendarFeed
from cureclock.shop.happening import Teller
from cureclock.shop.models import Membership
from cureclock.shop.refusals import NotHere, Refusal
from cureclock.shop.tokens import hashed, new_token

MOST_FEEDS = 20  # of one person in one workshop; our choice


def offer_feed(*, by: Teller, name: str, at: datetime) -> tuple[CalendarFeed, str]:
    """A feed for whoever asks, and its token, which is shown once and not kept."""
    if by.person is None:
        raise Refusal("who", "a feed belongs to a person", "ask from a paired phone", "not_allowed")
    own = CalendarFeed.objects.filter(workshop=by.workshop, person=by.person, revoked_at=None)
    if own.count() >= MOST_FEEDS:
        raise Refusal("name", f"{by.person.name} has {MOST_FEEDS} feeds", "take one back first")
    token = new_token()
    feed = CalendarFeed.objects.create(
        workshop=by.workshop, person=by.person, name=name, token_hash=hashed(token), made_at=at
    )
    return feed, token


def renew_feed(*, by: Teller, feed: UUID, at: datetime) -> tuple[CalendarFeed, str]:
    """A new token for a feed of one's own; the address before answers nobody any more."""
    one = _open_feed(by, feed)
    if by.person is None or one.person_id != by.person.id:
        wrong = "this feed is somebody else's"
        raise Refusal("who", wrong, "switch it off, and let them make another", "not_allowed")
    token = new_token()
    one.token_hash, one.made_at = hashed(token), at
    one.save(update_fields=["token_hash", "made_at"])
    return one, token


def revoke_feed(*, by: Teller, feed: UUID, at: datetime) -> CalendarFeed:
    """Its address answers nobody any more. Anybody may take back their own."""
    one = _open_feed(by, feed)
    if by.person is None or one.person_id != by.person.id:
        by.must_own()
    one.revoked_at = at
    one.save(update_fields=["revoked_at"])
    return one


def _open_feed(by: Teller, feed: UUID) -> CalendarFeed:
    found = CalendarFeed.objects.select_related("person").filter(workshop=by.workshop, id=feed)
    one = found.filter(revoked_at=None).first()
    if one is None:
        raise NotHere("feed")
    return one


def feed_of(token: str) -> CalendarFeed:
    """The feed a token opens: not one that was taken back, nor of somebody who has left."""
    feeds = CalendarFeed.objects.select_related("workshop", "person")
    feed = feeds.filter(token_hash=hashed(token), revoked_at=None).first()
    here = feed and Membership.objects.filter(workshop=feed.workshop, person=feed.person).exists()
    if feed is None or not here:
        raise NotHere("feed")
    return feed
