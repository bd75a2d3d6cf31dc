"""Refusals as problem+json (RFC 9457), in the maker's words, with the field named."""

import math
from collections.abc import Iterator, Mapping, Sequence
from http import HTTPStatus
from typing import Any, NotRequired, TypedDict

import structlog
from django.core.exceptions import PermissionDenied, RequestDataTooBig
from django.db import OperationalError
from django.http import Http404
from rest_framework import exceptions
from rest_framework.response import Response
from rest_framework.views import set_rollback

from cureclock.core.refusal import Refused
from cureclock.shop.outside import Throttled
from cureclock.shop.refusals import NotHere, Refusal

log = structlog.get_logger("cureclock.api")
MEDIA_TYPE = "application/problem+json"
STATUS_OF_KEY = {
    "not_here": HTTPStatus.NOT_FOUND,
    "not_allowed": HTTPStatus.FORBIDDEN,
    "not_paired": HTTPStatus.UNAUTHORIZED,
    "clash": HTTPStatus.CONFLICT,
    "unreadable": HTTPStatus.BAD_REQUEST,
    "too_big": HTTPStatus.REQUEST_ENTITY_TOO_LARGE,
    "no_such_way": HTTPStatus.METHOD_NOT_ALLOWED,
    "too_many": HTTPStatus.TOO_MANY_REQUESTS,
    "not_json": HTTPStatus.UNSUPPORTED_MEDIA_TYPE,
    "not_as_asked": HTTPStatus.NOT_ACCEPTABLE,
    "records_away": HTTPStatus.SERVICE_UNAVAILABLE,
}
MENDS = {
    "required": "send it",
    "null": "send a value",
    "blank": "say it in a few words",
    "empty": "name at least one",
    "invalid": "send it as the schema says",
    "naive": "send it with its offset from UTC",
    "out_of_reach": "send a time from 2000 to 2200",
    "not_finite": "send a plain number",
    "unknown": "leave it out, or see the schema for its right name",
    "max_length": "make it shorter",
    "twice": "name each once",
    "null_characters_not_allowed": "leave such characters out",
    "surrogate_characters_not_allowed": "leave such characters out",
}
WRONGS = {"required": "is missing", "null": "is empty"}


class Fault(TypedDict):
    """One field that was wrong, and what to do about it."""

    field: str
    wrong: str
    mend: str


class Problem(TypedDict):
    """A refusal (RFC 9457): a key for machines; field, wrong and mend for people."""

    type: str
    title: str
    status: int
    detail: str
    key: str
    field: str
    wrong: str
    mend: str
    errors: NotRequired[list[Fault]]


def problem(refusal: Refusal, errors: Sequence[Fault] = ()) -> Problem:
    """One refusal as a problem: what was wrong, where, and what to do."""
    status = HTTPStatus(STATUS_OF_KEY.get(key_of(refusal), HTTPStatus.UNPROCESSABLE_ENTITY))
    told: Problem = {
        "type": "about:blank",
        "title": status.phrase,
        "status": int(status),
        "detail": f"{refusal.field}: {refusal.wrong}; {refusal.mend}",
        "key": key_of(refusal),
        "field": refusal.field,
        "wrong": refusal.wrong,
        "mend": refusal.mend,
    }
    if errors:
        told["errors"] = list(errors)
    return told


def key_of(refusal: Refusal) -> str:
    """The machine name of a refusal; a missing right has one of its own."""
    if refusal.field == "who" and refusal.key == "refused":
        return "not_allowed"
    return refusal.key


def refusal_of(error: Exception) -> Refusal:
    """Any refusal of the house as one kind: where, what was wrong, what to do."""
    if isinstance(error, Refusal):
        return error
    assert isinstance(error, Refused)
    return Refusal(error.quantity, f"{error.value} cannot be", f"give {error.valid}")


def of_shape(error: exceptions.ValidationError, at: str = "") -> Problem:
    """What a serializer found, every field of it, the first one ruling."""
    found = list(_faults(error.detail, at))
    first = Refusal(**found[0], key="wrong_shape")
    return problem(first, found)


def _faults(detail: Any, where: str) -> Iterator[Fault]:
    if isinstance(detail, Mapping):
        for name, inner in detail.items():
            step = f"[{name}]" if isinstance(name, int) else str(name)
            joined = step if not where or name == "non_field_errors" else f"{where}.{step}"
            at = where + step if isinstance(name, int) else joined
            yield from _faults(inner, where or "body" if name == "non_field_errors" else at)
    elif isinstance(detail, list) and any(isinstance(one, Mapping | list) for one in detail):
        for number, inner in enumerate(detail):
            yield from _faults(inner, f"{where}[{number}]") if inner else ()
    else:
        for one in detail if isinstance(detail, list) else [detail]:
            code = str(getattr(one, "code", "invalid"))
            mend = MENDS.get(code, MENDS["invalid"])
            yield {"field": where or "body", "wrong": WRONGS.get(code, str(one)), "mend": mend}


def answer(told: Problem) -> Response:
    """A problem as an answer of its own."""
    return Response(told, status=told["status"], content_type=MEDIA_TYPE)


OF_FRAMEWORK: dict[type[Exception], Refusal] = {
    exceptions.NotAuthenticated: Refusal(
        "who", "this phone is not paired", "open a pairing link", "not_paired"
    ),
    exceptions.AuthenticationFailed: Refusal(
        "who", "this phone is not paired", "open a pairing link", "not_paired"
    ),
    exceptions.ParseError: Refusal("body", "is no JSON", "send JSON", "unreadable"),
    exceptions.MethodNotAllowed: Refusal(
        "method", "is not used here", "see the schema", "no_such_way"
    ),
    exceptions.UnsupportedMediaType: Refusal(
        "body", "is not sent as JSON", "send it as application/json", "not_json"
    ),
    exceptions.NotAcceptable: Refusal(
        "accept", "asks for what is not served", "accept application/json", "not_as_asked"
    ),
    exceptions.Throttled: Refusal(
        "who", "there were too many requests in a minute", "wait a minute", "too_many"
    ),
    Http404: NotHere("address"),
    OperationalError: Refusal(
        "records",
        "cannot be read or written just now",
        "try again in a little while; what was tapped stays on the phone until then",
        "records_away",
    ),
    RequestDataTooBig: Refusal(
        "body", "is larger than is taken here", "send less at once", "too_big"
    ),
}


def handle(error: Exception, _context: Any) -> Response | None:
    """What the framework calls on any error of a view; None is a defect of ours, logged as one."""
    set_rollback()
    if isinstance(error, OperationalError):
        log.error("the records cannot be used", why=str(error).strip()[:200])
    if isinstance(error, exceptions.ValidationError):
        return answer(of_shape(error))
    if isinstance(error, Refusal | Refused):
        return _with_wait(answer(problem(refusal_of(error))), error)
    if isinstance(error, exceptions.PermissionDenied | PermissionDenied):
        return answer(problem(Refusal("who", str(error), "ask the owner", "not_allowed")))
    for kind, refusal in OF_FRAMEWORK.items():
        if isinstance(error, kind):
            response = answer(problem(refusal))
            header = getattr(error, "auth_header", None)
            if header:
                response["WWW-Authenticate"] = header
            return _with_wait(response, error)
    return None


def _with_wait(response: Response, error: Exception) -> Response:
    """When to come again, for whoever came too often."""
    if isinstance(error, exceptions.Throttled):
        response["Retry-After"] = str(max(1, math.ceil(getattr(error, "wait", None) or 1)))
    elif isinstance(error, Throttled):
        response["Retry-After"] = str(error.wait_s)
    elif isinstance(error, OperationalError):
        response["Retry-After"] = "5"
    return response
