"""The shapes a rate can have: how much faster or slower than the label's hour time counts."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cureclock.core.refusal import Refused, within
from cureclock.core.units import KELVIN_OFFSET

Floats = NDArray[np.float64]

GAS_CONSTANT = 8.314462618e-3  # kJ/(mol K); CODATA 2018, exact by definition
Q_RANGE = (1.5, 3.0)  # a label's own two temperatures are kept within this; common practice
COLDEST_C, WARMEST_C = -40.0, 120.0  # readings outside are refused before they come here
LABEL_C = (-10.0, 60.0)
ENERGY = (10.0, 250.0)  # kJ/mol; nothing that sets in a shop lies outside; our bounds
POT_C = (30.0, 250.0)
STANDS_K = 2.0  # glue this near its solid point in air so warm is not waited for; our choice


def doubling(temp_c: ArrayLike, label_temp_c: float = 20.0, q: float = 2.0) -> Floats:
    """The pencil rule: ten degrees warmer is q times as fast.

    Args:
        temp_c: temperature [degC], -40 to 120.
        label_temp_c: temperature the label speaks of [degC], -10 to 60.
        q: factor for 10 K [-], 1.5 to 3.

    Returns:
        Rate q^((T - T_label)/10) [-], 1 at the label temperature.

    Raises:
        Refused: naming the argument.

    Valid for:
        A shop's temperatures, near the label's. Away from it the rule promises too much in the
        cold: 3.5 h at 10 degC from a urea sheet's 20 degC row, where the sheet prints 5 to 6 h.
    Assumes:
        Rule of thumb.
    Source:
        Common practice, no source; q = 2 is an activation energy of 51 kJ/mol at 20 degC.

    Example:
        >>> doubling([20, 10, 0]).tolist()
        [1.0, 0.5, 0.25]
    """
    temp = within("temperature", temp_c, COLDEST_C, WARMEST_C, "degC")
    label = within("label temperature", label_temp_c, *LABEL_C, "degC")
    return np.exp(np.log(within("factor for 10 K", q, *Q_RANGE)) * (temp - label) / 10)


def arrhenius(temp_c: ArrayLike, label_temp_c: float, energy_kj_mol: float) -> Floats:
    """How a reaction, or the evaporation of a solvent, speeds up with warmth.

    Args:
        temp_c: temperature [degC], -40 to 120.
        label_temp_c: temperature the label speaks of [degC], -10 to 60.
        energy_kj_mol: activation energy, or the heat that evaporates a mole [kJ/mol], 10 to 250.

    Returns:
        Rate exp(-E/R (1/T - 1/T_label)) [-], 1 at the label temperature. With the heat of
        evaporation it is the ratio of vapour pressures (Clausius and Clapeyron).

    Raises:
        Refused: naming the argument.

    Valid for:
        One reaction that rules; for vapour pressure, away from boiling.
    Assumes:
        The energy does not change with temperature.
    Source:
        Equivalent age as ASTM C1074 uses it for concrete; R of CODATA 2018.

    Example:
        >>> print(f"{arrhenius(10, 20, 50):.4f}")
        0.4846
    """
    temp = within("temperature", temp_c, COLDEST_C, WARMEST_C, "degC")
    label = within("label temperature", label_temp_c, *LABEL_C, "degC")
    energy = within("activation energy", energy_kj_mol, *ENERGY, "kJ/mol")
    inverse_k = 1 / (temp + KELVIN_OFFSET) - 1 / (label + KELVIN_OFFSET)
    return np.exp(-energy / GAS_CONSTANT * inverse_k)


def energy_of_q(q: float, label_temp_c: float = 20.0) -> float:
    """The activation energy that a factor for 10 K stands for, from the label temperature up.

    Args:
        q: factor for 10 K [-], 1.5 to 3.
        label_temp_c: the lower of the two temperatures [degC], -10 to 60.

    Returns:
        Activation energy [kJ/mol], R ln(q)/(1/T - 1/(T + 10)).

    Raises:
        Refused: naming the argument.

    Valid for:
        These two temperatures.
    Assumes:
        One reaction that rules.
    Source:
        Arrhenius's law; reproduces 52.95 kJ/mol for doubling from 25 to 35 degC.

    Example:
        >>> print(f"{energy_of_q(2, 25):.2f}")
        52.95
    """
    factor = within("factor for 10 K", q, *Q_RANGE)
    cold_k = within("label temperature", label_temp_c, *LABEL_C, "degC") + KELVIN_OFFSET
    return float(GAS_CONSTANT * np.log(factor) / (1 / cold_k - 1 / (cold_k + 10)))


def q_of_two_temperatures(cold_c: float, cold_h: float, warm_c: float, warm_h: float) -> float:
    """The factor for 10 K that a label's own two temperatures give, kept within 1.5 to 3.

    Args:
        cold_c: the colder temperature [degC], -40 to 120.
        cold_h: the label's time at it [h], one second to 20000, not below warm_h.
        warm_c: the warmer temperature [degC], at least 1 K above cold_c.
        warm_h: the label's time at it [h].

    Returns:
        q = (t_cold/t_warm)^(10/(T_warm - T_cold)), kept in 1.5 to 3 [-].

    Raises:
        Refused: naming the argument.

    Valid for:
        The span of the two temperatures.
    Assumes:
        The doubling rule with a factor of its own.
    Source:
        Arithmetic; the bounds are common practice, no source.

    Example:
        >>> q_of_two_temperatures(10, 12.0, 20, 6.0)
        2.0
    """
    within("cold temperature", cold_c, COLDEST_C, WARMEST_C, "degC")
    within("warm temperature", warm_c, COLDEST_C, WARMEST_C, "degC")
    within("span of the two temperatures", warm_c - cold_c, 1, 160, "K")
    within("cold time", cold_h, 1 / 3600, 20_000, "h")
    within("warm time", warm_h, 1 / 3600, cold_h, "h")
    return float(np.clip((cold_h / warm_h) ** (10 / (warm_c - cold_c)), *Q_RANGE))


def hours_of_rows(temp_c: ArrayLike, rows: tuple[tuple[float, float], ...]) -> Floats:
    """The time a label's own table gives between its rows.

    Args:
        temp_c: temperature [degC], -40 to 120.
        rows: printed (temperature [degC], time [h]) pairs, two or more, temperatures rising,
            times never longer in the warm.

    Returns:
        Hours [h]: ln(time) straight in 1/T between rows, the last row's beyond them.

    Raises:
        Refused: rows that are no table, or a temperature that is none.

    Valid for:
        Between the rows. Whoever starts a wait outside them is refused (`Response`).
    Assumes:
        One reaction between two rows.
    Source:
        Interpolation by Arrhenius's law; agrees with linear and logarithmic ones within 3 %.

    Example:
        >>> float(hours_of_rows(17.5, ((15.0, 3.5), (20.0, 2.25))).round(3))
        2.801
    """
    temp = within("temperature", temp_c, COLDEST_C, WARMEST_C, "degC")
    cold_first = checked_rows(rows)
    inverse = 1 / (cold_first[::-1, 0] + KELVIN_OFFSET)
    log_hours = np.interp(1 / (temp + KELVIN_OFFSET), inverse, np.log(cold_first[::-1, 1]))
    hours: Floats = np.exp(log_hours)
    return hours


def checked_rows(rows: tuple[tuple[float, float], ...]) -> Floats:
    """Return a label's rows as an array, or refuse them.

    Args:
        rows: printed (temperature [degC], time [h]) pairs, -40 to 120 degC and 1 s to 20000 h.

    Returns:
        The pairs, one a line.

    Raises:
        Refused: fewer than two, temperatures that do not rise, or times that grow with warmth.

    Valid for:
        Times that warmth shortens: all that set or dry.
    Source:
        Our own guard.

    Example:
        >>> checked_rows(((15, 3.5), (20, 2.25))).shape
        (2, 2)
    """
    try:
        table = np.asarray(rows, dtype=np.float64)
    except (TypeError, ValueError, OverflowError) as error:
        raise Refused("label rows", repr(rows), "pairs of temperature and hours") from error
    if table.ndim != 2 or table.shape[1] != 2 or len(table) < 2:
        raise Refused("label rows", repr(rows), "two or more pairs of temperature and hours")
    within("row temperature", table[:, 0], COLDEST_C, WARMEST_C, "degC")
    within("row time", table[:, 1], 1 / 3600, 20_000, "h")
    if (np.diff(table[:, 0]) < 0.1).any():
        raise Refused("label rows", repr(rows), "temperatures rising, by 0.1 K or more")
    if (np.diff(table[:, 1]) > 0).any():
        raise Refused("label rows", repr(rows), "times never longer in the warm")
    return table


def cooling(temp_c: ArrayLike, pot_c: float, solid_c: float, label_temp_c: float) -> Floats:
    """How fast a hot glue cools to the point where it stands, beside the label's air.

    Args:
        temp_c: temperature of air and wood [degC], -40 to 120.
        pot_c: temperature at which it is put on [degC], 30 to 250, 10 K or more above solid_c.
        solid_c: temperature at which it gels or stands [degC], 3 K or more above label_temp_c.
        label_temp_c: temperature the label speaks of [degC], -10 to 60.

    Returns:
        Rate ln((pot - T_label)/(solid - T_label)) / ln((pot - T)/(solid - T)) [-]. It is the
        one rate that falls with warmth. From 2 K below the solid point on it is held: there
        the glue never stands, and `Response` lets its age stand still.

    Raises:
        Refused: naming the argument.

    Valid for:
        Holds of hot-melt and hot hide glue: thin lines that cool in minutes.
    Assumes:
        The line cools as one lump; the air does not change while it cools.
    Source:
        Newton's law of cooling.

    Example:
        >>> print(f"{cooling(10, 60, 33, 20):.2f}")
        1.45
    """
    temp = within("temperature", temp_c, COLDEST_C, WARMEST_C, "degC")
    label = within("label temperature", label_temp_c, *LABEL_C, "degC")
    solid = within("solid point", solid_c, float(label) + STANDS_K + 1, 240, "degC")
    pot = within("pot temperature", pot_c, float(solid) + 10, POT_C[1], "degC")
    felt = np.minimum(temp, solid - STANDS_K)
    rate: Floats = np.log((pot - label) / (solid - label)) / np.log((pot - felt) / (solid - felt))
    return rate
