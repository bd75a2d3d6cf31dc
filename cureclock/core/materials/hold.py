"""Holds: temporary bonds."""

from dataclasses import dataclass, field

from cureclock.core.materials import vocabulary as words
from cureclock.core.materials.checked import figure_in, words_of
from cureclock.core.materials.figure import Figure
from cureclock.core.materials.model import Family


@dataclass(frozen=True, kw_only=True, eq=False)
class Hold(Family):
    """A temporary bond: it must hold while needed and come off before a named step.

    Args:
        as_glue: its times are those of the glue it is made with.
        pressing, spread_g_m2: how it is pressed and how much goes on.
        fit_for: work it may bear.
        remove_before: steps it has to be off before.
        heat_softens_c: temperature at which it lets go.
        open_time_min: time from putting it on to closing the joint.
    """

    as_glue: bool = False
    pressing: str = field(default="", metadata=words_of(words.PRESSING))
    spread_g_m2: Figure | None = field(default=None, metadata=figure_in("g/m2"))
    fit_for: tuple[str, ...] = field(default=(), metadata=words_of(words.FIT_FOR))
    remove_before: tuple[str, ...] = field(default=(), metadata=words_of(words.REMOVE_BEFORE))
    heat_softens_c: Figure | None = field(default=None, metadata=figure_in("degC"))
    open_time_min: Figure | None = field(default=None, metadata=figure_in("min"))
