"""What the air of a place is expected to do where nobody read it: typed, cooling, as before, held."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cureclock.core.coat.air import saturation_pressure_pa
from cureclock.core.refusal import Refused, within
from cureclock.core.units import DAY_US, HOUR_US, MINUTE_US

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

HALF_GAP_US = 4 * HOUR_US  # until learned; 3 to 6 h in thin metal, common practice
DAYS_BACK = 3  # the same hour of so many measured days; our choice


@dataclass(frozen=True)
class Expected:
    """One version of what is expected of a place's air, in force from an instant on.

    Args:
        since_us: in force from [us].
        half_gap_us: time in which the gap to the air outside halves [us], 10 min to 48 h.
        typed: points of a day as typed: (minute of the UTC day, temperature [degC], humidity
            [%] or nan), minutes rising; one point means level air. It wins over all below.
        outside_low_c: the low expected outside [degC]; with heater_off the shed cools to it.
        heater_off: the heater is off, so the shed cools.
        heater_on_us: when the heater is expected back [us], None if not known.

    Raises:
        Refused: naming the field.
    """

    since_us: int = 0
    half_gap_us: int = HALF_GAP_US
    typed: tuple[tuple[float, float, float], ...] = ()
    outside_low_c: float | None = None
    heater_off: bool = False
    heater_on_us: int | None = None

    def __post_init__(self) -> None:
        within("half-gap time", self.half_gap_us / HOUR_US, 1 / 6, 48, "h")
        if self.outside_low_c is not None:
            within("outside low", self.outside_low_c, -40, 50, "degC")
        if self.typed:
            minutes, temps, damp = np.array(self.typed).T
            within("minute of the day", minutes, 0, 24 * 60)
            within("expected temperature", temps, -40, 60, "degC")
            within("expected humidity", damp[~np.isnan(damp)], 0, 100, "%")
            if (np.diff(minutes) <= 0).any():
                raise Refused("expected air", self.typed, "minutes of the day rising")

    @property
    def cools(self) -> bool:
        """Whether the cooling curve is what is expected."""
        return not self.typed and self.heater_off and self.outside_low_c is not None


@dataclass(frozen=True)
class Anchors:
    """The last reading before each span to be filled, and what the days before it were like."""

    at_us: Ints
    temp_c: Floats
    rh_pct: Floats
    days_known: NDArray[np.bool_]
    read_at_us: Ints
    read_temp_c: Floats
    read_rh_pct: Floats

    @classmethod
    def of(
        cls, at_us: Ints, temp_c: Floats, rh_pct: Floats, gaps: NDArray[np.bool_], starts: Ints
    ) -> "Anchors":
        """Anchors at the readings that stand at `starts`; days are known if no gap is in them."""
        index = np.searchsorted(at_us, starts)
        gap_us = np.concatenate([[0], np.cumsum(np.diff(at_us) * gaps)])
        back = starts - DAYS_BACK * DAY_US
        unread = gap_us[index] - np.interp(back, at_us, gap_us)
        known = (back >= at_us[0]) & (unread == 0)
        return cls(starts, temp_c[index], rh_pct[index], known, at_us, temp_c, rh_pct)

    def at(self, which: Ints) -> "Anchors":
        """One anchor for each instant, `which` naming its span."""
        return Anchors(
            self.at_us[which],
            self.temp_c[which],
            self.rh_pct[which],
            self.days_known[which],
            self.read_at_us,
            self.read_temp_c,
            self.read_rh_pct,
        )


def expected_values(at_us: Ints, anchors: Anchors, version: Expected) -> tuple[Floats, Floats]:
    """Temperature [degC] and humidity [%] expected at instants, each after its own anchor.

    In this order: what was typed; the cooling curve while the heater is off and an outside low
    is known; the mean of the same hour over three measured days; the last reading held. The
    last reading blends into it in a straight line over one half-gap time.
    """
    if version.cools:
        return _cooling(at_us, anchors, version)
    level_temp, level_rh = _base(anchors.at_us, anchors, version)
    temp, rh = _base(at_us, anchors, version)
    weight = np.maximum(1 - (at_us - anchors.at_us) / version.half_gap_us, 0.0)
    rh = rh + weight * (anchors.rh_pct - level_rh)
    return temp + weight * (anchors.temp_c - level_temp), np.clip(rh, 0, 100)


def _base(at_us: Ints, anchors: Anchors, version: Expected) -> tuple[Floats, Floats]:
    """The day's course before blending: typed, else the days before, else the last held."""
    if version.typed:
        minutes, temps, damp = np.array(version.typed).T
        minute = at_us % DAY_US / MINUTE_US
        return (
            np.interp(minute, minutes, temps, period=24 * 60),
            np.interp(minute, minutes, damp, period=24 * 60),
        )
    days = np.ceil((at_us - anchors.at_us) / DAY_US).astype(np.int64)
    folded = at_us - np.maximum(days, 1) * DAY_US
    back = folded[None, :] - np.arange(DAYS_BACK)[:, None] * DAY_US
    temp = np.interp(back, anchors.read_at_us, anchors.read_temp_c).mean(axis=0)
    rh = np.interp(back, anchors.read_at_us, anchors.read_rh_pct).mean(axis=0)
    return (
        np.where(anchors.days_known, temp, anchors.temp_c),
        np.where(anchors.days_known, rh, anchors.rh_pct),
    )


def _cooling(at_us: Ints, anchors: Anchors, version: Expected) -> tuple[Floats, Floats]:
    """T = T_out + (T0 - T_out) 0.5^(t/half) until the heater is back, then the last warmth held.

    Humidity keeps the water in the air: RH x p_sat(T0)/p_sat(T), at most 100 %.
    Source: lumped cooling (Newton); humidity at constant vapour pressure.
    """
    assert version.outside_low_c is not None
    back_us = np.iinfo(np.int64).max if version.heater_on_us is None else version.heater_on_us
    cooled_us = np.maximum(np.minimum(at_us, back_us) - anchors.at_us, 0)
    gap = anchors.temp_c - version.outside_low_c
    cold = version.outside_low_c + gap * 0.5 ** (cooled_us / version.half_gap_us)
    warmed = np.clip((at_us - np.maximum(back_us, anchors.at_us)) / version.half_gap_us, 0, 1)
    temp = cold + warmed * (anchors.temp_c - cold)
    held = saturation_pressure_pa(anchors.temp_c) / saturation_pressure_pa(temp)
    return temp, np.minimum(anchors.rh_pct * held, 100.0)


def coldest_us(at_us: Ints, temp_c: Floats, else_us: int) -> int:
    """Where a bare "lowest last night" stands: the coldest hour of what was expected.

    Args:
        at_us: instants of the expected air between the two readings around the night [us].
        temp_c: its temperatures [degC]; level air (within 0.1 K) says nothing about the hour.
        else_us: where it stands then [us]: 05:00 local.

    >>> coldest_us(np.array([1, 2, 3]), np.array([9.0, 4.0, 6.0]), 0)
    2
    """
    if len(temp_c) == 0 or float(np.ptp(temp_c)) < 0.1:
        return else_us
    return int(at_us[int(np.argmin(temp_c))])


def carried_damp(at_us: Ints, temp_c: Floats, rh_pct: Floats, reach_us: int) -> Floats:
    """Humidity for readings that lack it, from the last that has it, the air's water kept.

    Args:
        at_us, temp_c, rh_pct: readings in order of time; rh nan where not read.
        reach_us: how far a humidity is carried [us]; beyond it stays nan.

    Returns:
        RH [%], RH x p_sat(T_then)/p_sat(T_now), at most 100.

    >>> carried_damp(np.array([0, 1]), np.array([20.0, 20.0]), np.array([50.0, np.nan]), 9)
    array([50., 50.])
    """
    index = np.where(np.isnan(rh_pct), -1, np.arange(len(rh_pct)))
    last = np.maximum.accumulate(index) if len(index) else index
    usable = (last >= 0) & (at_us - at_us[last] <= reach_us)
    ratio = saturation_pressure_pa(temp_c[last]) / saturation_pressure_pa(temp_c)
    carried = np.minimum(rh_pct[last] * ratio, 100.0)
    return np.where(np.isnan(rh_pct) & usable, carried, rh_pct)
