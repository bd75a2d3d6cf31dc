"""Wood lags the air: its time constant, the bin a clock shares, and when a cold block is warm."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cureclock.core.refusal import Refused, within
from cureclock.core.wood.entry import shop_temp_c
from cureclock.core.wood.heat import (
    USUAL_MC_PCT,
    conductivity_w_mk,
    diffusivity_m2_s,
    gravity_of_density,
)
from cureclock.core.wood.slab import (
    FOURIER_MOST,
    SOONEST,
    TERMS,
    biot_number,
    left_of_roots,
    slab_coefficients,
    slab_left,
    slab_roots,
)

Floats = NDArray[np.float64]

HOUR_S = 3600.0
USUAL_KG_M3 = 650.0  # a middling hardwood; common practice
STILL_AIR_W_M2K = 8.0  # still air and radiation; 1/0.13 = 7.7 in ISO 6946
BINS_MIN = np.array([0.0, 15.0, 60.0, 240.0, 960.0])  # so that waits share clocks; our choice
HALVINGS = 48


@dataclass(frozen=True)
class Block:
    """A piece of wood as heat sees it.

    Args:
        thickness_m: thickness between the faces [m], 0.0005 to 0.4.
        density_kg_m3: density at that moisture [kg/m3], 130 to 1300. Default 650.
        mc_pct: moisture content [%], 0 to 25. Default 12.
        surface_w_m2k: heat between air and face [W/(m2 K)], 1 to 200. Default 8: still air
            with radiation (ISO 6946 has 1/0.13 = 7.7).
        faces: 2 when both faces meet the air, 1 when one lies on a bench.

    Raises:
        Refused: naming the figure that is outside its range.

    Example:
        >>> print(f"{Block(0.050).time_constant_h:.2f}")
        1.29
    """

    thickness_m: ArrayLike
    density_kg_m3: ArrayLike = USUAL_KG_M3
    mc_pct: ArrayLike = USUAL_MC_PCT
    surface_w_m2k: ArrayLike = STILL_AIR_W_M2K
    faces: int = 2

    def __post_init__(self) -> None:
        within("thickness", self.thickness_m, 0.0005, 0.4, "m")
        within("density", self.density_kg_m3, 130, 1300, "kg/m3")
        within("moisture content", self.mc_pct, 0, 25, "%")
        within("surface coefficient", self.surface_w_m2k, 1, 200, "W/(m2 K)")
        if self.faces not in (1, 2):
            raise Refused("faces in the air", self.faces, "1 or 2")

    @property
    def biot(self) -> Floats:
        """Biot number of the block [-]."""
        conductivity = conductivity_w_mk(self._gravity, self.mc_pct)
        return biot_number(self.surface_w_m2k, self._depth_m, conductivity)

    @property
    def hour_in_fourier(self) -> Floats:
        """What one hour is as a Fourier number [1/h]."""
        return diffusivity_m2_s(self._gravity, self.mc_pct) * HOUR_S / self._depth_m**2

    @property
    def time_constant_h(self) -> Floats:
        """Hours in which the middle closes all but 1/e of its gap to the air, once under way."""
        return 1 / (self.hour_in_fourier * slab_roots(self.biot)[..., 0] ** 2)

    @property
    def _depth_m(self) -> Floats:
        return np.asarray(self.thickness_m, dtype=np.float64) / self.faces

    @property
    def _gravity(self) -> Floats:
        return gravity_of_density(self.density_kg_m3, self.mc_pct)


def pencil_lag_h(thickness_m: ArrayLike) -> Floats:
    """The lag of wood by the pencil rule.

    Args:
        thickness_m: thickness, both faces in the air [m], 0.0005 to 0.4.

    Returns:
        Hours: 650 x 1600 (d/2)/8 + d^2/(pi^2 1.6e-7), in seconds, over 3600.

    Raises:
        Refused: thickness outside its range.

    Valid for:
        Middling hardwood in still air; within 15 minutes of the slab's time constant to
        100 mm.
    Assumes:
        650 kg/m3, 1600 J/(kg K), 8 W/(m2 K), 1.6e-7 m2/s: all from memory.
    Source:
        Surface and inner resistance added: common practice, no source.

    Example:
        >>> [round(float(pencil_lag_h(d)), 1) for d in (0.025, 0.050, 0.075, 0.100)]
        [0.6, 1.3, 2.3, 3.6]
    """
    d = within("thickness", thickness_m, 0.0005, 0.4, "m")
    return (650 * 1600 * d / 2 / 8 + d**2 / (np.pi**2 * 1.6e-7)) / HOUR_S


@dataclass(frozen=True)
class LagBin:
    """The lag a clock is built with.

    Attributes:
        minutes: 0, 15, 60, 240 or 960: the next larger than the block's own lag.
        beyond: True where the block lags more than 16 h, so that 960 is too little; say so.
    """

    minutes: Floats
    beyond: NDArray[np.bool_]


def lag_bin(time_constant_h: ArrayLike) -> LagBin:
    """The lag bin of a block: the next larger, so that the wood is never thought too warm.

    Args:
        time_constant_h: time constant [h], 0 to 1000; 0 where no thickness was recorded.

    Returns:
        A LagBin.

    Raises:
        Refused: the time constant outside its range.

    Valid for:
        Clocks shared by many waits.
    Assumes:
        More lag is the safe side, as rising air counts as wood and falling air as air.
    Source:
        Our choice.

    Example:
        >>> lag_bin([0, 0.2, 0.6, 2.3, 20.0]).minutes
        array([  0.,  15.,  60., 240., 960.])
    """
    minutes = within("time constant", time_constant_h, 0, 1000, "h") * 60
    index = np.searchsorted(BINS_MIN, minutes, side="left")
    return LagBin(BINS_MIN[np.minimum(index, len(BINS_MIN) - 1)], minutes > BINS_MIN[-1])


def wood_after_step_c(
    block: Block, start_c: ArrayLike, air_c: ArrayLike, elapsed_h: ArrayLike
) -> Floats:
    """The temperature in the middle of a block some time after the air changed.

    Args:
        block: the wood.
        start_c: its temperature at the change [degC], -40 to 50.
        air_c: the new air [degC], -40 to 95 (a hot box).
        elapsed_h: hours since [h], 0 to 1000.

    Returns:
        Temperature of the glue line in the middle [degC].

    Raises:
        Refused: a figure outside its range, or degrees Fahrenheit.

    Valid for:
        One step from an even temperature.
    Assumes:
        As `slab.slab_left`.
    Source:
        Full slab series.

    Example:
        >>> print(f"{wood_after_step_c(Block(0.050), 6, 18, 1):.1f}")
        11.7
    """
    start = shop_temp_c(start_c, "wood temperature")
    air = shop_temp_c(air_c, kiln=True)
    hours = within("time since", elapsed_h, 0, 1000, "h")
    fourier = np.minimum(hours * block.hour_in_fourier, FOURIER_MOST)
    return air + (start - air) * slab_left(block.biot, fourier)


def hours_to_warm(
    block: Block, start_c: ArrayLike, air_c: ArrayLike, wanted_c: ArrayLike
) -> Floats:
    """How long before gluing a cold block has to be brought into the warm.

    Args:
        block: the wood.
        start_c: its temperature now [degC], -40 to 50.
        air_c: the warm place [degC], -40 to 95 (a hot box).
        wanted_c: temperature wanted in the middle [degC], -40 to 50.

    Returns:
        Hours; 0 where the block is warm enough.

    Raises:
        Refused: a figure outside its range, degrees Fahrenheit, or air that never warms it so
            far.

    Valid for:
        As `wood_after_step_c`.
    Assumes:
        As `slab.slab_left`.
    Source:
        Full slab series, solved by halving.

    Example:
        >>> print(f"{hours_to_warm(Block(0.075), 6, 18, 15):.1f}")
        3.5
    """
    start = shop_temp_c(start_c, "wood temperature")
    air = shop_temp_c(air_c, kiln=True)
    wanted = shop_temp_c(wanted_c, "wanted temperature")
    _refuse_too_cool(start, air, wanted)
    warm = wanted <= start
    left = np.clip((air - wanted) / np.where(warm, 1.0, air - start), 1e-12, 1.0)
    fourier = _fourier_of_left(block.biot, np.where(warm, 1.0, left))
    return np.where(warm, 0.0, fourier / block.hour_in_fourier)


def _refuse_too_cool(start: Floats, air: Floats, wanted: Floats) -> None:
    never = (wanted > start) & (wanted >= air)
    if never.any():
        air, wanted = np.broadcast_arrays(air, wanted, never)[:2]
        at = np.flatnonzero(never)[0]
        place = f"below the {air.flat[at]:g} degC of the place; it never gets so warm there"
        raise Refused("wanted temperature", f"{wanted.flat[at]:g} degC", place)


def _fourier_of_left(biot: Floats, left: Floats) -> Floats:
    """When a share is left in the middle: the first term bounds it from above."""
    roots = slab_roots(biot, TERMS)
    first = roots[..., 0]
    bound = np.log(slab_coefficients(first) / left) / first**2
    low, high = np.zeros(bound.shape), np.maximum(bound, SOONEST)
    middle_of_wood = np.zeros(())
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        above = left_of_roots(roots, middle, middle_of_wood) > left
        low, high = np.where(above, middle, low), np.where(above, high, middle)
    return (low + high) / 2
