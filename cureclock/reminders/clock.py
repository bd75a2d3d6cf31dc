"""The time as the dispatcher is handed it, and a clock that only moves when told."""

from datetime import datetime, timedelta
from typing import Protocol


class Clock(Protocol):
    """What the dispatcher needs of time; `runtime` has the real one."""

    def now(self) -> datetime:
        """The time of day, which somebody may set."""

    def monotonic(self) -> float:
        """Seconds that only ever grow."""

    def sleep(self, seconds: float) -> None:
        """Let time pass."""


class FakeClock:
    """A clock that moves when told, and by what is slept."""

    def __init__(self, at: datetime) -> None:
        self.at = at
        self.passed_s = 0.0

    def now(self) -> datetime:
        """The time of day."""
        return self.at

    def monotonic(self) -> float:
        """Seconds moved so far."""
        return self.passed_s

    def sleep(self, seconds: float) -> None:
        """Move on."""
        self.at += timedelta(seconds=seconds)
        self.passed_s += seconds

    def move_to(self, at: datetime) -> None:
        """Let the time between pass."""
        self.sleep((at - self.at).total_seconds())

    def jump_to(self, at: datetime) -> None:
        """Set the time of day; no time passes."""
        self.at = at
