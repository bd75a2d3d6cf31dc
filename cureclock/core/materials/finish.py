"""Finishes, stains and fillers."""

from dataclasses import dataclass, field

from cureclock.core.materials.checked import figure_in
from cureclock.core.materials.figure import Figure
from cureclock.core.materials.model import Family
from cureclock.core.refusal import Refused


@dataclass(frozen=True, kw_only=True, eq=False)
class Finish(Family):
    """A finish, a stain or a filler.

    Args:
        max_rh_pct: dampest air it may be used in.
        coverage_m2_l: area that one litre covers, once.
        coats: how many are usual.
        rags_self_heat: rags, pads and dust of it can catch fire by themselves.
    """

    max_rh_pct: Figure | None = field(default=None, metadata=figure_in("%"))
    coverage_m2_l: Figure | None = field(default=None, metadata=figure_in("m2/L"))
    coats: Figure | None = field(default=None, metadata=figure_in("coats"))
    rags_self_heat: bool = False

    def __post_init__(self) -> None:
        super().__post_init__()
        if self.rags_self_heat and "rags" not in self.cautions:
            raise Refused(f"{self.key}, cautions", self.cautions, "with rags, for rags self-heat")
