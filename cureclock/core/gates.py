"""Gates: what a wait is waiting for, and the figures that say when it opens or closes."""

from dataclasses import dataclass
from enum import StrEnum

from cureclock.core.confidence import CHECK_FROM, LEAST_MARGIN
from cureclock.core.refusal import within
from cureclock.core.response import Response
from cureclock.core.stance import Stance
from cureclock.core.units import DAY_US, whole_us


class Since(StrEnum):
    """The happening a gate counts from."""

    MIXED = "mixed"
    SPREAD = "spread"
    PRESSURE = "pressure"
    BEGAN = "began"
    ENDED = "ended"
    HELD = "held"


@dataclass(frozen=True)
class GateKind:
    """One kind of gate.

    Attributes:
        key: its name in facts, estimates and messages.
        opens: True for a lower limit, False for an upper one.
        hurts: somebody can be hurt by a wrong yes (spin, service load).
        since: the happening it counts from.
        silent: worked out but never announced (keep-warm).
    """

    key: str
    opens: bool = True
    hurts: bool = False
    since: Since = Since.PRESSURE
    silent: bool = False


JOINT_GATES = (
    GateKind("pot_life", opens=False, since=Since.MIXED),
    GateKind("open_time", opens=False, since=Since.SPREAD),
    GateKind("total_assembly", opens=False, since=Since.SPREAD),
    GateKind("keep_warm", silent=True),
    GateKind("scrape_opens"),
    GateKind("scrape_closes", opens=False),
    GateKind("clamps_off"),
    GateKind("clamps_off_stressed"),
    GateKind("light"),
    GateKind("heavy"),
    GateKind("sand_glue_line"),
    GateKind("spin", hurts=True),
    GateKind("service", hurts=True),
    GateKind("wet_use", hurts=True),
    GateKind("final_surfacing"),
)
COAT_GATES = (
    GateKind("pot_life", opens=False, since=Since.MIXED),
    GateKind("wipe_off", opens=False, since=Since.BEGAN),
    GateKind("keep_warm", since=Since.ENDED, silent=True),
    GateKind("rewipe", since=Since.ENDED),
    GateKind("drip_check", since=Since.ENDED),
    GateKind("dust_free", since=Since.ENDED),
    GateKind("touch", since=Since.ENDED),
    GateKind("recoat_opens", since=Since.ENDED),
    GateKind("handle", since=Since.ENDED),
    GateKind("sand", since=Since.ENDED),
    GateKind("tape_off", opens=False, since=Since.ENDED),
    GateKind("recoat_closes", opens=False, since=Since.ENDED),
    GateKind("wrap", since=Since.ENDED),
    GateKind("rub_out", since=Since.ENDED),
    GateKind("full_cure", since=Since.ENDED),
)
HOLD_GATES = (
    GateKind("holds", since=Since.HELD),
    GateKind("remove_by", opens=False, since=Since.HELD),
)


class Name(StrEnum):
    """The figures of a gate (their one definition is in the explanation of figures)."""

    BARE = "bare"
    CHECK_FROM = "check_from"
    NOT_BEFORE = "not_before"
    SURE = "sure"
    NOT_AFTER = "not_after"
    WARN = "warn"


@dataclass(frozen=True)
class Figure:
    """One figure of a gate: so much age on the clock of one stance."""

    name: Name
    stance: Stance
    need_us: int


@dataclass(frozen=True)
class Gate:
    """A gate with what it needs, for one material.

    Args:
        kind: what kind of gate.
        response: how the material feels the air for this gate.
        need_us: label time to the gate [label us], 0 to 400 days.
        margin: m of the sure and warning figures, 0.08 to 1.
        doubtful_need_us: need that counts for the sure figure where nobody read the label
            [label us]; never below need_us.

    Raises:
        Refused: naming the field.

    Valid for:
        One gate of one wait.
    Source:
        The label; margins as `confidence` and `learning` have them.

    Example:
        >>> from cureclock.core.response import Kind
        >>> spin = GateKind("spin", hurts=True)
        >>> one = Gate(spin, Response(Kind.WALL), 10, 0.2, 10)
        >>> [figure.need_us for figure in one.figures()]
        [10, 10, 12]
    """

    kind: GateKind
    response: Response
    need_us: int
    margin: float
    doubtful_need_us: int

    def __post_init__(self) -> None:
        need = int(whole_us("need of the gate", self.need_us)) / DAY_US
        doubtful = int(whole_us("doubtful need", self.doubtful_need_us)) / DAY_US
        within("need of the gate", need, 0, 400, "days")
        within("margin", self.margin, LEAST_MARGIN, 1)
        within("doubtful need", doubtful, need, 800, "days")

    def figures(self) -> tuple[Figure, ...]:
        """The figures of this gate, the bare one first.

        bare: need on the likely clock. check from: 0.85 of it, not where it can hurt.
        not before: need on the slow clock, the strict one where it can hurt. sure: need and
        margin on the doubting clock. not after: need on the quick clock; warn: that less the
        margin.
        """
        bare = Figure(Name.BARE, Stance.LIKELY, self.need_us)
        if not self.kind.opens:
            warn = round(self.need_us * (1 - self.margin))
            return (
                bare,
                Figure(Name.NOT_AFTER, Stance.QUICK, self.need_us),
                Figure(Name.WARN, Stance.QUICK, warn),
            )
        surely = round(self.doubtful_need_us * (1 + self.margin))
        if self.kind.hurts:
            return (
                bare,
                Figure(Name.NOT_BEFORE, Stance.STRICT, self.need_us),
                Figure(Name.SURE, Stance.STRICT_SURE, surely),
            )
        acts = Stance.STRICT if self.kind.key == "keep_warm" else Stance.SLOW
        return (
            bare,
            Figure(Name.CHECK_FROM, Stance.LIKELY, round(self.need_us * CHECK_FROM)),
            Figure(Name.NOT_BEFORE, acts, self.need_us),
            Figure(Name.SURE, Stance.SLOW_SURE, surely),
        )
