"""What comes back: receipts, answers by a link or a webhook, tests; forged, old and repeated ones."""

from datetime import timedelta
from typing import Any

import pytest

from cureclock.reminders import links, minding, receipts, ring_tests
from cureclock.reminders.channels import webhook
from cureclock.reminders.models import Answered, Delivery, RagsQuestion, Way
from cureclock.reminders.outcome import Gone
from cureclock.shop.refusals import NotHere, Refusal
from tests.cast import Cast, when
from tests.reminders.stage import Stage
from tests.reminders.test_rags import oiled

pytestmark = pytest.mark.django_db


def told() -> Stage:
    stage = Stage.open()
    stage.cast.read("Mon 08:00", 20.0)
    stage.glue("G1", ["L-01"], "Mon 09:00")
    stage.tick("Mon 09:45")
    return stage


def message(stage: Stage) -> Any:
    return stage.memory.sent[-1][1]


def test_a_receipt_says_that_it_was_shown_and_by_which_way() -> None:
    stage = told()
    receipts.take(message(stage).receipt, "shown", when("Mon 09:46"))
    row = Delivery.objects.get(alert__gate="clamps_off")
    assert (row.shown_at, row.seen_at) == (when("Mon 09:46"), None)
    assert row.way.heard_at == when("Mon 09:46")


def test_a_repeated_receipt_changes_nothing_and_seen_means_shown() -> None:
    stage = told()
    receipts.take(message(stage).receipt, "seen", when("Mon 09:46"))
    receipts.take(message(stage).receipt, "seen", when("Mon 09:50"))
    receipts.take(message(stage).receipt, "shown", when("Mon 09:51"))
    row = Delivery.objects.get(alert__gate="clamps_off")
    assert (row.shown_at, row.seen_at) == (when("Mon 09:46"), when("Mon 09:46"))


@pytest.mark.parametrize("token", ["", "1", "1:forged", "x:y", "9" * 500])
def test_a_receipt_we_did_not_write_is_refused(token: str) -> None:
    told()
    with pytest.raises(Refusal):
        receipts.take(token, "shown", when("Mon 09:46"))
    assert not Delivery.objects.filter(shown_at__isnull=False).exists()


def test_a_link_answers_for_its_person_once() -> None:
    stage = told()
    token = dict(message(stage).answers)["mine"]
    alert, act = links.answer(token, when("Mon 09:50"))
    assert (alert.gate, act) == ("clamps_off", "mine")
    with pytest.raises(Refusal, match="answered already"):
        links.answer(token, when("Mon 09:51"))
    assert Answered.objects.count() == 1


def test_a_link_that_is_forged_too_old_or_of_something_else_is_refused() -> None:
    stage = told()
    token = dict(message(stage).answers)["mine"]
    late = when("Mon 09:45") + links.GOOD_FOR + timedelta(minutes=1)
    for bad, at in (
        (token.replace("mine", "later"), when("Mon 09:50")),
        (token[:-1] + ("a" if token[-1] != "a" else "b"), when("Mon 09:50")),
        (message(stage).receipt, when("Mon 09:50")),
        ("", when("Mon 09:50")),
        (token, late),
    ):
        with pytest.raises(Refusal):
            links.answer(bad, at)
    assert not Answered.objects.exists()


def test_the_rags_are_answered_by_a_link_too() -> None:
    stage = oiled()
    stage.tick("Mon 14:25")
    token = dict(message(stage).answers)["under_water"]
    links.answer(token, when("Mon 14:26"))
    assert RagsQuestion.objects.get().where == "under_water"


def test_lists_and_tests_cannot_be_answered() -> None:
    stage = told()
    way = Way.objects.get()
    ring_tests.test_way(stage.cast.workshop, way.id, stage.clock.now())
    stage.tick()
    assert message(stage).answers == ()


def test_a_test_rings_and_what_came_of_it_is_shown() -> None:
    stage = told()
    way = Way.objects.get()
    ring_tests.test_way(stage.cast.workshop, way.id, stage.clock.now())
    stage.tick()
    assert "test" in message(stage).title
    (shown,) = ring_tests.will_it_ring(stage.cast.workshop)
    assert (shown.state, shown.shown_at) == ("sent", None)
    receipts.take(message(stage).receipt, "shown", when("Mon 09:47"))
    (shown,) = ring_tests.will_it_ring(stage.cast.workshop)
    assert shown.shown_at == when("Mon 09:47")


def test_a_test_is_not_sent_over_and_over_nor_to_what_is_dead_or_elsewhere() -> None:
    stage = told()
    way = Way.objects.get()
    ring_tests.test_way(stage.cast.workshop, way.id, stage.clock.now())
    with pytest.raises(Refusal, match="just now"):
        ring_tests.test_way(stage.cast.workshop, way.id, stage.clock.now())
    with pytest.raises(NotHere):
        ring_tests.test_way(Cast.open("Other").workshop, way.id, stage.clock.now())
    stage.memory.answers = [Gone(410, "the address no longer exists")]
    stage.tick()
    with pytest.raises(Refusal, match="alerts are off here"):
        ring_tests.test_way(stage.cast.workshop, way.id, stage.clock.now() + timedelta(minutes=1))
    (shown,) = ring_tests.will_it_ring(stage.cast.workshop)
    assert shown.dead_why == "the address no longer exists"


SECRET = "a secret of the maker's"


def test_what_a_webhook_is_sent_can_be_seen_to_be_signed_just_now() -> None:
    body, at = b'{"title":"Take clamps off"}', when("Mon 09:50")
    webhook.verify(SECRET, webhook.signature(SECRET, at, body), body, at)


@pytest.mark.parametrize(
    ("header", "later_s"),
    [
        (webhook.signature("another secret, long", when("Mon 09:50"), b"x"), 0),
        (webhook.signature(SECRET, when("Mon 09:50"), b"y"), 0),
        (webhook.signature(SECRET, when("Mon 09:50"), b"x"), webhook.GOOD_FOR_S + 1),
        (webhook.signature(SECRET, when("Mon 09:50"), b"x"), -webhook.GOOD_FOR_S - 1),
        ("", 0),
        ("t=1", 0),
        ("v1=abc", 0),
        ("t=²,v1=abc", 0),
        ("nonsense,,,=", 0),
    ],
)
def test_a_webhooks_answer_that_is_forged_or_old_is_refused(header: str, later_s: int) -> None:
    with pytest.raises(Refusal):
        webhook.verify(SECRET, header, b"x", when("Mon 09:50") + timedelta(seconds=later_s))


def test_a_hold_lasts_an_hour_at_most_and_only_who_belongs_here_minds_the_shop() -> None:
    cast = Cast.open()
    stranger = Cast.open("Other").owner.person
    assert stranger is not None
    with pytest.raises(Refusal):
        minding.hold(cast.workshop, when("Mon 12:00"), when("Mon 13:01"))
    with pytest.raises(Refusal):
        minding.hold(cast.workshop, when("Mon 12:00"), when("Mon 12:00"))
    with pytest.raises(NotHere):
        minding.mind(cast.workshop, stranger, when("Mon 12:00"))
    assert cast.viewer.person is not None
    with pytest.raises(NotHere):
        minding.mind(cast.workshop, cast.viewer.person, when("Mon 12:00"))
