"""What is asked before a glue-up or a coat: nothing is recorded by asking."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from cureclock.core.joint.count import whole
from cureclock.core.refusal import Refused, within
from cureclock.waits.wood import THICKNESS_MM

MOST_PIECES = 1000  # as many as a load can be counted for
DENSITY_KG_M3 = (130.0, 1300.0)


def given(name: str, value: float | None, low: float, high: float, unit: str = "") -> None:
    """Refuse a figure outside its range, where there is one."""
    if value is not None:
        within(name, value, low, high, unit)


@dataclass(frozen=True)
class ShapeAsked:
    """How one piece is glued; which figures it needs hangs on its kind.

    Attributes:
        kind: area, face, stripe, cross, ring, stacked, annulus, finger, block or bend.
        lines, area_m2: of an area, how many glue lines of which size.
        second: of a cross lamination, the second stage.
    """

    kind: str
    lines: int = 1
    area_m2: float | None = None
    boards: int | None = None
    strips: int | None = None
    slices: int | None = None
    segments: int | None = None
    rings: int | None = None
    discs: int = 0
    plies: int | None = None
    length_mm: float | None = None
    width_mm: float | None = None
    thickness_mm: float | None = None
    strip_mm: float | None = None
    slice_mm: float | None = None
    kerf_mm: float | None = None
    outside_mm: float | None = None
    inside_mm: float | None = None
    finger_mm: float | None = None
    pitch_mm: float | None = None
    tip_mm: float | None = None
    across_mm: float | None = None
    ply_mm: float | None = None
    radius_mm: float | None = None
    square: bool = False
    end_grain: bool = False
    paper: bool = False
    second: bool = False


@dataclass(frozen=True)
class HandsAsked:
    """How long each act takes, as a dry run showed, and how many hands there are.

    Attributes:
        clamps_each: clamps tightened for each piece; by the sum of the clamps where nobody says.
        one_by_one: each is pressed as it is spread.
        draught: a fan or a draught goes over the glue.
    """

    spread_s: float
    place_s: float = 0.0
    tighten_s: float = 0.0
    assemble_s: float = 0.0
    clamps_each: float | None = None
    spreaders: int = 1
    tighteners: int = 1
    one_by_one: bool = False
    draught: bool = False


@dataclass(frozen=True)
class WoodAsked:
    """What is known of the wood.

    Attributes:
        woods: keys in the library; the densest rules the pressure.
        moistures_pct: of each part that meets in the joint, by the meter, from its core.
        home_pct: moisture where it will live.
        temp_c: its own temperature, from a drilled scrap; `from_place` where it lay until now.
        cut_at: when its faces were cut, planed, or wiped with solvent.
    """

    woods: tuple[str, ...] = ()
    density_kg_m3: float | None = None
    thickness_mm: float | None = None
    moistures_pct: tuple[float, ...] = ()
    home_pct: float | None = None
    temp_c: float | None = None
    from_place: UUID | None = None
    cut_at: datetime | None = None

    def __post_init__(self) -> None:
        given("density", self.density_kg_m3, *DENSITY_KG_M3, "kg/m3")
        given("thickness", self.thickness_mm, *THICKNESS_MM, "mm")
        given("moisture where it will live", self.home_pct, 0, 30, "%")
        given("temperature of the wood", self.temp_c, -40, 50, "degC")
        within("moisture", self.moistures_pct, 0, 150, "%")


@dataclass(frozen=True)
class PressAsked:
    """What it is pressed with.

    Attributes:
        thing: clamps, bands, a column or a form that the ledger counts; chosen where nobody says.
        per_stack: pieces on each other, with film between, that share the same clamps.
        outer_mm: outer board from the clamp to the first glue line; `caul_mm` the caul on it.
        pressure_mpa: as the label asks; by the wood and the kind of glue where nobody says.
    """

    thing: UUID | None = None
    per_stack: int = 1
    outer_mm: float | None = None
    caul_mm: float = 0.0
    pressure_mpa: float | None = None

    def __post_init__(self) -> None:
        whole("pieces in a stack", self.per_stack, 1, 100)
        given("outer board", self.outer_mm, 1, 3000, "mm")
        within("caul", self.caul_mm, 0, 1000, "mm")
        given("pressure", self.pressure_mpa, 0, 5, "MPa")


@dataclass(frozen=True)
class GlueUpAsked:
    """A glue-up before it begins: what, with what, where, by whom, when.

    Attributes:
        pieces: which; or `count` of them.
        at: when spreading begins; now where nobody says.
        spread_g_m2, loss: as the label and your own bottle say; usual figures where nobody says.
        mix_g: the mass mixed, where it is not worked out from the area.
    """

    label: UUID
    place: UUID
    pieces: tuple[UUID, ...] = ()
    count: int | None = None
    at: datetime | None = None
    stressed: bool = False
    shape: ShapeAsked | None = None
    hands: HandsAsked | None = None
    wood: WoodAsked = WoodAsked()
    press: PressAsked = PressAsked()
    spread_g_m2: float | None = None
    loss: float | None = None
    mix_g: float | None = None

    def __post_init__(self) -> None:
        if self.count is not None:
            whole("pieces", self.count, 1, MOST_PIECES)
        given("spread", self.spread_g_m2, 10, 2000, "g/m2")
        given("part that is lost", self.loss, 0, 2)
        given("mixed mass", self.mix_g, 1, 100_000, "g")

    @property
    def many(self) -> int:
        """How many pieces; one where nobody says."""
        return len(self.pieces) or self.count or 1


@dataclass(frozen=True)
class AreaAsked:
    """Parts of one size to be coated: their area each, how many, with how many coats."""

    area_m2: float
    pieces: int = 1
    coats: int = 1

    def __post_init__(self) -> None:
        within("area", self.area_m2, 1e-6, 1000, "m2")
        whole("pieces", self.pieces, 1, MOST_PIECES)
        whole("coats", self.coats, 1, 50)


@dataclass(frozen=True)
class CoatAsked:
    """A coat before it begins.

    Attributes:
        zones: which; or `count` of pieces.
        minutes: hands-on minutes for the whole coat.
        due: when the pieces have to be wrapped or on their way; `coats` how many are wanted.
        sanding_at: when somebody means to sand in the same air.
        thing: hooks or points it hangs or lies on; chosen where nobody says.
        coverage_m2_l, loss: as the label and your own can say; usual figures where nobody says.
    """

    label: UUID
    place: UUID
    zones: tuple[UUID, ...] = ()
    count: int | None = None
    at: datetime | None = None
    thickness_mm: float | None = None
    wood_c: float | None = None
    areas: tuple[AreaAsked, ...] = ()
    coverage_m2_l: float | None = None
    loss: float | None = None
    minutes: float | None = None
    coats: int = 1
    due: datetime | None = None
    sanding_at: datetime | None = None
    thing: UUID | None = None

    def __post_init__(self) -> None:
        if self.count is not None:
            whole("pieces", self.count, 1, MOST_PIECES)
        given("thickness", self.thickness_mm, *THICKNESS_MM, "mm")
        given("temperature of the wood", self.wood_c, -40, 50, "degC")
        given("coverage", self.coverage_m2_l, 0.1, 1000, "m2/L")
        given("part that is lost", self.loss, 0, 2)
        given("hands-on minutes", self.minutes, 0, 24 * 60, "min")
        whole("coats", self.coats, 1, 50)
        if self.due is not None and self.minutes is None:
            raise Refused("minutes", "nothing", "the hands-on minutes of a coat, for a date")
