"""The kinds of alert: those the core knows, the test that asks a phone whether it rings, and dates."""

from cureclock.core.reminding.kinds import CLOSES, OPENS, Kind
from cureclock.core.reminding.quiet import breaks_quiet
from cureclock.waits.passing import Figure, Passed

TEST = "test"
DATE = "date"  # of a batch that was promised


def rings_at_any_hour(kind: str, gate: str = "") -> bool:
    """Whether an alert breaks quiet hours and holds."""
    return kind == TEST or (kind != DATE and breaks_quiet(Kind(kind), gate))


def announced_as(passed: Passed) -> Kind | None:
    """How a gate that passed a figure is announced; None where nobody is told of it.

    That a gate is about to close is not told by its threshold but by the last useful moment,
    which a look finds.
    """
    if passed.figure == Figure.SURE:
        return Kind.ASK_LATHE if passed.kind == "spin" else Kind.OPENS
    if passed.figure == Figure.OPENS and passed.kind in OPENS:
        return Kind.OPENS
    if passed.figure == Figure.CLOSES and passed.kind in CLOSES:
        return Kind.CLOSED
    return None
