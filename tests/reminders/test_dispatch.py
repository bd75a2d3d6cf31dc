"""Dispatch: claimed with a lease, looked up anew, sent once, marked by whoever holds the lease."""

from datetime import timedelta
from uuid import uuid4

import pytest
from django.db import OperationalError

from cureclock.reminders import leases, points
from cureclock.reminders.fire import Firing
from cureclock.reminders.models import Alert, Delivery, Trouble, Way
from cureclock.reminders.outcome import Accepted, Fault, Gone, TryAgain, next_try, of_status
from tests.cast import when
from tests.reminders.stage import Stage

pytestmark = pytest.mark.django_db
State = Delivery.State


def due() -> Stage:
    """One alert that is due and not yet sent."""
    stage = Stage.open()
    stage.cast.read("Mon 08:00", 20.0)
    stage.glue("G1", ["L-01"], "Mon 09:00")
    stage.clock.move_to(when("Mon 09:45"))
    Firing().fire_all(stage.clock.now())
    return stage


def the_one() -> Delivery:
    """The delivery of the alert that clamps may come off."""
    return Delivery.objects.get(alert__gate="clamps_off")


def test_a_claim_is_committed_before_anything_is_sent() -> None:
    stage = due()
    seen: list[str] = []

    def look(point: str) -> None:
        if point == "send.accepted":
            seen.append(the_one().state)

    over = points.listen(look)
    stage.tick()
    over()
    assert seen == [State.SENDING]
    assert the_one().state == State.SENT


def test_what_is_claimed_is_not_claimed_again() -> None:
    stage = due()
    _, ids = leases.claim(stage.clock.now(), 16)
    assert len(ids) == 1
    assert leases.claim(stage.clock.now(), 16)[1] == []


def test_a_lease_that_ran_out_is_put_back() -> None:
    stage = due()
    leases.claim(stage.clock.now(), 16)
    assert leases.rescue(stage.clock.now()) == 0
    Delivery.objects.filter(alert__gate="clamps_off").update(
        lease_until=stage.clock.now() - timedelta(seconds=1)
    )
    assert leases.rescue(stage.clock.now()) == 1
    assert len(stage.tick()) == 1


def test_what_this_process_works_on_is_not_put_back() -> None:
    stage = due()
    _, ids = leases.claim(stage.clock.now(), 16)
    Delivery.objects.filter(alert__gate="clamps_off").update(
        lease_until=stage.clock.now() - timedelta(hours=1)
    )
    assert leases.rescue(stage.clock.now(), in_hand=ids) == 0


def test_a_sleeper_whose_lease_was_taken_marks_nothing() -> None:
    stage = due()
    dispatcher = stage.dispatcher()
    (parcel,) = dispatcher.take(16)
    Delivery.objects.filter(alert__gate="clamps_off").update(lease_token=uuid4())
    dispatcher.carry(parcel)
    row = the_one()
    assert (row.state, row.sent_at) == (State.SENDING, None)


def test_a_parcel_is_given_back_when_most_of_its_lease_is_gone() -> None:
    stage = due()
    dispatcher = stage.dispatcher()
    (parcel,) = dispatcher.take(16)
    stage.clock.sleep(leases.LEASE_S * leases.USED + 1)
    assert dispatcher.carry(parcel) is False
    assert stage.memory.sent == []
    assert the_one().state == State.PENDING


def test_what_was_sent_and_could_not_be_marked_is_marked_later_and_never_sent_again(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    stage = due()
    dispatcher = stage.dispatcher()
    (parcel,) = dispatcher.take(16)
    with monkeypatch.context() as broken:

        def full(*args: object, **values: object) -> bool:
            raise OperationalError("database or disk is full")

        broken.setattr(leases, "put", full)
        broken.setattr("cureclock.reminders.dispatch.connection.close", lambda: None)
        dispatcher.carry(parcel)
    assert len(stage.memory.sent) == 1
    Delivery.objects.filter(alert__gate="clamps_off").update(state=State.PENDING, lease_token=None)
    dispatcher.dispatch()
    assert len(stage.memory.sent) == 1
    assert the_one().state == State.SENT


def test_a_busy_service_is_asked_again_and_later_each_time() -> None:
    stage = due()
    stage.memory.answers = [TryAgain(503, "busy")] * 3
    waits = []
    for _ in range(3):
        stage.tick()
        row = the_one()
        assert row.state == State.PENDING
        waits.append(row.next_try_at - stage.clock.now())
        stage.clock.move_to(row.next_try_at)
    assert waits == sorted(waits)
    assert waits[0] < waits[-1]
    assert len(stage.tick()) == 1


def test_a_service_that_says_when_is_left_alone_until_then() -> None:
    stage = due()
    stage.memory.answers = [TryAgain(429, "busy", after_s=90)]
    stage.tick()
    assert the_one().next_try_at == stage.clock.now() + timedelta(seconds=90)


def test_a_dead_address_is_dropped_and_somebody_else_is_told_now() -> None:
    stage = due()
    stage.way(stage.cast.helper)
    Delivery.objects.exclude(way__address="owner").delete()
    stage.memory.answers = [Gone(410, "gone")]
    (message,) = stage.tick()
    assert stage.memory.sent[-1][0] == "helper"
    assert message.title.startswith("Take clamps off")
    assert Way.objects.get(address="owner").dead_since == stage.clock.now()


def test_a_refused_message_is_not_sent_again() -> None:
    stage = due()
    stage.memory.answers = [Fault(400, "bad")]
    stage.tick()
    stage.tick("Mon 10:30")
    assert stage.memory.sent == []
    assert the_one().state == State.DEAD


def test_a_channel_that_raises_is_an_outcome_like_any_other() -> None:
    stage = due()

    class Broken:
        kind = "memory"

        def send(self, *_args: object) -> None:
            raise ZeroDivisionError

    dispatcher = stage.dispatcher()
    dispatcher.channels = {"memory": Broken()}  # type: ignore[dict-item]
    dispatcher.dispatch()
    row = the_one()
    assert (row.state, row.error) == (State.PENDING, "ZeroDivisionError")


def test_a_delivery_that_cannot_be_prepared_holds_up_no_other() -> None:
    stage = due()
    stage.glue("G2", ["L-02"], "Mon 09:00")
    Firing().fire_all(stage.clock.now())
    Alert.objects.filter(about=stage.cast.id("G1")).update(kind="nonsense")
    (message,) = stage.tick()
    assert "G2" in message.title
    assert Trouble.objects.get(what="delivery").what == "delivery"
    assert Delivery.objects.get(alert__kind="nonsense").next_try_at > stage.clock.now()


def test_urgent_ones_come_first_and_a_long_queue_lets_others_pass() -> None:
    stage = due()
    at = stage.clock.now()
    helper = stage.way(stage.cast.helper)
    owner = Way.objects.get(address="owner")
    template = Alert.objects.get(gate="clamps_off")
    Delivery.objects.all().delete()

    def queue(way: Way, many: int, urgent: bool = False) -> None:
        for number in range(many):
            alert = Alert.objects.get(id=template.id)
            alert.pk, alert.seq = uuid4(), Alert.objects.count()
            alert.kind = "test"
            alert.save(force_insert=True)
            Delivery.objects.create(
                alert=alert,
                way=way,
                person=way.person,
                urgent=urgent,
                next_try_at=at - timedelta(minutes=5) + timedelta(seconds=number),
            )

    queue(owner, 40)
    queue(helper, 1)
    queue(owner, 1, urgent=True)
    stage.dispatcher().dispatch()
    order = [address for address, _ in stage.memory.sent]
    assert len(order) == 42
    assert order.index("helper") <= 32
    first = Delivery.objects.get(urgent=True)
    assert stage.memory.sent[0][1].delivery == first.id


@pytest.mark.parametrize(
    ("status", "kind"),
    [
        *((code, Accepted) for code in (200, 201, 202, 204)),
        *((code, Gone) for code in (404, 410)),
        *((code, TryAgain) for code in (408, 425, 429, 500, 502, 503)),
        *((code, Fault) for code in (301, 400, 401, 403, 413)),
    ],
)
def test_what_a_status_means(status: int, kind: type) -> None:
    assert isinstance(of_status(status), kind)


def test_next_try_waits_twice_as_long_each_time_up_to_five_minutes() -> None:
    at = when("Mon 09:00")
    waits = [(next_try(n, at, None) - at).total_seconds() for n in range(1, 30)]
    assert waits[:4] == [2, 4, 8, 16]
    assert max(waits) == 300
