"""The test that asks a phone whether it rings."""

from dataclasses import dataclass

from cureclock.core.reminding.compose import alert as composed
from cureclock.core.reminding.message import Message
from cureclock.core.wording.times import Reader
from cureclock.reminders.models import Alert
from cureclock.reminders.speech.spoken import Facts, Spoken


@dataclass(frozen=True)
class RingTest:
    """A test for one way."""

    way: str


def ring_test(alert: Alert, facts: Facts) -> Spoken:  # noqa: ARG001  every speaker takes the facts
    """A test is always true."""
    return Spoken(RingTest(str(alert.about)), link="/setup")


@composed.register
def _said(said: RingTest, reader: Reader) -> Message:
    return Message(
        title=reader.say("ring_test.title"),
        body=reader.say("ring_test.body"),
        tag=f"{said.way} test",
        urgent=True,
    )
