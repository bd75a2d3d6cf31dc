"""Any order of telling, reading, striking out, answering, crashing: what is true is told, once."""

from collections import Counter
from contextlib import suppress
from datetime import timedelta
from typing import Any
from uuid import UUID, uuid4

import pytest
from django.db import transaction
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    precondition,
    rule,
    run_state_machine_as_test,
)

from cureclock.reminders import again, points
from cureclock.reminders.models import Alert, Delivery, Trouble
from cureclock.shop.refusals import Refusal
from cureclock.waits.models import Gate
from tests.cast import PVA_G, when
from tests.reminders.stage import Stage

pytestmark = [pytest.mark.django_db, pytest.mark.slow]

GATES = ("clamps_off", "light")
SETTLE = timedelta(minutes=1)
IN_TURN = [point for point in points.POINTS if not point.startswith("verb.")]
IN_VERB = [point for point in points.POINTS if point.startswith("verb.")]


class Crash(BaseException):
    """The process is gone."""


class Shop(RuleBasedStateMachine):
    """A shop that is always open, with one person and one phone.

    The oracle is the list of what the phone was sent; the rules say what had to be in it.
    """

    @initialize()
    def open(self) -> None:
        self.armed: str | None = None
        self.crashes = 0
        self.unlisten = points.listen(self.crash_there)
        self.savepoint = transaction.atomic()
        self.savepoint.__enter__()
        self.stage = Stage.open("Mon 08:00")
        cast = self.stage.cast
        cast.workshop.hours = {str(day): ["00:00", "23:59"] for day in range(7)}
        cast.workshop.save()
        del cast.named["PVA-G label"]
        cast.material(values={**PVA_G, "total_assembly": None, "min_c": 0})
        cast.read("Mon 07:00", 20.0)
        self.told: list[tuple[str, Any, UUID, dict[str, Any]]] = []
        self.glued = 0

    def teardown(self) -> None:
        if not hasattr(self, "savepoint"):
            return
        try:
            self.armed = None
            self.settle()
            self.check()
        finally:
            self.unlisten()
            transaction.set_rollback(True)
            self.savepoint.__exit__(None, None, None)

    def crash_there(self, point: str) -> None:
        if point == self.armed:
            self.armed = None
            self.crashes += 1
            raise Crash(point)

    def tell(self, verb: str, at: Any, ident: UUID, **said: Any) -> None:
        with suppress(Refusal):
            self.stage.cast.do(verb, at, arrived=self.now, ident=ident, **said)
            self.told.append((verb, at, ident, said))

    @property
    def now(self) -> Any:
        return self.stage.clock.now()

    @rule(ago=st.integers(0, 90))
    def start(self, ago: int) -> None:
        self.glued += 1
        cast, tag = self.stage.cast, f"P-{self.glued}"
        at = max(self.now - timedelta(minutes=ago), when("Mon 07:10"))
        cast.piece(tag, at=at)
        cast.spread(f"G{self.glued}", [tag], at)
        self.tell("pressure_on", at, uuid4(), glue_up=cast.id(f"G{self.glued}"))

    @rule(temp_c=st.integers(5, 30), ago=st.sampled_from([0, 0, 0, 5, 40, 200]))
    def read(self, temp_c: int, ago: int) -> None:
        at = max(self.now - timedelta(minutes=ago), when("Mon 07:01"))
        said = {"place": self.stage.cast.id("Shed"), "temp_c": float(temp_c)}
        self.tell("reading_taken", at, uuid4(), **said)

    @precondition(lambda self: self.told)
    @rule(number=st.integers(0, 99))
    def repeat(self, number: int) -> None:
        verb, at, ident, said = self.told[number % len(self.told)]
        done = self.stage.cast.do(verb, at, arrived=self.now, ident=ident, **said)
        assert not done.new

    @precondition(lambda self: self.told)
    @rule(number=st.integers(0, 99))
    def strike(self, number: int) -> None:
        target = self.told[number % len(self.told)][2]
        self.tell("struck_out", self.now, uuid4(), target=target, reason="wrong")

    @precondition(lambda self: self.glued)
    @rule(number=st.integers(0, 99))
    def act(self, number: int) -> None:
        name = f"G{1 + number % self.glued}"
        self.tell("clamps_off", self.now, uuid4(), glue_up=self.stage.cast.id(name))

    @rule(says=st.sampled_from(["mine", "later", "not_me"]))
    def answer(self, says: str) -> None:
        newest = Alert.objects.filter(told_at__isnull=False, gate__in=GATES).order_by("-told_at")
        alert, person = newest.first(), self.stage.cast.owner.person
        if alert is not None and person is not None:
            again.answer(self.stage.cast.workshop, alert.id, person, says, self.now)

    @rule(minutes=st.integers(1, 25))
    def tick(self, minutes: int) -> None:
        self.stage.clock.sleep(minutes * 60)
        self.turn()

    @rule(point=st.sampled_from(IN_TURN), minutes=st.integers(1, 60))
    def crash(self, point: str, minutes: int) -> None:
        """The dispatcher dies at a named point, if it gets there; another is started."""
        self.armed = point
        self.tick(minutes)
        self.armed = None
        self.stage.turn = self.stage.started()

    @precondition(lambda self: self.told)
    @rule(point=st.sampled_from(IN_VERB), temp_c=st.integers(5, 30))
    def crash_in_a_verb(self, point: str, temp_c: int) -> None:
        """The request dies half way; the phone sends it again."""
        said = {"place": self.stage.cast.id("Shed"), "temp_c": float(temp_c)}
        ident = uuid4()
        self.armed = point
        with suppress(Crash):
            self.stage.cast.do("reading_taken", self.now, ident=ident, **said)
        self.armed = None
        self.tell("reading_taken", self.now, ident, **said)

    def turn(self) -> None:
        """One turn; whatever it told has to be true."""
        before = len(self.stage.memory.sent)
        self.stage.turn.last_at = self.stage.turn.last_at and self.now
        try:
            self.stage.turn.tick()
        except Crash:
            self.stage.turn = self.stage.started()
            Delivery.objects.filter(state=Delivery.State.SENDING).update(
                lease_until=self.now - timedelta(seconds=1)
            )
        for _, message in self.stage.memory.sent[before:]:
            alert = Alert.objects.get(id=message.alert)
            if alert.kind == "opens":
                gates = Gate.objects.filter(wait__in=alert.waits, kind=alert.gate)
                assert {gate.state for gate in gates} == {Gate.State.REACHED}, message.title

    def settle(self) -> None:
        for _ in range(4):
            self.stage.clock.sleep(SETTLE.total_seconds())
            self.turn()

    def check(self) -> None:
        """Nothing lost, nothing due left over, twice at most one a crash."""
        assert not Trouble.objects.exists(), list(Trouble.objects.values_list("what", "why"))
        left = Delivery.objects.filter(next_try_at__lte=self.now)
        assert not left.filter(state__in=(Delivery.State.PENDING, Delivery.State.SENDING)).exists()
        sent = Counter(message.delivery for _, message in self.stage.memory.sent)
        assert sum(count - 1 for count in sent.values()) <= self.crashes
        told: set[tuple[str, str]] = set()
        for alert in Alert.objects.filter(kind="opens", told_at__isnull=False):
            told |= {(wait, alert.gate) for wait in alert.waits}
        reached = Gate.objects.filter(
            kind__in=GATES, state=Gate.State.REACHED, wait__open=True, wait__suspicions=None
        )
        assert {(str(gate.wait_id), gate.kind) for gate in reached} <= told


def run(examples: int, steps: int) -> None:
    run_state_machine_as_test(
        Shop,
        settings=settings(
            max_examples=examples,
            stateful_step_count=steps,
            deadline=None,
            suppress_health_check=list(HealthCheck),
        ),
    )


def test_what_is_true_is_told_once_in_any_order_and_through_crashes() -> None:
    run(examples=15, steps=25)


@pytest.mark.long
def test_the_same_for_very_many_orders() -> None:
    run(examples=300, steps=50)
