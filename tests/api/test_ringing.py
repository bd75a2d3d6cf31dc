"""Will it ring: ways are kept, tested and dropped; notices answer and report by their tokens alone."""

from typing import Any
from uuid import UUID

import pytest
from django.test import Client

from cureclock.reminders import again
from cureclock.reminders.models import Answered, Delivery, Way
from tests.api.door import PhoneAtDoor, at_the_clock, paired
from tests.cast import when
from tests.reminders.stage import Stage

pytestmark = pytest.mark.django_db

P256DH = "BCVxsr7N_eNgVRqvHtD0zTZsEc6-VV-JvLexhqUzORcxaOzi6-AYWXvTBHm4bjyPjs7Vd8pZGH6SRpkNtoIAiw4"
AUTH = "BTBZMqHH6r4Tts7J_aSIgg"  # both from RFC 8291, section 5


def push(phone: PhoneAtDoor, address: str = "https://push.example.net/a") -> Any:
    body = {"kind": "webpush", "address": address, "p256dh": P256DH, "auth": AUTH}
    return phone.post("ways", "Mon 08:00", body)


def told() -> tuple[Stage, PhoneAtDoor]:
    """Clamps may come off, and the owner was told."""
    stage = Stage.open()
    stage.cast.read("Mon 08:00", 20.0)
    stage.glue("G1", ["L-01"], "Mon 09:00")
    stage.tick("Mon 09:45")
    return stage, paired(stage.cast)


def nobody(path: str, body: dict[str, str], at: str = "Mon 09:46") -> Any:
    with at_the_clock(at):
        return Client().post(f"/api/{path}", body, content_type="application/json")


def test_a_phone_without_a_way_is_named_as_silent_until_it_has_one() -> None:
    phone = paired(Stage.open().cast)
    ring = phone.get("ring", "Mon 08:00").json()
    assert [one["phone"] for one in ring["silent"]] == [str(phone.phone.id)]
    assert len(ring["push_key"]) == 87  # 65 bytes of a point, as text without padding
    assert push(phone).status_code == 201
    assert phone.get("ring", "Mon 08:01").json()["silent"] == []


def test_the_newer_push_address_of_a_phone_takes_the_older_ones_place() -> None:
    phone = paired(Stage.open().cast)
    push(phone)
    push(phone, "https://push.example.net/b")
    addresses = Way.objects.filter(kind="webpush").values_list("address", flat=True)
    assert list(addresses) == ["https://push.example.net/b"]


@pytest.mark.parametrize("address", ["http://push.example.net/a", "https://127.0.0.1/a", "x"])
def test_a_hostile_push_address_is_refused_in_words(address: str) -> None:
    response = push(paired(Stage.open().cast), address)
    assert response.status_code == 422
    assert response.json()["mend"]


def test_a_test_is_sent_and_its_receipt_is_shown() -> None:
    stage = Stage.open()
    phone = paired(stage.cast)
    (way,) = phone.get("ring", "Mon 08:00").json()["ways"]
    assert phone.post(f"ways/{way['id']}/test", "Mon 08:01", {}).status_code == 201
    (message,) = stage.tick("Mon 08:01")
    says = {"receipt": message.receipt, "says": "shown"}
    assert nobody("receipts", says, "Mon 08:02").status_code == 200
    (way,) = phone.get("ring", "Mon 08:03").json()["ways"]
    assert (way["state"], way["shown_at"], way["seen_at"]) == ("sent", "2026-02-02T08:02:00Z", None)


def test_a_test_of_another_workshops_way_is_not_here() -> None:
    stage = Stage.open()
    stranger = paired(type(stage.cast).open("Other"))
    way = Way.objects.get()
    assert stranger.post(f"ways/{way.id}/test", "Mon 08:01", {}).status_code == 404
    assert stranger.post(f"ways/{way.id}/drop", "Mon 08:01", {}).status_code == 404
    assert Way.objects.exists()


def test_a_helper_drops_no_way_of_the_owner_and_the_owner_drops_any() -> None:
    stage = Stage.open()
    way = Way.objects.get()
    helper, owner = paired(stage.cast, "helper"), paired(stage.cast)
    assert helper.post(f"ways/{way.id}/drop", "Mon 08:01", {}).status_code == 403
    assert owner.post(f"ways/{way.id}/drop", "Mon 08:01", {}).status_code == 200
    assert not Way.objects.exists()


def test_what_was_told_stands_until_somebody_has_it_and_then_says_who() -> None:
    stage, phone = told()
    helper = paired(stage.cast, "helper")
    (alert,) = phone.get("alerts", "Mon 09:46").json()["alerts"]
    assert alert["title"].startswith("Take clamps off")
    assert (alert["mine"], alert["taken_by"]) == (True, "")
    owner = stage.cast.owner.person
    assert owner
    again.answer(stage.cast.workshop, UUID(alert["id"]), owner, "mine", when("Mon 09:47"))
    (alert,) = helper.get("alerts", "Mon 09:48").json()["alerts"]
    assert (alert["mine"], alert["taken_by"]) == (False, owner.name)


def test_what_is_done_stands_no_longer() -> None:
    stage, phone = told()
    stage.cast.do("clamps_off", "Mon 09:50", glue_up=stage.cast.id("G1"))
    assert phone.get("alerts", "Mon 09:51").json()["alerts"] == []


def test_a_notices_token_answers_once_without_a_key() -> None:
    stage, _ = told()
    token = dict(stage.memory.sent[-1][1].answers)["mine"]
    assert nobody("answers", {"token": token}).json()["says"] == "mine"
    assert nobody("answers", {"token": token}).status_code == 422
    assert Answered.objects.count() == 1


@pytest.mark.parametrize("token", ["forged", "1 mine 99999999999:x", "é" * 300])
def test_a_forged_token_answers_and_reports_nothing(token: str) -> None:
    told()
    assert nobody("answers", {"token": token}).status_code == 422
    assert nobody("receipts", {"receipt": token, "says": "shown"}).status_code == 422
    assert not Answered.objects.exists()
    assert not Delivery.objects.filter(shown_at__isnull=False).exists()


def test_nobody_who_is_not_paired_learns_who_can_be_reached() -> None:
    Stage.open()
    with at_the_clock(when("Mon 08:00")):
        assert Client().get("/api/ring").status_code == 401
        assert Client().get("/api/alerts").status_code == 401
