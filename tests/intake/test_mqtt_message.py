"""What stands in a sensor's message: a reading, or a refusal, whatever the bytes are."""

import json
from datetime import UTC, datetime
from typing import Any
from uuid import uuid4

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cureclock.intake.mqtt_message import MOST_BYTES, is_gone, reading_in
from cureclock.shop.models import TopicVersion
from cureclock.shop.refusals import Refusal

pytestmark = pytest.mark.embedded  # no record is read or written

AT = datetime(2026, 2, 2, 8, 0, tzinfo=UTC)
SENSOR = uuid4()


def heard(**said: Any) -> TopicVersion:
    return TopicVersion(sensor_id=SENSOR, topic="shed/air", **said)


NESTED = {"air": {"temp": 21.5, "rh": "48 %"}, "time": "2026-02-02T09:00:00+01:00"}


@pytest.mark.parametrize(
    ("fields", "payload", "temp_c", "rh_pct"),
    [
        ({}, b"21.5", 21.5, None),
        ({}, b" -3,25 \xc2\xb0C\n", -3.25, None),
        ({"fahrenheit": True}, b"50", 10.0, None),
        ({"temp_field": "t", "rh_field": "h"}, b'{"t": 21, "h": 48.5}', 21.0, 48.5),
        ({"temp_field": "air.temp", "rh_field": "air.rh"}, json.dumps(NESTED).encode(), 21.5, 48),
        ({"temp_field": "a.b"}, b'{"a.b": 3}', 3.0, None),
        ({"temp_field": "list.1.t"}, b'{"list": [{"t": 1}, {"t": 2}]}', 2.0, None),
    ],
)
def test_a_reading_is_found_where_it_was_told_to_stand(
    fields: dict[str, Any], payload: bytes, temp_c: float, rh_pct: float | None
) -> None:
    said = reading_in(heard(**fields), payload, AT)
    assert (said.temp_c, said.rh_pct, said.at) == (temp_c, rh_pct, AT)


@pytest.mark.parametrize(
    "told", ['"2026-02-02T09:00:00+01:00"', '"2026-02-02T08:00:00Z"', "1770019200", "1770019200000"]
)
def test_one_instant_however_it_is_written_is_one_reading(told: str) -> None:
    fields = {"temp_field": "t", "at_field": "at"}
    payload = f'{{"t": 20, "at": {told}}}'.encode()
    assert reading_in(heard(**fields), payload, AT) == reading_in(
        heard(**fields), b'{"t": 20, "at": "2026-02-02T10:00:00+02:00"}', AT
    )
    assert reading_in(heard(**fields), payload, AT).at == AT


@pytest.mark.parametrize(
    ("fields", "payload", "field"),
    [
        ({}, b"warm", "temperature"),
        ({}, b"\xff\xfe\x00", "message"),
        ({}, b"", "temperature"),
        ({}, b"451", "temperature"),
        ({}, b"1" * (MOST_BYTES + 1), "message"),
        ({"temp_field": "t"}, b"21.5", "temperature"),
        ({"temp_field": "t"}, b'{"t": true}', "temperature"),
        ({"temp_field": "t"}, b'{"t": NaN}', "temperature"),
        ({"temp_field": "t"}, b'{"t": 1e999}', "temperature"),
        ({"temp_field": "t"}, b'{"t": ' + b"9" * 5000 + b"}", "message"),
        ({"temp_field": "t"}, b"[" * 9000, "message"),
        ({"temp_field": "t", "rh_field": "h"}, b'{"t": 20}', "humidity"),
        ({"temp_field": "t", "at_field": "at"}, b'{"t": 20, "at": "2026-02-02T08:00"}', "time"),
        ({"temp_field": "t", "at_field": "at"}, b'{"t": 20, "at": true}', "time"),
        ({"temp_field": "t", "at_field": "at"}, b'{"t": 20, "at": 7}', "time"),
    ],
)
def test_what_holds_no_reading_is_refused_in_words(
    fields: dict[str, Any], payload: bytes, field: str
) -> None:
    with pytest.raises(Refusal) as refused:
        reading_in(heard(**fields), payload, AT)
    assert refused.value.field == field


def test_a_last_will_is_known_by_its_word() -> None:
    told = heard(status_topic="shed/state", gone_word="offline")
    assert is_gone(told, b"offline")
    assert is_gone(told, b'"Offline"\n')
    assert not is_gone(told, b"online")
    assert not is_gone(heard(gone_word=""), b"")


PATHS = st.sampled_from(["", "t", "a.b", "0", "a..b", ".", "a.0.t", "9" * 120])
JSONS = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=12),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(st.sampled_from(["t", "a", "b", "0", ""]), inner, max_size=3)
    ),
    max_leaves=8,
)
PAYLOADS = st.one_of(
    st.binary(max_size=300),
    st.text(max_size=80).map(lambda text: text.encode("utf-8", "surrogatepass")),
    JSONS.map(lambda told: json.dumps(told).encode()),
)


def readable_or_refused(payload: bytes, temp: str, rh: str, at: str, fahrenheit: bool) -> bool:
    told = heard(temp_field=temp, rh_field=rh, at_field=at, fahrenheit=fahrenheit)
    try:
        said = reading_in(told, payload, AT)
    except Refusal as why:
        return all((why.field, why.wrong, why.mend))
    finally:
        is_gone(told, payload)
    return -200 <= said.temp_c <= 200 and said.at.tzinfo is not None


@settings(max_examples=300, deadline=None)
@given(PAYLOADS, PATHS, PATHS, PATHS, st.booleans())
def test_any_message_is_read_or_refused(
    payload: bytes, temp: str, rh: str, at: str, fahrenheit: bool
) -> None:
    assert readable_or_refused(payload, temp, rh, at, fahrenheit)


@pytest.mark.long
@settings(max_examples=50_000, deadline=None)
@given(PAYLOADS, PATHS, PATHS, PATHS, st.booleans())
def test_any_of_very_many_messages_is_read_or_refused(
    payload: bytes, temp: str, rh: str, at: str, fahrenheit: bool
) -> None:
    assert readable_or_refused(payload, temp, rh, at, fahrenheit)
