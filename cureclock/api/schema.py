"""The document of the API: what each address takes and answers, served at /api/schema."""

from collections.abc import Callable
from datetime import datetime
from typing import Any, TypeVar
from uuid import UUID

from drf_spectacular.extensions import OpenApiAuthenticationExtension
from drf_spectacular.utils import OpenApiResponse, extend_schema

from cureclock.actions.registry import verbs
from cureclock.api.problems import Problem
from cureclock.api.schema_shapes import Schema, Shapes

Method = TypeVar("Method", bound=Callable[..., Any])

SHAPES = Shapes()
PROBLEM_JSON = "application/problem+json"
REFUSALS = {
    400: "what was sent is no JSON",
    401: "nobody is paired who asks like this",
    403: "the right is missing, or the request did not come from the phone's own page",
    404: "nothing here has this id; another workshop's looks the same",
    405: "this address is not used so",
    406: "an answer was asked for in a form that is not served",
    409: "something else came in at this very moment; the same may be sent again",
    413: "what was sent is larger than is taken here",
    415: "what was sent is not of the kind that is taken here",
    422: "a field was wrong; it is named, with what to do",
    429: "whoever asks does so too often; Retry-After says when to come again",
}
ANYWHERE = (405, 406, 429)  # of any address
WITH_BODY = (400, 413, 415)  # of any that takes something


def documented(
    answers: Any,
    *,
    takes: Any = None,
    status: int = 200,
    kind: str = "application/json",
    sends: str = "application/json",
    refuses: tuple[int, ...] = (401,),
    **more: Any,
) -> Callable[[Method], Method]:
    """Say what a method takes and answers, by the very shapes it uses."""
    responses: dict[Any, Any] = {(status, kind): _answer(answers, "what was asked for")}
    for code in sorted({*refuses, *ANYWHERE, *(WITH_BODY if takes is not None else ())}):
        responses[code, PROBLEM_JSON] = _answer(Problem, REFUSALS[code])
    request = None if takes is None else {sends: _schema(takes)}
    return extend_schema(request=request, responses=responses, **more)


def _answer(hint: Any, words: str) -> OpenApiResponse:
    return OpenApiResponse(response=_schema(hint), description=words)


def _schema(hint: Any) -> Schema:
    return hint if isinstance(hint, dict) else SHAPES.of(hint)


def happening() -> Schema:
    """One happening: one shape for each verb, told apart by its name."""
    mapping = {}
    for name, verb in sorted(verbs().items()):
        component = f"{verb.shape.__name__}Happening"
        SHAPES.components[component] = {
            "type": "object",
            "description": (verb.do.__doc__ or "").strip(),
            "properties": {
                "id": SHAPES.of(UUID),
                "verb": {"type": "string", "enum": [name]},
                "at": SHAPES.of(datetime),
                "number": {"type": "integer", "minimum": 0, "nullable": True},
                "said": SHAPES.of(verb.shape),
            },
            "required": ["id", "verb", "at", "said"],
            "additionalProperties": False,
        }
        mapping[name] = f"#/components/schemas/{component}"
    return {
        "oneOf": [{"$ref": ref} for ref in mapping.values()],
        "discriminator": {"propertyName": "verb", "mapping": mapping},
    }


def with_components(result: Schema, **_: Any) -> Schema:
    """Put every shape that was spoken of into the document."""
    result["components"].setdefault("schemas", {}).update(sorted(SHAPES.components.items()))
    return result


class PhoneScheme(OpenApiAuthenticationExtension):  # type: ignore[no-untyped-call]
    """A paired phone."""

    target_class = "cureclock.api.who.PhoneAuthentication"
    name = "phone"

    def get_security_definition(self, auto_schema: Any) -> Schema:  # noqa: ARG002
        """Its cookie; what changes anything also needs the header and our own page's origin."""
        words = (
            "The cookie that pairing leaves on the phone. A request that changes anything also "
            "sends X-CureClock-Phone with the phone's id, from the page itself."
        )
        return {"type": "apiKey", "in": "cookie", "name": "cureclock_phone", "description": words}


class SensorScheme(OpenApiAuthenticationExtension):  # type: ignore[no-untyped-call]
    """A sensor."""

    target_class = "cureclock.api.who.SensorAuthentication"
    name = "sensor"

    def get_security_definition(self, auto_schema: Any) -> Schema:  # noqa: ARG002
        """Its token, in the header."""
        words = "Authorization: Sensor <token>; good for readings of its own place only."
        return {"type": "apiKey", "in": "header", "name": "Authorization", "description": words}
