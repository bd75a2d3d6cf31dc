"""Kinds of clamps."""

from dataclasses import dataclass, field

from cureclock.core.materials.checked import Checked, figure_in, span_in
from cureclock.core.materials.figure import Figure, Span


@dataclass(frozen=True, kw_only=True, eq=False)
class ClampKind(Checked):
    """A kind of clamp.

    Args:
        key, name: its key and plain name.
        measured_n: mean force that was measured on some clamps of the kind.
        operators_pct: how far people differ from that mean.
        trade_n: what the trade says of the kind; your own clamp may differ.
        note: what has to be said beside it.
    """

    key: str
    name: str
    measured_n: Figure | None = field(default=None, metadata=figure_in("N"))
    operators_pct: Span | None = field(default=None, metadata=span_in("% of force"))
    trade_n: Span | None = field(default=None, metadata=span_in("N"))
    note: str = ""
