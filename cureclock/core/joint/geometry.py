"""What every glued shape can say: how many glue lines, how large, how much more glue it drinks."""

from abc import ABC, abstractmethod

from cureclock.core.refusal import within

ACROSS_M, ALONG_M = 3.0, 20.0  # largest sizes taken, across and along the grain; our choice
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


def size(quantity: str, value_m: float, most_m: float = ACROSS_M) -> None:
    """Refuse a size that no workshop has, or that was given in millimetres.

    Args:
        quantity: the name a maker would use, for the message.
        value_m: the size [m], 0.0001 to most_m.
        most_m: the largest that passes [m]: 3 for widths and thicknesses, 20 along the grain.

    Raises:
        Refused: naming the quantity.

    Source:
        Our own guard; what fits into a workshop is common practice, no source.

    Example:
        >>> size("width", 48)
        Traceback (most recent call last):
        cureclock.core.refusal.Refused: width 48 m is outside the valid range: 0.0001 to 3 m
    """
    within(quantity, value_m, 1e-4, most_m, "m")
