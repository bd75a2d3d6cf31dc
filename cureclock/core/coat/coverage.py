"""How much finish a batch takes."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cureclock.core.refusal import Refused, within

Floats = NDArray[np.float64]

USUAL_LOSS = 0.15  # brush, rag, cup; common practice, no source


def litres(
    area_m2: ArrayLike,
    coats: ArrayLike,
    coverage_m2_l: ArrayLike,
    *,
    pieces: ArrayLike = 1,
    loss_fraction: ArrayLike = USUAL_LOSS,
) -> Floats:
    """Litres of finish for zones of a batch, each with its own coats.

    Args:
        area_m2: area of each zone of one piece [m2], 0 to 1000.
        coats: coats on each zone, 0 to 50.
        coverage_m2_l: what one litre covers [m2/L], 0.1 to 1000.
        pieces: number of pieces with that zone, 0 to 100 000.
        loss_fraction: added for what is lost [-], 0 to 2. Default 0.15, common practice.

    Returns:
        Litres for each zone; add them up for the batch.

    Raises:
        Refused: a figure outside its range. A loss above 2 is a percentage.

    Valid for:
        Any finish whose container says what a litre covers.
    Assumes:
        Every coat takes the same; the first coat on bare wood takes more.
    Source:
        Arithmetic, area x coats/coverage x (1 + loss).

    Example:
        Drums with three coats and stems with two, 24 of each:

        >>> zones = litres([0.0853, 0.0191], [3, 2], 12, pieces=24)
        >>> print(f"{zones.sum():.2f}")
        0.68
    """
    area = within("area", area_m2, 0, 1000, "m2")
    count = within("coats", coats, 0, 50)
    coverage = within("coverage", coverage_m2_l, 0.1, 1000, "m2/L")
    batch = within("pieces", pieces, 0, 100_000)
    loss = within("loss", loss_fraction, 0, 100)
    if np.any(loss > 2):
        raise Refused("loss", f"{float(loss.max()):g}", "0 to 2 as a fraction; 15 % is 0.15 here")
    return area * count * batch / coverage * (1 + loss)
