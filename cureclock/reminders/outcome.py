"""What becomes of a try to send: decided here, written by the dispatcher."""

from dataclasses import dataclass
from datetime import datetime, timedelta

FIRST_WAIT = timedelta(seconds=2)
LONGEST_WAIT = timedelta(minutes=5)
LONGEST_ASKED = timedelta(hours=1)  # a service that asks for more is asked again then; our choice


@dataclass(frozen=True)
class Outcome:
    """How a try ended.

    Attributes:
        status: what the other side answered, as HTTP says it; None where it did not.
        why: in a few words, without any address or key.
    """

    status: int | None = None
    why: str = ""


class Accepted(Outcome):
    """The other side took it. Whether it was shown is another matter."""


@dataclass(frozen=True)
class TryAgain(Outcome):
    """It may or may not have been taken: it is sent again, and replaces the first.

    Attributes:
        after_s: how long the other side asked to be left alone; None where it did not say.
    """

    after_s: float | None = None


class Gone(Outcome):
    """The address no longer exists: the way is dead."""


class Fault(Outcome):
    """Refused for what we sent: sending it again would be refused again."""


def of_status(status: int, after: str | None = None) -> Outcome:
    """What an HTTP answer means for a message (RFC 8030 sections 5 and 7.3)."""
    if 200 <= status < 300:
        return Accepted(status)
    if status in (404, 410):
        return Gone(status, "the address no longer exists")
    if status == 429 or status >= 500 or status in (408, 425):
        return TryAgain(status, "the service is busy or broken", after_s=seconds_of(after))
    return Fault(status, "the service refused what was sent")


def seconds_of(after: str | None) -> float | None:
    """Seconds of a Retry-After header (RFC 9110, 10.2.3); a date counts as not said."""
    try:
        seconds = float(after or "")
    except ValueError:
        return None
    return seconds if 0 <= seconds <= LONGEST_ASKED.total_seconds() else None


def next_try(attempts: int, at: datetime, asked_s: float | None) -> datetime:
    """When to try again: twice as long after each try, no sooner than was asked."""
    twice: int = 2 ** min(max(attempts - 1, 0), 16)
    wait = min(FIRST_WAIT * twice, LONGEST_WAIT)
    return at + max(wait, timedelta(seconds=asked_s or 0))
