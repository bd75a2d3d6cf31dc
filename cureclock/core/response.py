"""How one family of materials feels its air: the rate at which it ages beside the label's hour."""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cureclock.core import rates
from cureclock.core.damp import damp_penalty, drying_share, known_damp, vapour_share
from cureclock.core.rates import q_of_two_temperatures
from cureclock.core.refusal import Refused, within

__all__ = ["Kind", "Response", "q_of_two_temperatures"]

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

DOUBT_PER_KELVIN = 0.025  # per K below label where no activation energy is published; our choice
NEAR_MINUTE = 1e-6  # of a minute: a printed row is not rounded away from itself


class Kind(StrEnum):
    """The shapes a response can have."""

    WALL = "wall"
    DOUBLING = "doubling"
    CHEMICAL = "chemical"
    TABLE = "table"
    WATER_LOSS = "water_loss"
    MOISTURE_CURE = "moisture_cure"
    SOLVENT_LOSS = "solvent_loss"
    OXIDATION = "oxidation"
    COOLING = "cooling"


_NEEDS_ENERGY = (Kind.CHEMICAL, Kind.MOISTURE_CURE, Kind.SOLVENT_LOSS, Kind.OXIDATION)
_NEEDS_DAMP = (Kind.WATER_LOSS, Kind.MOISTURE_CURE, Kind.OXIDATION)


@dataclass(frozen=True)
class Response:
    """One material's way of feeling temperature and humidity; rate 1 at the label's conditions.

    Args:
        kind: shape of the response.
        label_temp_c: temperature the label speaks of [degC], -10 to 60.
        label_rh_pct: humidity the label speaks of [%], 1 to 95. Used by water loss and
            moisture cure.
        q: factor on the rate for 10 K, 1.5 to 3. Doubling (q = 2) is a rule of thumb, common
            practice, no source.
        ea_kj_mol: activation energy [kJ/mol], 10 to 250, for chemical, moisture cure and
            oxidation; the heat of evaporation for solvent loss.
        rows: the label's own (temperature [degC], time [h]) pairs, two or more, for the table.
        sleep_below_c: below this temperature [degC] age stands still, -30 to 60; warmth
            resumes it.
        air_weight: part of the air's drying power that counts, 0 (closed) to 1 (open film).
        ea_upper_kj_mol: upper published activation energy [kJ/mol], 10 to 250, for doubt.
        states_rule: the maker's own label states the rule, so nothing is doubted below label.
        damp_power: how far the air's water rules a moisture cure, 0.5 to 1. 0.75 lies between
            what diffusion and supply give; our choice.
        damp_above_pct: humidity above which oxidation slows [%], 1 to 99. 75 is what the
            labels of oils allow at most; common practice.
        pot_c: temperature at which a cooling glue is put on [degC].
        solid_c: temperature at which it stands [degC].

    Raises:
        Refused: naming the field.

    Valid for:
        -40 to 120 degC; what the label says of its own limits stands above it.
    Source:
        Each shape its own: `rates`, `damp`.

    Example:
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
    damp_power: float = 0.75
    damp_above_pct: float = 75.0
    pot_c: float | None = None
    solid_c: float | None = None

    def __post_init__(self) -> None:
        if self.kind not in tuple(Kind):
            raise Refused("response", repr(self.kind), f"one of {', '.join(Kind)}")
        for name, value, low, high, unit in (
            ("label temperature", self.label_temp_c, *rates.LABEL_C, "degC"),
            ("label humidity", self.label_rh_pct, 1, 95, "%"),
            ("factor for 10 K", self.q, *rates.Q_RANGE, ""),
            ("weight of the air", self.air_weight, 0, 1, ""),
            ("power of the vapour", self.damp_power, 0.5, 1, ""),
            ("damp above", self.damp_above_pct, 1, 99, "%"),
            ("sleep temperature", self.sleep_below_c, -30, 60, "degC"),
            ("activation energy", self.ea_kj_mol, *rates.ENERGY, "kJ/mol"),
            ("upper activation energy", self.ea_upper_kj_mol, *rates.ENERGY, "kJ/mol"),
        ):
            if value is not None:
                within(name, value, low, high, unit)
        self._check_kind()

    def _check_kind(self) -> None:
        """What this shape needs is there."""
        if self.kind in _NEEDS_ENERGY and self.ea_kj_mol is None:
            raise Refused("activation energy", None, f"needed for the {self.kind} response")
        if self.kind == Kind.COOLING:
            if self.pot_c is None or self.solid_c is None:
                raise Refused("pot and solid point", None, "needed for the cooling response")
            rates.cooling(self.label_temp_c, self.pot_c, self.solid_c, self.label_temp_c)
        if self.kind == Kind.TABLE:
            table = rates.checked_rows(self.rows)
            within("label temperature", self.label_temp_c, table[0, 0], table[-1, 0], "degC (rows)")

    @property
    def needs_humidity(self) -> bool:
        """Whether the rate depends on the air's humidity."""
        return self.kind in _NEEDS_DAMP

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

        Raises:
            Refused: a figure outside its range.
        """
        temp = within("temperature", temp_c, rates.COLDEST_C, rates.WARMEST_C, "degC")
        try:
            temp, rh = np.broadcast_arrays(temp, known_damp(rh_pct))
        except ValueError as error:
            raise Refused("humidity", repr(rh_pct), "as many as there are temperatures") from error
        return np.where(self.asleep(temp), 0.0, self.awake_rate(temp, rh))

    def asleep(self, temp_c: Floats) -> Bools:
        """Where age stands still: below the sleep temperature or the label's coldest row; in
        air so warm that a cooling glue never stands."""
        still = np.zeros(np.shape(temp_c), dtype=bool)
        if self.sleep_below_c is not None:
            still |= temp_c < self.sleep_below_c
        if self.kind == Kind.TABLE:
            still |= temp_c < self.rows[0][0]
        if self.solid_c is not None and self.kind == Kind.COOLING:
            still |= temp_c >= self.solid_c - rates.STANDS_K
        return still

    def outside_rows(self, temp_c: ArrayLike) -> Bools:
        """Where the label's own rows say nothing (never, for responses without rows)."""
        temp = within("temperature", temp_c, rates.COLDEST_C, rates.WARMEST_C, "degC")
        if self.kind != Kind.TABLE:
            return np.zeros(temp.shape, dtype=bool)
        return (temp < self.rows[0][0]) | (temp > self.rows[-1][0])

    def refuse_outside_rows(self, temp_c: float) -> None:
        """Refuse a start at a temperature the label's table does not cover."""
        if bool(self.outside_rows(temp_c).any()):
            low, high = self.rows[0][0], self.rows[-1][0]
            rows = f"the label's rows, {low:g} to {high:g} degC; outside them it promises nothing"
            raise Refused("temperature", f"{temp_c:g} degC", rows)

    def row_hours(self, temp_c: ArrayLike) -> Floats:
        """Hours by the label's rows, ln(time) straight in 1/T, held beyond the last rows.

        >>> rows = ((15.0, 3.5), (20.0, 2.25))
        >>> float(Response(Kind.TABLE, rows=rows).row_hours(17.5).round(3))
        2.801
        """
        return rates.hours_of_rows(temp_c, self.rows)

    def row_minutes(self, temp_c: float, *, opens: bool) -> int:
        """The label's own time at a temperature as it is told: whole minutes, on the safe side.

        Args:
            temp_c: temperature [degC], inside the label's rows.
            opens: True for what must not be sooner (clamps off): rounded up. False for what
                must not be later (pot life, assembly): rounded down.

        Returns:
            Minutes.

        Raises:
            Refused: outside the rows.

        >>> glue = Response(Kind.TABLE, rows=((15.0, 3.5), (20.0, 2.25)))
        >>> glue.row_minutes(17.5, opens=True), glue.row_minutes(17.5, opens=False)
        (169, 168)
        """
        self.refuse_outside_rows(temp_c)
        minutes = float(self.row_hours(temp_c)) * 60
        return int(np.ceil(minutes - NEAR_MINUTE) if opens else np.floor(minutes + NEAR_MINUTE))

    def awake_rate(self, temp_c: Floats, rh_pct: Floats) -> Floats:
        """Rate without sleep: continuous in temperature and humidity."""
        if self.kind == Kind.WALL:
            return np.ones(np.broadcast(temp_c, rh_pct).shape)
        heat = self._of_heat(temp_c)
        if self.kind == Kind.WATER_LOSS:
            return np.minimum(heat, self._drying(temp_c, rh_pct))
        if self.kind == Kind.MOISTURE_CURE:
            at, damp, power = self.label_temp_c, self.label_rh_pct, self.damp_power
            return heat * vapour_share(temp_c, rh_pct, at, damp, power)
        if self.kind == Kind.OXIDATION:
            return heat * damp_penalty(rh_pct, self.damp_above_pct)
        return heat

    def which_rule(self, temp_c: Floats, rh_pct: Floats) -> Floats:
        """A height that passes through zero where one rule gives way to another.

        Water loss: the drying air limits below zero, temperature above. Oxidation: damp slows
        above zero. Other responses have one rule: 1 everywhere.
        """
        if self.kind == Kind.WATER_LOSS:
            air = self._drying(temp_c, rh_pct)
            return np.where(np.isinf(air), 1.0, air - self._of_heat(temp_c))
        if self.kind == Kind.OXIDATION:
            return np.where(np.isnan(rh_pct), -1.0, rh_pct - self.damp_above_pct)
        return np.ones(np.shape(temp_c))

    def doubt(self, temp_c: Floats) -> Floats:
        """What the rate is divided by, for the sure figure, below the label temperature.

        The ratio to the upper published activation energy; where none is published
        1 + 0.025 per K below label (our choice); 1 where the label prints rows or states its
        rule, for what cools, and at and above the label temperature.
        """
        below = np.maximum(self.label_temp_c - temp_c, 0.0)
        if not self.doubtful:
            return np.ones(np.shape(below))
        if self.ea_upper_kj_mol is None:
            return 1 + DOUBT_PER_KELVIN * below
        cold = self.label_temp_c - below
        upper = rates.arrhenius(cold, self.label_temp_c, self.ea_upper_kj_mol)
        return np.maximum(self._of_heat(cold) / upper, 1.0)

    @property
    def doubtful(self) -> bool:
        """Whether anything is doubted below the label temperature."""
        certain = (Kind.TABLE, Kind.WALL, Kind.COOLING)
        return not self.states_rule and self.kind not in certain

    def kinks_c(self) -> tuple[float, ...]:
        """Temperatures at which the rate bends or jumps, where a leg has to be split."""
        bends = [self.label_temp_c]
        if self.sleep_below_c is not None:
            bends.append(self.sleep_below_c)
        if self.kind == Kind.TABLE:
            bends.extend(temp for temp, _ in self.rows)
        if self.kind in (Kind.WATER_LOSS, Kind.MOISTURE_CURE):
            bends.append(0.0)  # saturation over ice begins
        if self.kind == Kind.COOLING and self.solid_c is not None:
            bends.append(self.solid_c - rates.STANDS_K)
        return tuple(sorted(set(bends)))

    def reaches_c(self, rate: float) -> float | None:
        """The temperature at which the doubling rule reaches a rate; None for other responses.

        >>> Response(Kind.DOUBLING).reaches_c(2.0)
        30.0
        """
        if self.kind != Kind.DOUBLING:
            return None
        wanted = within("rate", rate, 1e-6, 1e6)
        return float(self.label_temp_c + 10 * np.log(wanted) / np.log(self.q))

    def _drying(self, temp_c: Floats, rh_pct: Floats) -> Floats:
        at, damp = self.label_temp_c, self.label_rh_pct
        return drying_share(temp_c, rh_pct, at, damp, self.air_weight)

    def _of_heat(self, temp_c: Floats) -> Floats:
        """The part of the rate that temperature alone gives."""
        if self.kind == Kind.TABLE:
            return self.row_hours(self.label_temp_c) / self.row_hours(temp_c)
        if self.kind in _NEEDS_ENERGY and self.ea_kj_mol is not None:
            return rates.arrhenius(temp_c, self.label_temp_c, self.ea_kj_mol)
        if self.kind == Kind.COOLING and self.pot_c is not None and self.solid_c is not None:
            return rates.cooling(temp_c, self.pot_c, self.solid_c, self.label_temp_c)
        return rates.doubling(temp_c, self.label_temp_c, self.q)
