"""Calendar feeds: two independent readers agree, names are stable, changes are numbered."""

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
import vobject
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from icalendar import Calendar

from cureclock.exports.calendar import calendar_bytes
from cureclock.exports.coming import Coming, coming
from cureclock.shop.models import Workshop
from tests.api.door import at_the_clock, paired
from tests.cast import Cast, when

pytestmark = pytest.mark.django_db
LINK = "https://shed.example:8443"
MOST_OCTETS = 75  # RFC 5545, 3.1


def shop(zone: str = "Europe/London") -> Cast:
    cast = Cast.open("Slipway; shed, עץ 🪵")
    cast.workshop.zone = zone
    cast.workshop.save(update_fields=["zone"])
    cast.place("Shed, by the creek; cold")
    cast.material()
    read(cast, "Mon 06:00", 20.0)
    for tag in ("L-01", "L-02"):
        cast.piece(tag)
    cast.spread(
        "Drums, 🪵 and é" * 4, ["L-01", "L-02"], "Mon 08:00", place="Shed, by the creek; cold"
    )
    cast.press("Drums, 🪵 and é" * 4, "Mon 08:10")
    return cast


def read(cast: Cast, at: str, temp_c: float) -> None:
    cast.read(at, temp_c, place="Shed, by the creek; cold")


def feed(cast: Cast, at: str = "Mon 09:00") -> bytes:
    return calendar_bytes(cast.workshop, coming(cast.workshop, when(at)), when(at), LINK)


def events(content: bytes) -> dict[str, Any]:
    return {str(one["uid"]): one for one in Calendar.from_ical(content).walk("VEVENT")}


def by_vobject(content: bytes) -> dict[str, Any]:
    read_ = vobject.readOne(content.decode())
    return {one.uid.value: one for one in read_.contents.get("vevent", [])}


def test_two_readers_find_the_same() -> None:
    content = feed(shop())
    first, second = events(content), by_vobject(content)
    assert first.keys() == second.keys()
    assert len(first) >= 5
    for uid, one in first.items():
        other = second[uid]
        assert str(one["summary"]) == other.summary.value
        assert str(one["description"]) == other.description.value
        assert str(one["location"]) == other.location.value
        assert one["dtstart"].dt == other.dtstart.value
        assert int(one["sequence"]) == int(other.sequence.value)


def test_lines_are_folded_by_octets_and_no_letter_is_cut() -> None:
    content = feed(shop())
    for line in content.split(b"\r\n"):
        assert len(line) <= MOST_OCTETS, line
        line.decode()  # cut inside a letter it is no UTF-8
    assert b"\n" not in content.replace(b"\r\n", b"")
    assert any(line.startswith(b" ") for line in content.split(b"\r\n"))


def test_names_are_stable_and_a_change_is_numbered_and_stamped() -> None:
    cast = shop()
    before, again = events(feed(cast)), events(feed(cast, "Mon 09:05"))
    assert {uid: one.to_ical() for uid, one in before.items()} == {
        uid: one.to_ical() for uid, one in again.items()
    }
    read(cast, "Mon 09:10", 10.0)  # colder: everything comes later
    after = events(feed(cast, "Mon 09:15"))
    assert after.keys() == before.keys()
    moved = [uid for uid in after if after[uid]["dtstart"].dt != before[uid]["dtstart"].dt]
    assert moved
    for uid in after:
        raised = int(after[uid]["sequence"]) - int(before[uid]["sequence"])
        assert raised == (1 if uid in moved else 0)
    assert all(after[uid]["dtstamp"].dt == when("Mon 09:15") for uid in moved)


def test_every_time_is_told_as_an_instant() -> None:
    for one in events(feed(shop())).values():
        assert one["dtstart"].dt.utcoffset() == timedelta()
        assert one["dtend"].dt > one["dtstart"].dt


# Europe/London 2026: forward on 29 March at 01:00 UTC, back on 25 October at 01:00 UTC.
@pytest.mark.parametrize(
    "day", [datetime(2026, 3, 29, tzinfo=UTC), datetime(2026, 10, 25, tzinfo=UTC)]
)
def test_right_across_both_clock_changes(day: datetime) -> None:
    workshop = Workshop.objects.create(name="S", zone="Europe/London", made_at=day)
    instants = [day + timedelta(minutes=30 * step) for step in range(6)]
    entries = [entry(at) for at in instants]
    content = calendar_bytes(workshop, entries, day, LINK)
    told = sorted(one["dtstart"].dt for one in events(content).values())
    assert told == instants
    assert sorted(one.dtstart.value for one in by_vobject(content).values()) == instants


def entry(at: datetime, summary: str = "x", description: str = "y") -> Coming:
    from uuid import uuid4

    return Coming(uuid4(), uuid4(), at, True, summary, description, "Shed")


WORDS = st.text(st.characters(exclude_categories=["Cs"]), max_size=120)


@settings(suppress_health_check=list(HealthCheck), max_examples=60)
@given(summary=WORDS, description=WORDS)
def test_any_words_come_back_and_break_no_line(summary: str, description: str) -> None:
    workshop, _ = Workshop.objects.get_or_create(
        name="S", defaults={"zone": "UTC", "made_at": when("Mon 00:00")}
    )
    one = entry(when("Mon 12:00"), summary, description)
    content = calendar_bytes(workshop, [one], when("Mon 00:00"), LINK)
    (found,) = events(content).values()
    assert all(len(line) <= MOST_OCTETS for line in content.split(b"\r\n"))
    plain = "".join(sign for sign in summary if sign.isalnum())
    assert "".join(sign for sign in str(found["summary"]) if sign.isalnum()) == plain


def test_the_address_opens_the_feed_until_it_is_taken_back() -> None:
    cast = shop()
    phone = paired(cast)
    made = phone.post("calendar-feeds", "Mon 09:00", {"name": "kitchen"})
    assert made.status_code == 201
    url = made.json()["url"].removeprefix("http://testserver")
    with at_the_clock("Mon 09:00"):
        answer = phone.client.__class__().get(url)
    assert (answer.status_code, answer["Content-Type"]) == (200, "text/calendar; charset=utf-8")
    assert len(events(answer.content)) >= 5
    (listed,) = phone.get("calendar-feeds", "Mon 09:01").json()["feeds"]
    assert (listed["name"], listed["url"]) == ("kitchen", None)
    phone.post(f"calendar-feeds/{made.json()['id']}/revoke", "Mon 09:02", {})
    with at_the_clock("Mon 09:03"):
        assert phone.client.__class__().get(url).status_code == 404
        assert phone.client.__class__().get("/api/calendar.ics?key=x").status_code == 404


def test_another_workshops_feed_cannot_be_taken_back() -> None:
    phone, other = paired(shop()), paired(Cast.open("Another"))
    ident = phone.post("calendar-feeds", "Mon 09:00", {"name": "kitchen"}).json()["id"]
    assert other.post(f"calendar-feeds/{ident}/revoke", "Mon 09:02", {}).status_code == 404
