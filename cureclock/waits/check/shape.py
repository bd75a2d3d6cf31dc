"""The glued shape that was asked about, as the sums need it."""

from collections.abc import Callable
from dataclasses import dataclass

from cureclock.core.coat.area import ring_area_m2
from cureclock.core.joint.bend import BentLamination
from cureclock.core.joint.block import EndBlock
from cureclock.core.joint.count import whole
from cureclock.core.joint.finger import FingerJoint
from cureclock.core.joint.geometry import Geometry
from cureclock.core.joint.lamination import CrossLamination, FaceLamination, StripeLamination
from cureclock.core.joint.ring import SegmentRing
from cureclock.core.joint.stack import StackedRings
from cureclock.core.refusal import Refused, within
from cureclock.waits.check.asked import ShapeAsked

MM = 1e-3


@dataclass(frozen=True)
class Shape:
    """What the sums need of one piece.

    Attributes:
        lines: glue lines.
        line_area_m2: the largest of them: what the press has to load.
        area_m2: all of them together, one face of each: what has to be spread.
        thirsty: times the usual spread that its faces need.
        length_m: along which clamps stand; None where they press it whole.
        outer_m: outer board from the clamp to the first glue line; None where nobody said.
        wood_m: wood across all its glue lines together; None where it is not made of layers,
            or nobody said how thick they are.
        ring: the ring of segments, for the saw.
        held_by: the kind of thing that usually presses it.
    """

    lines: int
    line_area_m2: float
    area_m2: float
    thirsty: float = 1.0
    length_m: float | None = None
    outer_m: float | None = None
    wood_m: float | None = None
    ring: SegmentRing | None = None
    bend: BentLamination | None = None
    held_by: str = "clamp"


def shape_of(asked: ShapeAsked) -> Shape:
    """The shape, or a refusal that names the figure that is wrong or missing."""
    if asked.kind not in SHAPES:
        raise Refused("shape.kind", asked.kind, f"one of {', '.join(sorted(SHAPES))}")
    return SHAPES[asked.kind](_Figures(asked))


class _Figures:
    """The figures of a shape; one that is missing is refused by its name."""

    def __init__(self, asked: ShapeAsked) -> None:
        self.asked = asked

    def __call__(self, name: str) -> float:
        value = getattr(self.asked, name)
        if value is None:
            raise Refused(f"shape.{name}", "nothing", f"given for a shape of {self.asked.kind}")
        return float(value)

    def metres(self, name: str) -> float:
        return self(name) * MM

    def number(self, name: str) -> int:
        value: int = getattr(self.asked, name)
        self(name)
        return value


def _plain(geometry: Geometry, **more: object) -> Shape:
    return Shape(
        lines=geometry.glue_lines,
        line_area_m2=geometry.line_area_m2,
        area_m2=geometry.glue_area_m2,
        thirsty=geometry.spread_factor,
        **more,  # type: ignore[arg-type]
    )


def _area(of: _Figures) -> Shape:
    area = float(within("shape.area_m2", of("area_m2"), 1e-6, 100, "m2"))
    lines = int(whole("shape.lines", of.number("lines"), 1, 1000))
    return Shape(lines, area, lines * area)


def _annulus(of: _Figures) -> Shape:
    area = float(ring_area_m2(of.metres("outside_mm"), of.metres("inside_mm")))
    lines = int(whole("shape.lines", of.number("lines"), 1, 1000))
    return Shape(lines, area, lines * area)


def _face(of: _Figures) -> Shape:
    length = of.metres("length_mm")
    found = FaceLamination(of.number("boards"), length, of.metres("width_mm"))
    outer = None if of.asked.thickness_mm is None else of.metres("thickness_mm")
    wood = None if outer is None else outer * found.boards
    return _plain(found, length_m=length, outer_m=outer, wood_m=wood)


def _panel(of: _Figures) -> StripeLamination:
    sizes = (of.metres("length_mm"), of.metres("thickness_mm"), of.metres("strip_mm"))
    return StripeLamination(of.number("strips"), *sizes)


def _stripe(of: _Figures) -> Shape:
    panel = _panel(of)
    strip_m = of.metres("strip_mm")
    return _plain(panel, length_m=of.metres("length_mm"), outer_m=strip_m, wood_m=panel.width_m)


def _cross(of: _Figures) -> Shape:
    """Two glue-ups: the strips, or the slices sawn across them."""
    panel, slice_m = _panel(of), of.metres("slice_mm")
    both = CrossLamination(panel, of.number("slices"), slice_m, of.metres("kerf_mm"))
    if not of.asked.second:
        return _stripe(of)
    lines = both.slices - 1
    area = both.second_area_m2
    return Shape(lines, area / lines, area, length_m=panel.width_m, outer_m=slice_m)


def _segments(of: _Figures) -> SegmentRing:
    across = of.metres("outside_mm") / 2, of.metres("inside_mm") / 2
    return SegmentRing(of.number("segments"), *across, of.metres("thickness_mm"))


def _ring(of: _Figures) -> Shape:
    ring = _segments(of)
    return _plain(ring, ring=ring, held_by="band")


def _stacked(of: _Figures) -> Shape:
    ring = _segments(of)
    return _plain(
        StackedRings(ring, rings=of.number("rings"), discs=of.asked.discs), held_by="column"
    )


def _finger(of: _Figures) -> Shape:
    names = ("width_mm", "thickness_mm", "finger_mm", "pitch_mm", "tip_mm")
    return _plain(FingerJoint(*(of.metres(name) for name in names)))


def _block(of: _Figures) -> Shape:
    said = of.asked
    across = of.metres("across_mm")
    return _plain(EndBlock(across, said.square, said.end_grain, said.paper))


def _bend(of: _Figures) -> Shape:
    names = ("ply_mm", "length_mm", "width_mm", "radius_mm")
    bend = BentLamination(of.number("plies"), *(of.metres(name) for name in names))
    return _plain(bend, bend=bend, wood_m=bend.plies * bend.ply_m, held_by="form")


SHAPES: dict[str, Callable[[_Figures], Shape]] = {
    "area": _area,
    "annulus": _annulus,
    "face": _face,
    "stripe": _stripe,
    "cross": _cross,
    "ring": _ring,
    "stacked": _stacked,
    "finger": _finger,
    "block": _block,
    "bend": _bend,
}
