"""Wet film, dry film and how far a litre spreads."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cureclock.core.refusal import Refused, within

Floats = NDArray[np.float64]

THINNEST_UM, THICKEST_UM = 1.0, 5000.0


def volume_solids_pct(volume_pct: ArrayLike, weight_solids_pct: ArrayLike | None = None) -> Floats:
    """Return a coating's solids by volume, or refuse a figure that must be by weight.

    Args:
        volume_pct: the part of a litre that stays in the film [%], 1 to 100.
        weight_solids_pct: solids by weight from the same sheet [%], 1 to 100; None where the
            sheet gives none.

    Returns:
        Solids by volume [%].

    Raises:
        Refused: a fraction typed for a percentage (0.35 for 35). A figure that is not below
            the solids by weight: what stays is heavier than what leaves, so solids by volume
            are always the smaller.

    Valid for:
        Any coating. Without the figure by weight the slip cannot be seen.
    Assumes:
        Solids denser than the liquid (true of every resin and pigment).
    Source:
        Definition, ISO 3233 / ASTM D2697.

    Example:
        >>> float(volume_solids_pct(35, weight_solids_pct=42))
        35.0
        >>> volume_solids_pct(42, weight_solids_pct=42)
        Traceback (most recent call last):
        cureclock.core.refusal.Refused: volume solids 42 % is outside the valid range: \
below the 42 % by weight; this looks like the figure by weight
    """
    volume = within("volume solids", volume_pct, 0, 100, "%")
    if np.any(volume < 1):
        lowest = f"{float(volume.min()):g} %"
        raise Refused("volume solids", lowest, "1 to 100 %; 35 % is written 35, not 0.35")
    if weight_solids_pct is None:
        return volume
    weight = within("weight solids", weight_solids_pct, 1, 100, "%")
    volume, weight = np.broadcast_arrays(volume, weight)
    wrong = (volume >= weight) & (weight < 100)
    if wrong.any():
        at = np.flatnonzero(wrong)[0]
        raise Refused(
            "volume solids",
            f"{volume.flat[at]:g} %",
            f"below the {weight.flat[at]:g} % by weight; this looks like the figure by weight",
        )
    return volume


def volume_of_weight_solids_pct(
    weight_solids_pct: ArrayLike, coating_kg_l: ArrayLike, liquid_kg_l: ArrayLike
) -> Floats:
    """Solids by volume from solids by weight and two densities.

    Args:
        weight_solids_pct: solids by weight [%], 1 to 100.
        coating_kg_l: density of the coating [kg/L], 0.7 to 2.5.
        liquid_kg_l: density of what leaves: water 1.0, white spirit about 0.78 [kg/L],
            0.6 to 1.6.

    Returns:
        Solids by volume [%].

    Raises:
        Refused: a figure outside its range, or figures that leave no volume for the solids.

    Valid for:
        One liquid, or a mixture by its mean density.
    Assumes:
        Volumes add up. Measured figures come out a little higher (ISO 3233).
    Source:
        100 - (100 - W) x density of the coating/density of the liquid.

    Example:
        >>> print(f"{volume_of_weight_solids_pct(45, 0.90, 0.78):.1f}")
        36.5
    """
    weight = within("weight solids", weight_solids_pct, 1, 100, "%")
    coating = within("density of the coating", coating_kg_l, 0.7, 2.5, "kg/L")
    liquid = within("density of the liquid", liquid_kg_l, 0.6, 1.6, "kg/L")
    volume = 100 - (100 - weight) * coating / liquid
    if np.any(volume < 1):
        raise Refused("weight solids", "with these densities", "figures that leave some solids")
    return volume


def spreading_rate_m2_l(dry_film_um: ArrayLike, volume_pct: ArrayLike) -> Floats:
    """How far one litre goes for a wanted dry film, with nothing lost.

    Args:
        dry_film_um: dry film [um], 1 to 5000.
        volume_pct: solids by volume [%], 1 to 100.

    Returns:
        Spreading rate [m2/L] = 10 x solids % / dry film.

    Raises:
        Refused: a figure outside its range, or a fraction typed for the solids.

    Valid for:
        Smooth faces; bare open-pored wood drinks more.
    Assumes:
        Nothing lost; see `practical_rate_m2_l`.
    Source:
        Arithmetic. Published example: 65 % and 125 um give 5.2 m2/L.

    Example:
        >>> print(f"{spreading_rate_m2_l(125, 65):.1f}")
        5.2
    """
    return 10 * volume_solids_pct(volume_pct) / _film("dry film", dry_film_um)


def practical_rate_m2_l(rate_m2_l: ArrayLike, loss_fraction: ArrayLike) -> Floats:
    """How far one litre goes when a part of it stays on the brush, the rag or the floor.

    Args:
        rate_m2_l: spreading rate with nothing lost [m2/L], 0.1 to 1000.
        loss_fraction: part of the litre that is lost [-], 0 to 0.9.

    Returns:
        Practical spreading rate [m2/L].

    Raises:
        Refused: a figure outside its range.

    Valid for:
        Any coating.
    Assumes:
        The loss is a share of what is poured.
    Source:
        Theoretical rate x (1 - loss), as coating dictionaries print it (100 and 30 % give 70).

    Example:
        >>> print(f"{practical_rate_m2_l(100, 0.3):.0f}")
        70
    """
    rate = within("spreading rate", rate_m2_l, 0.1, 1000, "m2/L")
    return rate * (1 - within("loss", loss_fraction, 0, 0.9))


def wet_film_um(
    dry_film_um: ArrayLike, volume_pct: ArrayLike, thinner_fraction: ArrayLike = 0.0
) -> Floats:
    """The wet film to lay for a wanted dry film.

    Args:
        dry_film_um: dry film [um], 1 to 5000.
        volume_pct: solids by volume before thinning [%], 1 to 100.
        thinner_fraction: thinner added to one part of coating, by volume [-], 0 to 2.

    Returns:
        Wet film [um] = dry (1 + thinner)/solids.

    Raises:
        Refused: a figure outside its range, or a fraction typed for the solids.

    Valid for:
        Level films on faces that do not drink.
    Assumes:
        All the thinner leaves.
    Source:
        Coating arithmetic; published example 8 mil wet, 35 %, 10 % thinned: 2.5 mil dry.

    Example:
        >>> print(f"{wet_film_um(25, 35):.1f}")
        71.4
    """
    solids = volume_solids_pct(volume_pct) / 100
    return _film("dry film", dry_film_um) * _thinned(thinner_fraction) / solids


def dry_film_um(
    wet_film: ArrayLike, volume_pct: ArrayLike, thinner_fraction: ArrayLike = 0.0
) -> Floats:
    """The dry film that a wet film leaves.

    Args:
        wet_film: wet film [um], 1 to 5000.
        volume_pct: solids by volume before thinning [%], 1 to 100.
        thinner_fraction: thinner added to one part of coating, by volume [-], 0 to 2.

    Returns:
        Dry film [um] = wet x solids/(1 + thinner).

    Raises:
        Refused: a figure outside its range, or a fraction typed for the solids.

    Valid for:
        As `wet_film_um`.
    Assumes:
        As `wet_film_um`.
    Source:
        As `wet_film_um`.

    Example:
        >>> print(f"{dry_film_um(8 * 25.4, 35, 0.10) / 25.4:.4f}")
        2.5455
    """
    solids = volume_solids_pct(volume_pct) / 100
    return _film("wet film", wet_film) * solids / _thinned(thinner_fraction)


def wet_film_of_rate_um(rate_m2_l: ArrayLike) -> Floats:
    """The wet film that a spreading rate lays.

    Args:
        rate_m2_l: what one litre is spread over [m2/L], 0.1 to 1000.

    Returns:
        Wet film [um] = 1000/rate.

    Raises:
        Refused: the rate outside its range.

    Valid for:
        Level films on faces that do not drink.
    Assumes:
        Nothing lost.
    Source:
        Arithmetic: one litre over one square metre is one millimetre.

    Example:
        >>> print(f"{wet_film_of_rate_um(12):.0f}")
        83
    """
    return 1000 / within("spreading rate", rate_m2_l, 0.1, 1000, "m2/L")


def _film(quantity: str, film_um: ArrayLike) -> Floats:
    return within(quantity, film_um, THINNEST_UM, THICKEST_UM, "um")


def _thinned(thinner_fraction: ArrayLike) -> Floats:
    return 1 + within("thinner", thinner_fraction, 0, 2)
