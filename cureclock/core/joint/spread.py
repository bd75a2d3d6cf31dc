"""Spreading and tightening against the clock: how old the oldest glue is, how many joints fit."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cureclock.core.joint.count import Ints, whole
from cureclock.core.refusal import Refused, within

Floats = NDArray[np.float64]

MOST_JOINTS = 1000  # more joints than one load ever has
DAY_S = 86_400.0


@dataclass(frozen=True)
class Spreading:
    """How long each act of a glue-up takes, and how many hands share it.

    Args:
        spread_s: spreading one joint [s], 0 to 86400.
        place_s: laying or placing one joint [s], 0 to 86400.
        tighten_s: tightening one clamp [s], 0 to 86400.
        clamps_each: clamps for each joint [-], 0 to 1000; a part where joints share clamps.
        assemble_s: bringing the whole load together [s], 0 to 86400.
        spreaders: people who spread and place [-], whole, 1 to 50.
        tighteners: people who tighten [-], whole, 1 to 50.
        one_by_one: True to press each joint as it is spread.

    Raises:
        Refused: naming the field.

    Valid for:
        Joints alike.

    Assumes:
        People do not wait for each other, and nobody tightens while others still spread.

    Source:
        Plain adding up; time a dry run.

    Example:
        >>> stacks = Spreading(spread_s=25, place_s=15, tighten_s=20)
        >>> stacks.oldest_glue_s(8).tolist(), stacks.largest_load(413.5).tolist()
        (480.0, 6)
        >>> Spreading(25, 15, 20, spreaders=2).oldest_glue_s(8).tolist()
        320.0
    """

    spread_s: float
    place_s: float
    tighten_s: float
    clamps_each: float = 1.0
    assemble_s: float = 0.0
    spreaders: int = 1
    tighteners: int = 1
    one_by_one: bool = False

    def __post_init__(self) -> None:
        within("spreading time", self.spread_s, 0, DAY_S, "s")
        within("placing time", self.place_s, 0, DAY_S, "s")
        within("tightening time", self.tighten_s, 0, DAY_S, "s")
        within("clamps for each joint", self.clamps_each, 0, 1000)
        within("assembling time", self.assemble_s, 0, DAY_S, "s")
        whole("spreaders", self.spreaders, 1, 50)
        whole("people tightening", self.tighteners, 1, 50)

    def oldest_glue_s(self, joints: ArrayLike) -> Floats:
        """How old the first spread glue is when the last clamp is tight.

        Args:
            joints: joints of the load [-], whole, 1 to 1000.

        Returns:
            Age [s]. Pressed one by one, each joint has its own time, however many there are.

        Raises:
            Refused: naming the joints.

        Valid for:
            As Spreading.

        Assumes:
            As Spreading.

        Source:
            Plain adding up.

        Example:
            >>> Spreading(25, 15, 20, one_by_one=True).oldest_glue_s([1, 8]).tolist()
            [60.0, 60.0]
        """
        load = whole("joints", joints, 1, MOST_JOINTS)
        together = np.ones_like(load) if self.one_by_one else load
        spreading = np.ceil(together / int(self.spreaders)) * (self.spread_s + self.place_s)
        clamps = np.ceil(together * self.clamps_each / int(self.tighteners) * (1 - 1e-9))
        return spreading + self.assemble_s + clamps * self.tighten_s

    def spare_s(self, joints: ArrayLike, limit_s: ArrayLike) -> Floats:
        """How much time is left over, or by how much the limit is passed.

        Args:
            joints: joints of the load [-], whole, 1 to 1000.
            limit_s: today's assembly time [s], 0 to 172800.

        Returns:
            Spare time [s]; below 0 the load is too large.

        Raises:
            Refused: naming the argument.

        Valid for:
            As Spreading.

        Assumes:
            As Spreading.

        Source:
            Plain adding up.

        Example:
            >>> Spreading(25, 15, 20).spare_s(8, [720, 413.5]).tolist()
            [240.0, -66.5]
        """
        return within("assembly time", limit_s, 0, 2 * DAY_S, "s") - self.oldest_glue_s(joints)

    def largest_load(self, limit_s: ArrayLike) -> Ints:
        """The most joints that can be spread and pressed in one go.

        Args:
            limit_s: today's assembly time [s], 0 to 172800.

        Returns:
            Joints [-], 0 where not even one fits, never above 1000.

        Raises:
            Refused: naming the time.

        Valid for:
            As Spreading.

        Assumes:
            As Spreading.

        Source:
            Plain adding up.

        Example:
            >>> Spreading(25, 15, 20).largest_load([59, 720]).tolist()
            [0, 12]
        """
        limit = within("assembly time", limit_s, 0, 2 * DAY_S, "s")
        ages = self.oldest_glue_s(np.arange(1, MOST_JOINTS + 1))
        return np.asarray(np.searchsorted(ages, limit, side="right")).astype(np.int64)


def loads_needed(joints: ArrayLike, largest_load: ArrayLike) -> Ints:
    """Into how many goes a glue-up has to be split.

    Args:
        joints: joints to glue [-], whole, 1 to 1000000.
        largest_load: most joints in one go [-], whole, 1 or more; 0 is refused.

    Returns:
        Number of goes [-].

    Raises:
        Refused: naming the argument; also where not even one joint fits.

    Valid for:
        Joints alike.

    Assumes:
        Fresh glue for each go.

    Source:
        Plain counting.

    Example:
        >>> loads_needed([6, 8, 24], 6).tolist()
        [1, 2, 4]
    """
    many = whole("joints", joints, 1, 1_000_000)
    load = np.asarray(largest_load)
    if (load == 0).any():
        raise Refused("joints in one go", 0, "1 or more; the glue skins before one is tight")
    return -(-many // whole("joints in one go", largest_load, 1, 1_000_000))
