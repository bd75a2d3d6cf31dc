"""How hard a joint is pressed: by the density of the wood, within what the adhesive allows."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cureclock.core.refusal import Refused, within

Floats = NDArray[np.float64]

LEAST_KPA, MOST_KPA = 700.0, 1700.0  # low- to high-density woods; Wood Handbook, from memory
LIGHT_KG_M3 = 400.0  # the density at which the least pressure does; common practice
RISE_KPA_M3_KG = 2.0  # 1 MPa for 500 kg/m3; common practice

NUT_DRY, NUT_LUBRICATED = 0.20, 0.15  # nut factor K of a steel screw; common practice


def density_pressure_kpa(density_kg_m3: ArrayLike) -> Floats:
    """How hard to press a joint in wood of this density.

    Args:
        density_kg_m3: density of the denser of the two woods [kg/m3], 50 to 1500.

    Returns:
        Pressure on the glue line [kPa], 0.7 + (density - 400)/500 MPa, kept in 0.7 to 1.7 MPa.

    Raises:
        Refused: naming the density.

    Valid for:
        Well-fitting faces and adhesives that want pressure; not epoxy, which wants contact only.

    Assumes:
        Straight from the lightest to the heaviest woods.

    Source:
        The ends of the range: USDA Wood Handbook, chapter on adhesives, 0.7 MPa (100 psi) for
        low density to 1.7 MPa (247 psi) for the highest, from memory. The line between them:
        common practice, no source.

    Example:
        >>> density_pressure_kpa([300, 560, 680, 1100]).tolist()
        [700.0, 1020.0, 1260.0, 1700.0]
    """
    density = within("density", density_kg_m3, 50, 1500, "kg/m3")
    return np.clip(LEAST_KPA + RISE_KPA_M3_KG * (density - LIGHT_KG_M3), LEAST_KPA, MOST_KPA)


def adhesive_pressure_kpa(
    density_kg_m3: ArrayLike, least_kpa: ArrayLike, most_kpa: ArrayLike
) -> Floats:
    """The pressure for this wood, kept within what the adhesive's label asks for.

    Args:
        density_kg_m3: density of the denser of the two woods [kg/m3], 50 to 1500.
        least_kpa: least pressure of the adhesive [kPa], 0 to 5000; 0 for contact only.
        most_kpa: most pressure of the adhesive [kPa], least to 5000; 0 for contact only.

    Returns:
        Pressure on the glue line [kPa].

    Raises:
        Refused: naming the density or the pressure.

    Valid for:
        As density_pressure_kpa; a contact adhesive or epoxy gives 0 to 0.

    Assumes:
        The label outranks the wood.

    Source:
        The label. As density_pressure_kpa for the wood.

    Example:
        >>> adhesive_pressure_kpa(680, 600, 1000).tolist()
        1000.0
    """
    least = within("least pressure", least_kpa, 0, 5000, "kPa")
    most = within("most pressure", most_kpa, 0, 5000, "kPa")
    if (least > most).any():
        raise Refused("least pressure", f"{np.max(least):g} kPa", "no more than the most")
    return np.clip(density_pressure_kpa(density_kg_m3), least, most)


def press_force_kn(pressure_kpa: ArrayLike, area_m2: ArrayLike) -> Floats:
    """The force that all clamps on a joint have to give together.

    Args:
        pressure_kpa: pressure on the glue line [kPa], 0 to 5000.
        area_m2: area of the largest glue line under the clamps [m2], 0 to 100.

    Returns:
        Force [kN].

    Raises:
        Refused: naming the pressure or the area.

    Valid for:
        Stiff pieces or cauls.

    Assumes:
        The pressure is even over the joint.

    Source:
        Pressure is force by area.

    Example:
        >>> press_force_kn(1020, 0.44 * 0.022).round(1).tolist()
        9.9
    """
    pressure = within("pressure", pressure_kpa, 0, 5000, "kPa")
    return pressure * within("area", area_m2, 0, 100, "m2")


def screw_torque_nm(force_kn: ArrayLike, screw_mm: ArrayLike, nut_factor: ArrayLike) -> Floats:
    """How hard to turn a screw press or a bolt for a force.

    Args:
        force_kn: force wanted [kN], 0 to 1000.
        screw_mm: nominal diameter of the screw [mm], 3 to 100.
        nut_factor: K [-], 0.05 to 0.5; about 0.20 dry, 0.15 lubricated.

    Returns:
        Torque [N m], T = K D F.

    Raises:
        Refused: naming the argument.

    Valid for:
        Steel screws with ordinary threads.

    Assumes:
        Friction takes most of the torque, so K may be out by a third: measure a clamp that
        matters with a scale.

    Source:
        Common practice of bolted joints; K from bolt tables, no single source.

    Example:
        >>> screw_torque_nm(219.5, 24, 0.2).round(1).tolist()
        1053.6
    """
    force = within("force", force_kn, 0, 1000, "kN")
    diameter = within("screw diameter", screw_mm, 3, 100, "mm")
    return within("nut factor", nut_factor, 0.05, 0.5) * diameter * force


def screw_force_kn(torque_nm: ArrayLike, screw_mm: ArrayLike, nut_factor: ArrayLike) -> Floats:
    """The force a screw gives when it is turned so hard.

    Args:
        torque_nm: torque [N m], 0 to 10000.
        screw_mm: nominal diameter of the screw [mm], 3 to 100.
        nut_factor: K [-], 0.05 to 0.5; about 0.20 dry, 0.15 lubricated.

    Returns:
        Force [kN], F = T / (K D).

    Raises:
        Refused: naming the argument.

    Valid for:
        As screw_torque_nm.

    Assumes:
        As screw_torque_nm.

    Source:
        As screw_torque_nm.

    Example:
        >>> screw_force_kn(82.08, 12, 0.2).round(1).tolist()
        34.2
    """
    torque = within("torque", torque_nm, 0, 10_000, "N m")
    diameter = within("screw diameter", screw_mm, 3, 100, "mm")
    return torque / (within("nut factor", nut_factor, 0.05, 0.5) * diameter)
