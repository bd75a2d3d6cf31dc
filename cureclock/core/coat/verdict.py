"""Is this air fit for a coat, now and until the coat no longer minds?"""

from dataclasses import dataclass
from enum import IntFlag, StrEnum

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cureclock.core.coat.air import DRIEST_PCT, dew_point_c
from cureclock.core.refusal import Refused, within
from cureclock.core.units import DAY_US
from cureclock.core.wood.entry import humidity_pct, rising_us, shop_temp_c

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

# 3 K above the dew point and at most 85 % RH are written for steel before painting (ISO 8502-4,
# ISO 12944-7, as restated). Using them for wood is an analogy; the label stands above both.
DEW_GAP_K = 3.0
STEEL_RH_PCT = 85.0
BORROWED = "The 3 K above dew point and 85 % humidity are rules for steel, borrowed for wood."
NEVER = np.iinfo(np.int64).max


class Word(StrEnum):
    """What to do about a coat."""

    GO = "go"
    WAIT = "wait"
    STOP = "stop"


class Unfit(IntFlag):
    """What is wrong with the air; several may hold at once."""

    NOTHING = 0
    COLD = 1
    DAMP = 2
    DEW = 4


@dataclass(frozen=True)
class AirLimits:
    """What a coat's label asks of the air.

    Args:
        min_temp_c: coldest air and wood [degC], -10 to 40.
        max_rh_pct: dampest air [%], 20 to 100. Default 85, borrowed from steel.
        dew_gap_k: how far the wood has to be above the dew point [K], 0 to 15. Default 3,
            borrowed from steel.

    Raises:
        Refused: naming the limit.

    Example:
        >>> AirLimits(min_temp_c=15, max_rh_pct=65).dew_gap_k
        3.0
    """

    min_temp_c: float
    max_rh_pct: float = STEEL_RH_PCT
    dew_gap_k: float = DEW_GAP_K

    def __post_init__(self) -> None:
        within("coldest air for the coat", self.min_temp_c, -10, 40, "degC")
        within("dampest air for the coat", humidity_pct(self.max_rh_pct), 20, 100, "%")
        within("gap to the dew point", self.dew_gap_k, 0, 15, "K")


def unfit_for_coat(
    temp_c: ArrayLike, rh_pct: ArrayLike, wood_temp_c: ArrayLike, limits: AirLimits
) -> NDArray[np.int64]:
    """What is wrong with the air for a coat, for any number of moments.

    Args:
        temp_c: air temperature [degC], -40 to 50.
        rh_pct: relative humidity [%], 0 or 1 to 100.
        wood_temp_c: temperature of the wood's face [degC], -40 to 50.
        limits: what the label asks.

    Returns:
        Unfit flags for each moment; 0 where nothing is wrong.

    Raises:
        Refused: a figure outside its range, or a likely slip of unit.

    Valid for:
        Coats on wood. The dew rule is borrowed from steel.
    Assumes:
        The face is as warm as the wood temperature given.
    Source:
        ISO 8502-4 (dew point + 3 K), ISO 12944-7 (85 % RH), as restated; for steel.

    Example:
        >>> Unfit(int(unfit_for_coat(16, 71, 13, AirLimits(min_temp_c=10)))).name
        'DEW'
    """
    temp = shop_temp_c(temp_c)
    rh = humidity_pct(rh_pct)
    wood = shop_temp_c(wood_temp_c, "wood temperature")
    dew = dew_point_c(temp, np.maximum(rh, DRIEST_PCT))
    cold = (temp < limits.min_temp_c) | (wood < limits.min_temp_c)
    damp = rh > limits.max_rh_pct
    wet = wood < dew + limits.dew_gap_k
    return np.asarray(cold * int(Unfit.COLD) + damp * int(Unfit.DAMP) + wet * int(Unfit.DEW))


@dataclass(frozen=True)
class AirVerdict:
    """Whether to coat now.

    Attributes:
        word: go, wait or stop.
        unfit: Unfit flags at each moment given.
        fit_until_us: last moment [us] up to which the air stays fit from the start; below the
            start where it is not fit now.
        spoilt_by: what ends the fit spell, NOTHING where it lasts.
        wait_until_us: first later moment [us] from which it is fit long enough; NEVER if none.
    """

    word: Word
    unfit: Ints
    start_us: int
    fit_until_us: int
    spoilt_by: Unfit
    wait_until_us: int

    def lets_through(self, gate_us: ArrayLike) -> NDArray[np.bool_]:
        """Which gates of a coat begun at the start are reached while the air stays fit.

        Args:
            gate_us: durations [us] from the start to each gate (dust-free, touch, recoat...).

        Returns:
            True for each gate that is reached in fit air.
        """
        duration = np.asarray(gate_us, dtype=np.int64)
        return np.asarray(duration <= self.fit_until_us - self.start_us)


def air_verdict(
    at_us: ArrayLike,
    temp_c: ArrayLike,
    rh_pct: ArrayLike,
    wood_temp_c: ArrayLike,
    *,
    wet_us: int,
    limits: AirLimits,
) -> AirVerdict:
    """Go, wait or stop: the air has to be fit now and until the coat is touch dry.

    Args:
        at_us: moments [us], rising; the first is now, the rest what is expected. An hour apart
            or less: between two moments nothing is looked at.
        temp_c: air temperature at them [degC], -40 to 50.
        rh_pct: relative humidity at them [%], 0 or 1 to 100.
        wood_temp_c: temperature of the wood's face at them [degC], -40 to 50.
        wet_us: how long a coat minds the air [us], 0 to 60 days: to touch dry, at the expected
            temperature.
        limits: what the label asks.

    Returns:
        An AirVerdict. Go: fit now and throughout. Wait: not so, but from a later moment given.
        Stop: from no moment given.

    Raises:
        Refused: a figure outside its range, moments that do not rise or pair, or moments that
            end before the coat would be dry.

    Valid for:
        One place.
    Assumes:
        A later start stays wet as long as one now.
    Source:
        As `unfit_for_coat`; through the night: common practice, no source.

    Example:
        18 degC and 60 % in the afternoon, 11 degC at four in the morning:

        >>> hour = 3_600_000_000
        >>> at = np.arange(13) * hour
        >>> temp = np.linspace(18, 11, 13)
        >>> from cureclock.core.coat.air import night_rh_pct
        >>> damp = night_rh_pct(18, 60, temp)
        >>> limits = AirLimits(min_temp_c=10, max_rh_pct=75)
        >>> for wet in (2, 12):
        ...     print(air_verdict(at, temp, damp, temp, wet_us=wet * hour, limits=limits).word)
        go
        stop
    """
    at = rising_us(at_us, "moments of the air")
    unfit = unfit_for_coat(temp_c, rh_pct, wood_temp_c, limits)
    if unfit.shape not in ((), at.shape):
        raise Refused("moments of the air", f"{at.size}", f"as many as the air has, {unfit.size}")
    unfit = np.broadcast_to(unfit, at.shape)
    wet = int(within("time the coat stays wet", wet_us, 0, 60 * DAY_US, "us"))
    if at[-1] - at[0] < wet:
        raise Refused("moments of the air", "end", "when the coat no longer minds, or later")
    fit_until, spoiler = _fit_spells(at, unfit)
    enough = (unfit == 0) & (fit_until - at >= wet)
    later = at[np.argmax(enough)] if enough.any() else NEVER
    word = Word.GO if enough[0] else Word.WAIT if enough.any() else Word.STOP
    ends_at = int(fit_until[0])
    return AirVerdict(word, unfit, int(at[0]), ends_at, Unfit(int(spoiler[0])), int(later))


def _fit_spells(at: Ints, unfit: Ints) -> tuple[Ints, Ints]:
    """For each moment, the last fit moment of its spell and what ended the spell."""
    index = np.arange(len(at))
    first_bad = np.where(unfit > 0, index, len(at))
    first_bad = np.minimum.accumulate(first_bad[::-1])[::-1]
    before = np.append(at[0] - 1, at)
    spoiler = np.append(unfit, 0)
    return before[first_bad], spoiler[first_bad]
