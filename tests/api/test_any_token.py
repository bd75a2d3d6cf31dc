"""Whatever is shown as a key, a link or an answer: it opens nothing, and is refused in words."""

from typing import Any
from urllib.parse import quote

import pytest
from django.test import Client
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from cureclock.api.who import COOKIE
from cureclock.shop.models import Phone
from cureclock.shop.tokens import hashed
from tests.api.door import at_the_clock, paired, sensor_in
from tests.cast import Cast

pytestmark = [pytest.mark.django_db, pytest.mark.slow]

SIGNED = st.builds("{}:{}".format, st.text(max_size=40), st.text(max_size=60))
TOKENS = st.one_of(st.text(max_size=300), SIGNED, st.from_regex(r"[\w-]{43}", fullmatch=True))
ASKED: dict[str, tuple[str, dict[str, str]]] = {
    "pair": ("token", {"phone_name": "p"}),
    "answers": ("token", {}),
    "receipts": ("receipt", {"says": "shown"}),
}


def refused(response: Any) -> None:
    assert 400 <= response.status_code < 500 or response.status_code == 204, response.content
    if response.content:
        assert {"key", "wrong", "mend"} <= response.json().keys()


def at_the_door(door: str, token: str) -> Any:
    """Show it at one of the doors that take a secret."""
    client, shown = Client(), as_header(token)
    if door in ASKED:
        name, more = ASKED[door]
        return client.post(f"/api/{door}", {name: token, **more}, content_type="application/json")
    if door == "calendar":
        return client.get(f"/api/calendar.ics?key={quote(token, errors='surrogatepass')}")
    if door == "cookie":
        client.cookies[COOKIE] = shown
        return client.get("/api/phones")
    return client.post("/api/readings", {}, headers={"Authorization": f"{door} {shown}"})


@given(door=st.sampled_from([*ASKED, "calendar", "cookie", "Sensor", "Bearer"]), token=TOKENS)
@example("pair", "\x00")
@example("cookie", "\xe9")
@example("pair", "\ud800")
@example("answers", "1:2:3")
@example("receipts", "9" * 5000)
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_any_token_opens_nothing_and_breaks_nothing(door: str, token: str) -> None:
    shop = Phone.objects.first() or paired(cast_with_sensor()).phone
    with at_the_clock("Mon 08:00"):
        refused(at_the_door(door, token))
    assert Phone.objects.get() == shop
    assert Phone.objects.get().unpaired_at is None


def as_header(text: str) -> str:
    """What of a text can stand in a header at all: a server refuses the rest before us."""
    return text.encode("latin-1", "ignore").decode("latin-1").translate({10: "", 13: "", 0: ""})


def cast_with_sensor() -> Cast:
    cast = Cast.open()
    cast.place()
    sensor_in(cast)
    return cast


@pytest.mark.embedded
@given(one=TOKENS, other=TOKENS)
def test_two_tokens_have_two_hashes_and_none_shows_its_token(one: str, other: str) -> None:
    assert (hashed(one) == hashed(other)) == (one == other)
    assert len(one) < 8 or one not in hashed(one)
