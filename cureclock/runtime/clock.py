"""The machine's clocks, as the dispatcher is handed them."""

import time
from datetime import UTC, datetime

# Counts through a closed lid, where the system has such a clock: waking up is not a jump then.
STEADY = getattr(time, "CLOCK_BOOTTIME", time.CLOCK_MONOTONIC)


class SystemClock:
    """The real time."""

    def now(self) -> datetime:
        """The time of day, as this machine believes it."""
        return datetime.now(UTC)

    def monotonic(self) -> float:
        """Seconds since the machine was started."""
        return time.clock_gettime(STEADY)

    def sleep(self, seconds: float) -> None:
        """Wait."""
        time.sleep(seconds)
