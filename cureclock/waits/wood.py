"""The wood of a wait: how far it lags the air, where it was before, and which clocks that asks for.

Wood that was carried in has its own temperature at first: for four time constants it runs on a
clock of its own, shared by all that came the same way. From the first reading after that on it
stands on the place's clock of its lag, like wood that always lay there.
"""

import json
from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import cache
from uuid import UUID, uuid5

from cureclock.core.felt import LONGEST_LAG_US, REACH
from cureclock.core.materials.library import woods
from cureclock.core.stance import Stance
from cureclock.core.units import MINUTE_US, SECOND_US, hours_us, instant_us
from cureclock.core.wood.lag import Block, lag_bin
from cureclock.shop.lineage import below, closure
from cureclock.shop.models import Joint, Piece, Place
from cureclock.waits.models import Clock, Leg, Wait

OWN_PARTS = 4  # time constants after which wood carried in is no different; our choice
WAYS = UUID("5b0d4a52-4c7c-4d13-9a35-0a51f0f5b1d6")  # names ways; any constant would do
MM = 1000
THICKNESS_MM = (0.5, 400.0)  # what the lag of wood is worked out for
Way = tuple[tuple[str, int], ...]  # where wood was before: place, and when it left [us]
Stood = tuple[Place, int, int | None]  # where, from when to when [us]


@dataclass(frozen=True)
class Wood:
    """What a clock counts beside the air.

    Attributes:
        lag_us: time constant of the wood [us], one of the bins; 0: the air itself.
        way: where it was before it came in, the oldest first; empty for a clock that is shared.
    """

    lag_us: int = 0
    way: Way = ()

    def felt_by(self, stance: Stance) -> "Wood":
        """What a stance counts of it: the pencil's counts air alone."""
        return AIR if stance == Stance.LIKELY else self

    @property
    def rests_us(self) -> int | None:
        """From when on wood that was carried in is no different [us]."""
        return self.way[-1][1] + OWN_PARTS * self.lag_us if self.way else None


AIR = Wood()


def wood_of(row: Clock) -> Wood:
    """What the row of a clock counts."""
    return Wood(row.lag_s * SECOND_US, tuple((place, us) for place, us in row.way))


@cache
def way_id(way: Way) -> UUID | None:
    """A short name of a way: what came the same way shares its clocks."""
    return uuid5(WAYS, json.dumps(way)) if way else None


@dataclass(frozen=True)
class Stretch:
    """A part of a wait on one clock of one place; the present one has no end."""

    place: Place
    from_us: int
    to_us: int | None
    wood: Wood

    def within(self, from_us: int, to_us: int) -> tuple[int, int] | None:
        """The part of it inside a span; none where it has none."""
        begun = max(self.from_us, from_us)
        ended = to_us if self.to_us is None else min(self.to_us, to_us)
        return (begun, ended) if ended > begun else None


@dataclass(frozen=True)
class Trail:
    """Where the wood of a wait was, and how far it lags.

    Attributes:
        stood: stay by stay, those before the wait began too; the last has no end while it is
            open.
        lag_us: its lag, binned [us].
    """

    stood: Sequence[Stood]
    lag_us: int

    @classmethod
    def of(cls, wait: Wait, legs: Iterable[Leg]) -> "Trail":
        """As the rows tell it."""
        stood = [(leg.place, instant_us(leg.began_at), end_us(leg.ended_at)) for leg in legs]
        return cls(stood, wait.lag_s * SECOND_US)

    def stretches(self, last_us: Callable[[Place], int]) -> list[Stretch]:
        """The clocks it ran on, in order of time.

        Args:
            last_us: the last reading of a place, or its making before any [us].
        """
        shared = wood = Wood(self.lag_us)
        found: list[Stretch] = []
        for place, begun, ended in self.stood:
            rests = wood.rests_us
            if rests is None or rests <= begun:
                found.append(Stretch(place, begun, ended, shared))
            elif rests > (last_us(place) if ended is None else ended):
                found.append(Stretch(place, begun, ended, wood))
            else:
                found.append(Stretch(place, begun, rests, wood))
                found.append(Stretch(place, rests, ended, shared))
            if ended is not None and self.lag_us:
                felt = (one for one in wood.way if one[1] > ended - REACH * self.lag_us)
                wood = Wood(self.lag_us, (*felt, (str(place.id), ended)))
        return found


def end_us(moment: datetime | None) -> int | None:
    """The end of a stay [us]; none while it goes on."""
    return None if moment is None else instant_us(moment)


def own_lag_us(thickness_mm: float, density_kg_m3: float | None) -> int:
    """The time constant of wood so thick, both faces in still air, of a middling density where
    none is known [us]; a minute to two days."""
    thick_m = thickness_mm / MM
    block = Block(thick_m) if density_kg_m3 is None else Block(thick_m, density_kg_m3)
    return min(max(hours_us(float(block.time_constant_h)), MINUTE_US), LONGEST_LAG_US)


def binned_us(lag_us: int) -> int:
    """The lag of the clocks it shares [us]: the next larger bin."""
    return int(lag_bin(lag_us / hours_us(1)).minutes) * MINUTE_US


def own_lags(joints: Collection[Joint]) -> dict[UUID, int]:
    """The lag of the wood across each joint whose thickness is recorded [us].

    The densest wood known to be in its piece counts.
    """
    thick = {joint: joint.thickness_mm for joint in joints if joint.thickness_mm is not None}
    if not thick:
        return {}
    pieces = {joint.piece_id for joint in thick}
    links = below(pieces)
    rows = Piece.objects.filter(id__in=closure(pieces, links)).values_list("id", "lot__wood")
    kinds = {piece: wood for piece, wood in rows if wood}
    found = {}
    for joint, thickness_mm in thick.items():
        own = closure([joint.piece_id], links)
        density = _densest(kinds[piece] for piece in own if piece in kinds)
        found[joint.id] = own_lag_us(thickness_mm, density)
    return found


def _densest(kinds: Iterable[str]) -> float | None:
    """The density of the densest of some woods [kg/m3], as far as the library knows them."""
    known = (woods()[kind].density_kg_m3 for kind in kinds if kind in woods())
    return max((figure.value for figure in known if figure is not None), default=None)
