"""What the air of a place is expected to do where nobody read it: typed, cooling, as before, held."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cureclock.core.coat.air import saturation_pressure_pa
from cureclock.core.damp import known_damp
from cureclock.core.rates import COLDEST_C, WARMEST_C
from cureclock.core.refusal import Refused, within
from cureclock.core.units import DAY_US, HOUR_US, MINUTE_US, whole_us

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

HALF_GAP_US = 4 * HOUR_US  # until learned; 3 to 6 h in thin metal, common practice
LEVEL_K = 0.1  # air that changes less is level; our choice
POINTS = "points of minute, temperature and humidity"
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

    Valid for:
        One place.
    Source:
        Half-gap time of 4 h until learned: 3 to 6 h in thin metal, common practice.

    Example:
        >>> Expected(outside_low_c=2.0, heater_off=True).cools
        True
    """

    since_us: int = 0
    half_gap_us: int = HALF_GAP_US
    typed: tuple[tuple[float, float, float], ...] = ()
    outside_low_c: float | None = None
    heater_off: bool = False
    heater_on_us: int | None = None

    def __post_init__(self) -> None:
        whole_us("expected since", self.since_us)
        within("half-gap time", self.half_gap_us / HOUR_US, 1 / 6, 48, "h")
        if self.heater_on_us is not None:
            whole_us("heater back", self.heater_on_us)
        if self.outside_low_c is not None:
            within("outside low", self.outside_low_c, -40, 50, "degC")
        if self.typed:
            self._points()

    def _points(self) -> tuple[Floats, Floats, Floats]:
        """The typed day as minutes, temperatures and humidities, checked."""
        try:
            points = np.array(self.typed, dtype=np.float64)
        except (TypeError, ValueError, OverflowError) as error:
            raise Refused("expected air", repr(self.typed), POINTS) from error
        if points.ndim != 2 or points.shape[1] != 3:
            raise Refused("expected air", repr(self.typed), POINTS)
        minutes = within("minute of the day", points[:, 0], 0, 24 * 60)
        temps = within("expected temperature", points[:, 1], -40, 60, "degC")
        if (np.diff(minutes) <= 0).any():
            raise Refused("expected air", repr(self.typed), "minutes of the day rising")
        return minutes, temps, known_damp(points[:, 2])

    def day_at(self, at_us: Ints) -> tuple[Floats, Floats]:
        """The typed day at instants [us]: temperature [degC] and humidity [%]."""
        minutes, temps, damp = self._points()
        minute = at_us % DAY_US / MINUTE_US
        return (
            np.asarray(np.interp(minute, minutes, temps, period=24 * 60)),
            np.asarray(np.interp(minute, minutes, damp, period=24 * 60)),
        )

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
    """What is expected of the air at instants, each after its own last reading.

    Args:
        at_us: instants [us].
        anchors: the last reading before each of them.
        version: what is expected.

    Returns:
        Temperature [degC] and humidity [%]. In this order: what was typed; the cooling curve
        while the heater is off and an outside low is known; the mean of the same hour over three
        measured days; the last reading held. Over one half-gap time the last reading gives way
        to it in a straight line, so that a colder reading never makes what follows warmer.

    Raises:
        Refused: a typed day that is none.

    Valid for:
        Filling a gap, and the days ahead; always marked assumed.
    Assumes:
        Tomorrow is like the days before.
    Source:
        Common practice, no source; the cooling curve is Newton's.

    Example:
        >>> held = Anchors.of(np.array([0]), np.array([9.0]), np.array([60.0]),
        ...                   np.zeros(0, bool), np.array([0]))
        >>> expected_values(np.array([HOUR_US]), held.at(np.array([0])), Expected())[0]
        array([9.])
    """
    if version.cools:
        return _cooling(at_us, anchors, version)
    temp, rh = _base(at_us, anchors, version)
    weight = np.clip(1 - (at_us - anchors.at_us) / version.half_gap_us, 0.0, 1.0)
    mixed = temp + weight * (anchors.temp_c - temp)
    damp = rh + weight * (anchors.rh_pct - rh)
    return mixed, np.clip(np.where(weight == 0, rh, damp), 0, 100)


def _base(at_us: Ints, anchors: Anchors, version: Expected) -> tuple[Floats, Floats]:
    """The day's course before blending: typed, else the days before, else the last held."""
    if version.typed:
        return version.day_at(at_us)
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
        temp_c: its temperatures [degC], -40 to 120; level air (within 0.1 K) says nothing about
            the hour.
        else_us: where it stands then [us]: 05:00 local.

    Returns:
        The instant [us].

    Raises:
        Refused: temperatures that are none, or not as many as instants.

    Valid for:
        One night.
    Source:
        05:00 is common practice, no source.

    Example:
        >>> coldest_us(np.array([1, 2, 3]), np.array([9.0, 4.0, 6.0]), 0)
        2
    """
    at = whole_us("instants", at_us)
    temp = within("temperature", temp_c, COLDEST_C, WARMEST_C, "degC")
    alike("temperatures", at, temp)
    if len(temp) == 0 or float(np.ptp(temp)) < LEVEL_K:
        return int(whole_us("instant", else_us))
    return int(at[int(np.argmin(temp))])


def carried_damp(at_us: Ints, temp_c: Floats, rh_pct: Floats, reach_us: int) -> Floats:
    """Humidity for readings that lack it, from the last that has it, the air's water kept.

    Args:
        at_us: instants of readings in order of time [us].
        temp_c: temperatures [degC], -40 to 120.
        rh_pct: humidity [%], 0 to 100, nan where not read.
        reach_us: how far a humidity is carried [us]; beyond it stays nan.

    Returns:
        RH [%], RH x p_sat(T_then)/p_sat(T_now), at most 100.

    Raises:
        Refused: naming the argument.

    Valid for:
        Air that keeps its water: doors shut, nothing wet.
    Source:
        Humidity at constant vapour pressure.

    Example:
        >>> carried_damp(np.array([0, 1]), np.array([20.0, 20.0]), np.array([50.0, np.nan]), 9)
        array([50., 50.])
    """
    at, reach = whole_us("instants", at_us), int(whole_us("reach", reach_us))
    temp = within("temperature", temp_c, COLDEST_C, WARMEST_C, "degC")
    rh = known_damp(rh_pct)
    alike("temperatures", at, temp)
    alike("humidities", at, rh)
    index = np.where(np.isnan(rh), -1, np.arange(len(rh)))
    last = np.maximum.accumulate(index) if len(index) else index
    usable = (last >= 0) & (at - at[last] <= reach)
    ratio = saturation_pressure_pa(temp[last]) / saturation_pressure_pa(temp)
    carried = np.minimum(rh[last] * ratio, 100.0)
    return np.where(np.isnan(rh) & usable, carried, rh)


def alike(quantity: str, at_us: Ints, values: Floats | Ints) -> None:
    """Refuse a list that is not as long as its list of instants.

    Args:
        quantity: what is listed, for the sentence.
        at_us: the instants, one-dimensional.
        values: the list.

    Raises:
        Refused: another shape.

    Source:
        Our own guard.

    Example:
        >>> alike("temperatures", np.array([0, 1]), np.array([9.0, 8.0]))
    """
    if at_us.ndim != 1 or values.shape != at_us.shape:
        raise Refused(quantity, f"{values.size} of them", f"one for each of {at_us.size} instants")
