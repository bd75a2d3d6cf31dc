"""Whether the machine's clock can be believed; while it cannot, nothing is fired."""

from dataclasses import dataclass, field
from datetime import datetime, timedelta

JUMP = timedelta(seconds=60)  # more than this between two looks is a jump
SETTLE_S = 30.0  # a new time is believed once it has run on for so long; our choice
BACK = timedelta(hours=2)  # set back by no more than this, it may be a correction; our choice
AHEAD = timedelta(seconds=5)  # another dispatcher's clock may be ahead by so much
LOOK_AGAIN_S = 5.0

JUMPED = "jumped"
BEHIND = "behind"


@dataclass
class Steady:
    """Compares the time of day with the clock that only grows, from look to look.

    A time that jumps is not believed until it has run on evenly for half a minute: it may jump
    back. A time before the newest sign of life is that of a board without a battery, and is not
    believed at all, unless this very process saw it set back by a little.
    """

    wall: datetime | None = None
    passed_s: float = 0.0
    jumped_s: float | None = None  # when it last jumped, by the clock that only grows
    set_back: timedelta = field(default_factory=timedelta)

    def doubt(self, wall: datetime, passed_s: float, newest: datetime | None) -> str:
        """Why nothing may be fired now; empty where the time can be believed.

        Args:
            wall: the time of day.
            passed_s: the clock that only grows [s].
            newest: the newest sign of life of any dispatcher.
        """
        self._note(wall, passed_s)
        if self.jumped_s is not None and passed_s - self.jumped_s < SETTLE_S:
            return JUMPED
        self.jumped_s = None
        allowed = AHEAD + (self.set_back if self.set_back <= BACK else timedelta())
        if newest is not None and wall < newest - allowed:
            return BEHIND
        return ""

    def _note(self, wall: datetime, passed_s: float) -> None:
        if self.wall is not None:
            expected = self.wall + timedelta(seconds=passed_s - self.passed_s)
            if abs(wall - expected) > JUMP:
                self.jumped_s = passed_s
                self.set_back = max(self.set_back + (expected - wall), timedelta())
        self.wall, self.passed_s = wall, passed_s
