"""Glues."""

from dataclasses import dataclass, field

from cureclock.core.materials import vocabulary as words
from cureclock.core.materials.checked import figure_in, span_in, words_of
from cureclock.core.materials.figure import Figure, Span
from cureclock.core.materials.model import Family


@dataclass(frozen=True, kw_only=True, eq=False)
class Adhesive(Family):
    """A glue.

    Args:
        wood_moisture_pct: moisture of the wood it may be used on.
        pressing, pressure_mpa: how it is pressed, and how hard.
        spread_g_m2, both_faces: glue per face spread, and whether both faces are.
        hardener_g_m2: hardener spread apart, where it goes on the other face.
        water_fraction: part of the spread glue that is water.
        gap_mm: thickness of glue line it likes or fills.
        creeps: gives slowly under steady load.
        stains_with_iron: goes black with steel on wood that holds tannin.
        finish_takes_over_squeeze_out: whether a finish covers what squeezed out.
        heat_softens_c: temperature at which it softens.
        fresh_face_h, fresh_face_oily_h: age of a cut face at which it should be glued.
        dry_before_joining_min: drying before the faces are joined.
        strength_classes: names of the classes of EN 204 it is sold in.
    """

    wood_moisture_pct: Span | None = field(default=None, metadata=span_in("%"))
    pressing: str = field(default="", metadata=words_of(words.PRESSING))
    pressure_mpa: Span | None = field(default=None, metadata=span_in("MPa"))
    spread_g_m2: Figure | None = field(default=None, metadata=figure_in("g/m2"))
    hardener_g_m2: Figure | None = field(default=None, metadata=figure_in("g/m2"))
    both_faces: bool = False
    water_fraction: Figure | None = field(default=None, metadata=figure_in("fraction"))
    gap_mm: Span | None = field(default=None, metadata=span_in("mm"))
    creeps: bool = False
    stains_with_iron: bool = False
    finish_takes_over_squeeze_out: bool | None = None
    heat_softens_c: Figure | None = field(default=None, metadata=figure_in("degC"))
    fresh_face_h: Figure | None = field(default=None, metadata=figure_in("h"))
    fresh_face_oily_h: Figure | None = field(default=None, metadata=figure_in("h"))
    dry_before_joining_min: Figure | None = field(default=None, metadata=figure_in("min"))
    strength_classes: tuple[str, ...] = field(default=(), metadata=words_of(words.STRENGTH_CLASSES))
