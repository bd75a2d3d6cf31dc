"""The coming gates as an iCalendar file (RFC 5545): stable names, and changes told as changes."""

import hashlib
import unicodedata
from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

from django.db import transaction

from cureclock.core.wording.say import say
from cureclock.exports.coming import Coming
from cureclock.exports.models import CalendarEntry
from cureclock.shop.models import Workshop

PRODID = "-//CureClock//Coming gates//EN"
SHOWN_FOR = timedelta(minutes=15)  # so wide an entry stands; our choice
LOOK_AGAIN = timedelta(hours=1)
FORGOTTEN = timedelta(days=400)  # longer no gate takes


def calendar_bytes(workshop: Workshop, entries: Sequence[Coming], at: datetime, link: str) -> bytes:
    """The feed.

    Args:
        workshop: whose gates.
        entries: what it shows.
        at: now; what changed since it was last read is stamped with it.
        link: where the app opens, without a slash at the end.
    """
    from icalendar import Calendar  # noqa: PLC0415 - heavy

    known = kept_entries(workshop, entries, at)
    feed = Calendar()
    feed.add("prodid", PRODID)
    feed.add("version", "2.0")
    feed.add("calscale", "GREGORIAN")
    name = _printable(say("export.calendar.title", workshop=workshop.name))
    feed.add("name", name)
    feed.add("x-wr-calname", name)
    feed.add("x-wr-timezone", workshop.zone)
    feed.add("refresh-interval", LOOK_AGAIN, parameters={"value": "DURATION"})
    feed.add("x-published-ttl", "PT1H")
    for entry in entries:
        feed.add_component(_event(entry, known[entry.uid], link))
    written: bytes = feed.to_ical()
    return written


def kept_entries(
    workshop: Workshop, entries: Sequence[Coming], at: datetime
) -> dict[UUID, CalendarEntry]:
    """What is kept of each entry; one that says something else than before is numbered up."""
    digests = {entry.uid: _digest(entry) for entry in entries}
    known = _known(workshop, digests)
    if all(uid in known and known[uid].digest == digest for uid, digest in digests.items()):
        return known
    with transaction.atomic():
        rows = CalendarEntry.objects.filter(workshop=workshop).select_for_update()
        known = rows.in_bulk(list(digests))
        fresh, changed = [], []
        for uid, digest in digests.items():
            row = known.get(uid)
            if row is None:
                row = CalendarEntry(id=uid, workshop=workshop, digest=digest, changed_at=at)
                fresh.append(row)
                known[uid] = row
            elif row.digest != digest:
                row.digest, row.changed_at = digest, max(at, row.changed_at)
                row.sequence += 1
                changed.append(row)
        CalendarEntry.objects.bulk_create(fresh)
        CalendarEntry.objects.bulk_update(changed, ["digest", "changed_at", "sequence"])
        old = CalendarEntry.objects.filter(workshop=workshop, changed_at__lt=at - FORGOTTEN)
        old.exclude(id__in=digests).delete()
    return known


def _known(workshop: Workshop, digests: dict[UUID, str]) -> dict[UUID, CalendarEntry]:
    return CalendarEntry.objects.filter(workshop=workshop).in_bulk(list(digests))


def _event(entry: Coming, kept: CalendarEntry, link: str) -> Any:
    """A lower limit stands after its instant, an upper one before it; neither makes one busy."""
    from icalendar import Event, vUri  # noqa: PLC0415

    begins = entry.at if entry.opens else entry.at - SHOWN_FOR
    event = Event()
    event.add("uid", str(entry.uid))
    event.add("dtstamp", kept.changed_at)
    event.add("last-modified", kept.changed_at)
    event.add("sequence", kept.sequence)
    event.add("dtstart", begins)
    event.add("dtend", begins + SHOWN_FOR)
    event.add("summary", _printable(entry.summary))
    event.add("description", _printable(entry.description))
    event.add("location", _printable(entry.place))
    event.add("url", vUri(f"{link}/wait/{entry.group}"))
    event.add("status", "TENTATIVE")
    event.add("transp", "TRANSPARENT")
    return event


def _digest(entry: Coming) -> str:
    said = (entry.at.isoformat(), entry.opens, entry.summary, entry.description, entry.place)
    return hashlib.sha256(repr(said).encode()).hexdigest()


def _printable(words: str) -> str:
    """Words without the control signs that a calendar may not hold; a new line stays one."""
    return "".join(
        sign if sign == "\n" or unicodedata.category(sign) != "Cc" else " " for sign in words
    )
