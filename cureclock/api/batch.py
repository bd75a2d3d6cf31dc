"""What a phone sends and hears when it tells what happened."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any, NotRequired, TypedDict
from uuid import UUID

from cureclock.api.fields import AsSentField, CountField, ListField
from cureclock.api.problems import Problem
from cureclock.api.shapes import StrictSerializer

MOST = 500  # happenings in one batch
MOST_UNSENT = 1_000_000


@dataclass(frozen=True)
class Batch:
    """What a phone sends: its own time, what happened, and how many taps it still keeps."""

    sent_at: datetime
    happenings: list[Any]
    unsent: int = 0


@dataclass(frozen=True)
class Told:
    """One happening as it is sent; `said` has the shape of its verb."""

    id: UUID
    verb: str
    at: datetime
    said: Any
    number: int | None = None


class BatchSerializer(StrictSerializer):
    """The batch, without a look at what is in it."""

    happenings = ListField(child=AsSentField(), max_length=MOST)
    unsent = CountField(required=False, max_value=MOST_UNSENT)

    class Meta:
        dataclass = Batch


class ToldSerializer(StrictSerializer):
    """One happening, without a look at what is said with it."""

    said = AsSentField()
    number = CountField(required=False, allow_null=True)

    class Meta:
        dataclass = Told


class HappeningAnswer(TypedDict):
    """What became of one happening: applied, known or refused.

    `corrected_by_s` is there where the phone's clock was wrong by more than two minutes.
    """

    id: UUID | str | None
    outcome: str
    corrected_by_s: NotRequired[int]
    problem: NotRequired[Problem]


class Answers(TypedDict):
    """What became of a batch, in its order."""

    now: datetime
    answers: list[HappeningAnswer]
