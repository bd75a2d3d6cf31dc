"""Requests drawn from the whole document: none makes the server stumble, each answer is as documented.

The plain run draws 500, the long one 5,000. All go to one shop, so that each meets what those
before it left.
"""

from collections import Counter
from collections.abc import Iterator
from typing import Any

import pytest
import schemathesis
from django.core.signals import request_finished, request_started
from django.db import close_old_connections
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from schemathesis import GenerationMode
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_schema_conformance,
    status_code_conformance,
)

from cureclock.api.who import COOKIE
from cureclock.runtime.wsgi import application
from cureclock.waits.rebuild import differences
from tests.api.door import paired
from tests.cast import when
from tests.intake.whole_shop import whole_shop

pytestmark = [pytest.mark.django_db, pytest.mark.slow]

CHECKS = [content_type_conformance, response_schema_conformance, status_code_conformance]


@pytest.fixture(autouse=True)
def one_connection() -> Iterator[None]:
    """The end of a request would close what the whole test is told in."""
    for told in (request_started, request_finished):
        told.disconnect(close_old_connections)
    yield
    for told in (request_started, request_finished):
        told.connect(close_old_connections)


def cases(schema: Any) -> st.SearchStrategy[Any]:
    """Good requests and bad ones, of every operation alike."""
    operations = [found.ok() for found in schema.get_all_operations()]
    modes = (GenerationMode.POSITIVE, GenerationMode.NEGATIVE)
    return st.one_of(
        [one.as_strategy(mode) for one in operations for mode in modes if could(one, mode)]
    )


def could(operation: Any, mode: GenerationMode) -> bool:
    """Whether anything can be wrong in a request of this operation."""
    return mode is GenerationMode.POSITIVE or bool(operation.body or operation.query)


def asked(many: int) -> Counter[int]:
    """Send so many; how often each status came back."""
    cast = whole_shop()
    phone = paired(cast)

    def with_key(environ: dict[str, Any], start: Any) -> Any:
        return application({**environ, "HTTP_COOKIE": f"{COOKIE}={phone.token}"}, start)

    schema = schemathesis.openapi.from_wsgi("/api/schema", with_key)
    kept = {**phone.headers(), "Host": "testserver", "Accept-Encoding": "identity"}
    came: Counter[int] = Counter()

    @given(case=cases(schema))
    @settings(max_examples=many, suppress_health_check=list(HealthCheck), deadline=None)
    def one(case: Any) -> None:
        response = case.call(headers=kept)
        came[response.status_code] += 1
        assert response.status_code < 500, (case, response.content)
        case.validate_response(response, checks=CHECKS)

    one()
    assert differences(cast.workshop, when("Tue 12:00")) == []
    return came


def test_five_hundred_requests_are_answered_as_documented() -> None:
    came = asked(500)
    assert sum(came.values()) >= 500
    assert {200, 404, 422} <= came.keys()


@pytest.mark.long
def test_five_thousand_requests_are_answered_as_documented() -> None:
    came = asked(5000)
    assert sum(came.values()) >= 5000
    assert {200, 201, 404, 422} <= came.keys()
