"""Woods."""

from dataclasses import dataclass, field

from cureclock.core.materials import vocabulary as words
from cureclock.core.materials.checked import Checked, figure_in, words_of
from cureclock.core.materials.figure import Figure


@dataclass(frozen=True, kw_only=True, eq=False)
class Wood(Checked):
    """A wood.

    Args:
        key, name, botanical: its key, trade name and botanical name.
        tropical: grown in the tropics.
        density_kg_m3: mass and volume at 12 % moisture.
        specific_gravity_basic: ovendry mass over green volume, against water.
        movement_radial, movement_tangential: change of width for 1 % of moisture, 6 to 14 %.
        shrinkage_radial_pct, shrinkage_tangential_pct, shrinkage_volume_pct: green to ovendry.
        bonds, bonds_source: how readily it glues, and where that comes from.
        oily, tannin, open_pored, allergenic_dust: what to look out for.
        flags_source: where those four come from.
    """

    key: str
    name: str
    botanical: str
    tropical: bool = False
    density_kg_m3: Figure | None = field(default=None, metadata=figure_in("kg/m3"))
    specific_gravity_basic: Figure | None = field(
        default=None, metadata=figure_in("specific gravity")
    )
    movement_radial: Figure | None = field(default=None, metadata=figure_in("per % MC"))
    movement_tangential: Figure | None = field(default=None, metadata=figure_in("per % MC"))
    shrinkage_radial_pct: Figure | None = field(default=None, metadata=figure_in("%"))
    shrinkage_tangential_pct: Figure | None = field(default=None, metadata=figure_in("%"))
    shrinkage_volume_pct: Figure | None = field(default=None, metadata=figure_in("%"))
    bonds: str = field(default="", metadata=words_of(words.BONDS))
    bonds_source: str = ""
    oily: bool = False
    tannin: bool = False
    open_pored: bool = False
    allergenic_dust: bool = False
    flags_source: str = ""
    note: str = ""
