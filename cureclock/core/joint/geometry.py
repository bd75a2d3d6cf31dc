"""What every glued shape can say: how many glue lines, how large, how much more glue it drinks."""

from abc import ABC, abstractmethod

from cureclock.core.refusal import within

THIRSTY = 1.5  # end grain and mitred segments, after a sizing coat; common practice, no source


class Geometry(ABC):
    """A glued shape: a number of glue lines, each of an area.

    Every shape is a frozen dataclass that refuses impossible sizes. Lines of one stack lie one
    behind the other, so that the press has to load the largest of them, not the sum.
    """

    @property
    @abstractmethod
    def glue_lines(self) -> int:
        """Number of glue lines [-]."""

    @property
    @abstractmethod
    def line_area_m2(self) -> float:
        """Area of the largest glue line [m2]: what the press has to load."""

    @property
    def glue_area_m2(self) -> float:
        """Area of all glue lines together [m2], one face of each: what has to be spread."""
        return self.glue_lines * self.line_area_m2

    @property
    def spread_factor(self) -> float:
        """How many times the usual spread the faces need [-]; 1 for faces along the grain."""
        return 1.0


def length(quantity: str, value_m: float) -> None:
    """Refuse a length no workshop has.

    Args:
        quantity: the name a maker would use, for the message.
        value_m: the length [m], 0.0001 to 50.

    Raises:
        Refused: naming the quantity.

    Example:
        >>> length("width", -0.1)
        Traceback (most recent call last):
        cureclock.core.refusal.Refused: width -0.1 m is outside the valid range: 0.0001 to 50 m
    """
    within(quantity, value_m, 1e-4, 50, "m")
