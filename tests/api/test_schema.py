"""The document at /api/schema: every verb is in it, and what is answered is what it says."""

import copy
from typing import Any

import jsonschema
import pytest
from django.test import Client

from cureclock.actions.registry import verbs
from tests.api.door import PhoneAtDoor, at_the_clock, paired, sensor_in
from tests.api.test_view import shed
from tests.cast import Cast

pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module")
def document() -> dict[str, Any]:
    response = Client().get("/api/schema")
    assert response.status_code == 200
    told: dict[str, Any] = response.json()
    return told


def strict_json(schema: Any) -> Any:
    """The same in JSON Schema, where an empty value has to be named."""
    if isinstance(schema, list):
        return [strict_json(one) for one in schema]
    if not isinstance(schema, dict):
        return schema
    told = {name: strict_json(one) for name, one in schema.items() if name != "nullable"}
    return {"anyOf": [told, {"type": "null"}]} if schema.get("nullable") else told


def holds(document: dict[str, Any], path: str, method: str, status: int, body: Any) -> None:
    """What was answered is what the document says."""
    answer = document["paths"][path][method]["responses"][str(status)]
    schema = copy.deepcopy(next(iter(answer["content"].values()))["schema"])
    whole = strict_json({**schema, "components": document["components"]})
    jsonschema.Draft202012Validator(whole).validate(body)


def test_every_verb_has_its_own_shape_in_the_document(document: dict[str, Any]) -> None:
    body = document["paths"]["/api/happenings"]["post"]["requestBody"]
    items = body["content"]["application/json"]["schema"]["properties"]["happenings"]["items"]
    mapping = items["discriminator"]["mapping"]
    assert mapping.keys() == verbs().keys()
    for name, ref in mapping.items():
        shape = document["components"]["schemas"][ref.rsplit("/", 1)[1]]
        assert shape["properties"]["verb"]["enum"] == [name]
        said = shape["properties"]["said"]["$ref"].rsplit("/", 1)[1]
        assert document["components"]["schemas"][said]["properties"]


def test_every_address_is_in_the_document(document: dict[str, Any]) -> None:
    from cureclock.api.urls import urlpatterns

    served = {str(one.pattern).replace("<uuid:ident>", "{ident}") for one in urlpatterns}
    told = {path.removeprefix("/api/") for path in document["paths"]}
    assert served - told == {"schema", ""}


def test_no_reference_leads_nowhere(document: dict[str, Any]) -> None:
    def references(node: Any) -> set[str]:
        if isinstance(node, list):
            return {ref for one in node for ref in references(one)}
        if isinstance(node, dict):
            own = {node["$ref"]} if "$ref" in node else set()
            return own | {ref for one in node.values() for ref in references(one)}
        return set()

    known = {f"#/components/schemas/{name}" for name in document["components"]["schemas"]}
    assert references(document) <= known


def busy() -> tuple[Cast, PhoneAtDoor]:
    cast = shed(3)
    return cast, paired(cast)


def test_the_view_is_as_the_document_says(document: dict[str, Any]) -> None:
    _, phone = busy()
    told = phone.get("view", "Mon 12:30").json()
    holds(document, "/api/view", "get", 200, told)
    with pytest.raises(jsonschema.ValidationError):
        holds(document, "/api/view", "get", 200, {**told, "places": [{"id": 1}]})


@pytest.mark.parametrize("name", ["G0", "C1"])
def test_a_group_and_its_sums_are_as_the_document_says(document: dict[str, Any], name: str) -> None:
    cast, phone = busy()
    told = phone.get(f"groups/{cast.id(name)}", "Mon 12:30").json()
    holds(document, "/api/groups/{ident}", "get", 200, told)
    why = phone.get(f"why/{told['waits'][0]['gates'][0]['why_id']}", "Mon 12:30").json()
    holds(document, "/api/why/{ident}", "get", 200, why)


def test_a_piece_and_its_answer_are_as_the_document_says(document: dict[str, Any]) -> None:
    cast, phone = busy()
    piece = phone.get(f"pieces/{cast.id('0-0')}", "Mon 12:30").json()
    holds(document, "/api/pieces/{ident}", "get", 200, piece)
    answer = phone.get(f"pieces/{cast.id('0-0')}/may", "Mon 12:30").json()
    holds(document, "/api/pieces/{ident}/may", "get", 200, answer)


def test_answers_to_happenings_and_readings_are_as_the_document_says(
    document: dict[str, Any],
) -> None:
    cast, phone = busy()
    good = phone.tap("place_made", "Mon 12:00", place=str(cast.id("Box")), name="Box")
    bad = phone.tap("place_made", "Mon 12:00", place="x", name="")
    body = {"sent_at": "2026-02-02T13:40:00Z", "happenings": [good, bad, 7]}
    told = phone.post("happenings", "Mon 12:30", body).json()
    assert [one["outcome"] for one in told["answers"]] == ["applied", "refused", "refused"]
    holds(document, "/api/happenings", "post", 200, told)
    rows = [{"at": "2026-02-02T12:00:00Z", "temp_c": 9.0}, {"at": "noon", "temp_c": 400}]
    kept = sensor_in(cast).post("readings", "Mon 12:30", {"readings": rows}).json()
    assert (kept["kept"], len(kept["refused"])) == (1, 1)
    holds(document, "/api/readings", "post", 200, kept)


def test_set_up_is_as_the_document_says(document: dict[str, Any]) -> None:
    cast, phone = busy()
    offer = {"person_name": "Robin", "role": "helper"}
    link = phone.post("pairing-links", "Mon 12:30", offer).json()
    holds(document, "/api/pairing-links", "post", 201, link)
    holds(document, "/api/phones", "get", 200, phone.get("phones", "Mon 12:31").json())
    sensor = phone.post("sensors", "Mon 12:32", {"place": str(cast.id("Shed")), "name": "wall"})
    assert sensor.status_code == 201
    holds(document, "/api/sensors", "post", 201, sensor.json())
    holds(
        document,
        "/api/heartbeat",
        "post",
        200,
        phone.post("heartbeat", "Mon 12:33", {"unsent": 1}).json(),
    )
    pair = {"token": link["url"].rsplit("/", 1)[1], "phone_name": "tablet"}
    with at_the_clock("Mon 12:34"):
        paired_now = Client().post("/api/pair", pair, content_type="application/json")
    holds(document, "/api/pair", "post", 200, paired_now.json())
    unpair = phone.post(f"phones/{phone.phone.id}/unpair", "Mon 12:35", {}).json()
    holds(document, "/api/phones/{ident}/unpair", "post", 200, unpair)


def test_a_refusal_is_as_the_document_says(document: dict[str, Any]) -> None:
    _, phone = busy()
    refused = phone.post("heartbeat", "Mon 12:30", {"unsent": "many"})
    assert refused.status_code == 422
    holds(document, "/api/heartbeat", "post", 422, refused.json())
