"""How one family of materials feels its air: the rate at which it ages beside the label's hour."""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cureclock.core.coat.air import saturation_pressure_pa
from cureclock.core.refusal import Refused, within
from cureclock.core.units import KELVIN_OFFSET

Floats = NDArray[np.float64]

GAS_CONSTANT = 8.314462618e-3  # kJ/(mol K); CODATA 2018, exact by definition
DOUBT_PER_KELVIN = 0.025  # per K below label where no activation energy is published; our choice
Q_RANGE = (1.5, 3.0)  # a label's own two temperatures are kept within this; common practice
COLDEST_C, WARMEST_C = -40.0, 120.0  # readings outside are refused before they come here


class Kind(StrEnum):
    """The shapes a response can have."""

    WALL = "wall"
    DOUBLING = "doubling"
    CHEMICAL = "chemical"
    TABLE = "table"
    WATER_LOSS = "water_loss"


@dataclass(frozen=True)
class Response:
    """One material's way of feeling temperature and humidity; rate 1 at the label's conditions.

    Args:
        kind: shape of the response.
        label_temp_c: temperature the label speaks of [degC], -10 to 60.
        label_rh_pct: humidity the label speaks of [%], 1 to 95. Used by water loss only.
        q: factor on the rate for 10 K, 1.5 to 3. Doubling (q = 2) is a rule of thumb, common
            practice, no source.
        ea_kj_mol: activation energy [kJ/mol], for the chemical kind.
        rows: the label's own (temperature [degC], time [h]) pairs, at least two, for the table.
        sleep_below_c: below this temperature [degC] age stands still; warmth resumes it.
        air_weight: part of the air's drying power that counts, 0 (closed) to 1 (open film).
        ea_upper_kj_mol: upper published activation energy [kJ/mol], for the doubtful side.
        states_rule: the maker's own label states the rule, so nothing is doubted below label.

    Raises:
        Refused: naming the field.

    >>> float(Response(Kind.DOUBLING).rate(10.0, 50.0))
    0.5
    """

    kind: Kind
    label_temp_c: float = 20.0
    label_rh_pct: float = 50.0
    q: float = 2.0
    ea_kj_mol: float | None = None
    rows: tuple[tuple[float, float], ...] = ()
    sleep_below_c: float | None = None
    air_weight: float = 1.0
    ea_upper_kj_mol: float | None = None
    states_rule: bool = False

    def __post_init__(self) -> None:
        within("label temperature", self.label_temp_c, -10, 60, "degC")
        within("label humidity", self.label_rh_pct, 1, 95, "%")
        within("factor for 10 K", self.q, *Q_RANGE)
        within("weight of the air", self.air_weight, 0, 1)
        if self.sleep_below_c is not None:
            within("sleep temperature", self.sleep_below_c, -30, 60, "degC")
        for name in ("ea_kj_mol", "ea_upper_kj_mol"):
            if getattr(self, name) is not None:
                within(name, getattr(self, name), 10, 250, "kJ/mol")
        if self.kind == Kind.CHEMICAL and self.ea_kj_mol is None:
            raise Refused("activation energy", None, "needed for the chemical response")
        if self.kind == Kind.TABLE:
            self._check_rows()

    def _check_rows(self) -> None:
        temps = np.array([row[0] for row in self.rows])
        hours = np.array([row[1] for row in self.rows])
        if len(temps) < 2 or not (np.diff(temps) > 0).all():
            raise Refused("label rows", self.rows, "two or more, temperatures rising")
        within("row temperature", temps, COLDEST_C, WARMEST_C, "degC")
        within("row time", hours, 1 / 3600, 20_000, "h")
        within("label temperature", self.label_temp_c, temps[0], temps[-1], "degC (the rows)")

    @property
    def needs_humidity(self) -> bool:
        """Whether the rate depends on the air's humidity."""
        return self.kind == Kind.WATER_LOSS

    @property
    def log_linear(self) -> bool:
        """Whether the logarithm of the rate is straight in temperature (then legs are exact)."""
        return self.kind in (Kind.WALL, Kind.DOUBLING)

    def rate(self, temp_c: ArrayLike, rh_pct: ArrayLike) -> Floats:
        """Age gained per unit of time, sleep included.

        Args:
            temp_c: air or wood temperature [degC], -40 to 120, any shape.
            rh_pct: relative humidity [%], 0 to 100, or nan where it was not measured (then
                only temperature counts).

        Returns:
            Rate, 1 at the label's conditions, shape of the inputs together.
        """
        temp = within("temperature", temp_c, COLDEST_C, WARMEST_C, "degC")
        rh = np.asarray(rh_pct, dtype=np.float64)
        return np.where(self.asleep(temp), 0.0, self.awake_rate(temp, rh))

    def asleep(self, temp_c: Floats) -> NDArray[np.bool_]:
        """Where age stands still: below the sleep temperature or the label's coldest row."""
        still = np.zeros(np.shape(temp_c), dtype=bool)
        if self.sleep_below_c is not None:
            still |= temp_c < self.sleep_below_c
        if self.kind == Kind.TABLE:
            still |= temp_c < self.rows[0][0]
        return still

    def outside_rows(self, temp_c: ArrayLike) -> NDArray[np.bool_]:
        """Where the label's own rows say nothing (never, for responses without rows)."""
        temp = np.asarray(temp_c, dtype=np.float64)
        if self.kind != Kind.TABLE:
            return np.zeros(temp.shape, dtype=bool)
        return (temp < self.rows[0][0]) | (temp > self.rows[-1][0])

    def refuse_outside_rows(self, temp_c: float) -> None:
        """Refuse a start at a temperature the label's table does not cover."""
        if bool(self.outside_rows(temp_c)):
            low, high = self.rows[0][0], self.rows[-1][0]
            rows = f"the label's rows, {low:g} to {high:g} degC; outside them it promises nothing"
            raise Refused("temperature", f"{temp_c:g} degC", rows)

    def awake_rate(self, temp_c: Floats, rh_pct: Floats) -> Floats:
        """Rate without sleep: continuous in temperature and humidity."""
        match self.kind:
            case Kind.WALL:
                return np.ones(np.broadcast(temp_c, rh_pct).shape)
            case Kind.CHEMICAL:
                assert self.ea_kj_mol is not None
                return self._arrhenius(temp_c, self.ea_kj_mol)
            case Kind.TABLE:
                return self.row_hours(self.label_temp_c) / self.row_hours(temp_c)
            case Kind.WATER_LOSS:
                return np.minimum(self._doubling(temp_c), self.air_part(temp_c, rh_pct))
            case _:
                return self._doubling(temp_c)

    def air_part(self, temp_c: Floats, rh_pct: Floats) -> Floats:
        """Drying power of the air beside the label's, weighted; infinite where damp is unknown.

        Source: vapour-pressure deficit drives drying, p_sat(T)(1 - RH); common practice.
        """
        here = saturation_pressure_pa(temp_c) * (1 - np.nan_to_num(rh_pct, nan=0.0) / 100)
        label = saturation_pressure_pa(self.label_temp_c) * (1 - self.label_rh_pct / 100)
        power = 1 - self.air_weight * (1 - here / label)
        return np.where(np.isnan(rh_pct), np.inf, power)

    def air_rules(self, temp_c: Floats, rh_pct: Floats) -> Floats:
        """Below zero where the drying air is what limits, above where temperature is."""
        air = self.air_part(temp_c, rh_pct)
        return np.where(np.isinf(air), 1.0, air - self._doubling(temp_c))

    def row_hours(self, temp_c: ArrayLike) -> Floats:
        """Hours by the label's rows, ln(time) straight in 1/T, held beyond the last rows.

        >>> rows = ((15.0, 3.5), (20.0, 2.25))
        >>> float(Response(Kind.TABLE, rows=rows).row_hours(17.5).round(3))
        2.801
        """
        temp = np.asarray(temp_c, dtype=np.float64)
        cold_first = np.array(self.rows)
        inverse = 1 / (cold_first[::-1, 0] + KELVIN_OFFSET)
        log_hours = np.interp(1 / (temp + KELVIN_OFFSET), inverse, np.log(cold_first[::-1, 1]))
        hours: Floats = np.exp(log_hours)
        return hours

    def doubt(self, temp_c: Floats) -> Floats:
        """What the rate is divided by, for the sure figure, below the label temperature.

        The ratio to the upper published activation energy; where none is published
        1 + 0.025 per K below label (our choice); 1 where the label prints rows or states its
        rule, and at and above the label temperature.
        """
        below = np.maximum(self.label_temp_c - temp_c, 0.0)
        if self.states_rule or self.kind in (Kind.TABLE, Kind.WALL):
            return np.ones(np.shape(below))
        if self.ea_upper_kj_mol is None:
            return 1 + DOUBT_PER_KELVIN * below
        cold = self.label_temp_c - below
        own = self.awake_rate(cold, np.full(np.shape(cold), np.nan))
        return np.maximum(own / self._arrhenius(cold, self.ea_upper_kj_mol), 1.0)

    def kinks_c(self) -> tuple[float, ...]:
        """Temperatures at which the rate bends or jumps, where a leg has to be split."""
        bends = [self.label_temp_c]
        if self.sleep_below_c is not None:
            bends.append(self.sleep_below_c)
        if self.kind == Kind.TABLE:
            bends.extend(temp for temp, _ in self.rows)
        if self.kind == Kind.WATER_LOSS:
            bends.append(0.0)  # saturation over ice begins
        return tuple(sorted(set(bends)))

    def _doubling(self, temp_c: Floats) -> Floats:
        rate: Floats = np.exp(np.log(self.q) * (temp_c - self.label_temp_c) / 10)
        return rate

    def _arrhenius(self, temp_c: Floats, ea_kj_mol: float) -> Floats:
        label_k = self.label_temp_c + KELVIN_OFFSET
        inverse_k = 1 / (temp_c + KELVIN_OFFSET) - 1 / label_k
        rate: Floats = np.exp(-ea_kj_mol / GAS_CONSTANT * inverse_k)
        return rate


def q_of_two_temperatures(cold_c: float, cold_h: float, warm_c: float, warm_h: float) -> float:
    """The factor for 10 K that a label's own two temperatures give, kept within 1.5 to 3.

    Args:
        cold_c, warm_c: the two temperatures [degC], cold below warm by at least 1 K.
        cold_h, warm_h: the label's times at them [h], the cold one at least as long.

    Returns:
        q = (t_cold/t_warm)^(10/(T_warm - T_cold)), kept in 1.5 to 3 (common practice).

    >>> q_of_two_temperatures(10, 12.0, 20, 6.0)
    2.0
    """
    within("span of the two temperatures", warm_c - cold_c, 1, 100, "K")
    within("cold time", cold_h, 1 / 3600, 20_000, "h")
    within("warm time", warm_h, 1 / 3600, cold_h, "h")
    return float(np.clip((cold_h / warm_h) ** (10 / (warm_c - cold_c)), *Q_RANGE))
