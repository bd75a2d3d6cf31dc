"""Equilibrium moisture for a year of hourly air: `python tests/bench/bench_moisture.py`.

The house wants it under 5 ms, so that a chart of a year is no wait.
"""

import timeit

import numpy as np

from cureclock.core.wood.moisture import emc_pct, rh_for_emc_pct

HOURS = 365 * 24
LIMIT_MS = 5.0


def year_of_air() -> tuple[np.ndarray, np.ndarray]:
    """Temperature [degC] and humidity [%] of a temperate year, hour by hour."""
    hour = np.arange(HOURS)
    season, day = np.sin(2 * np.pi * hour / HOURS), np.sin(2 * np.pi * hour / 24)
    return 10 + 9 * season + 4 * day, 70 - 10 * season - 12 * day


def best_ms(call: object, rounds: int = 20) -> float:
    """The best of some rounds [ms]."""
    return 1000 * min(timeit.repeat(call, number=1, repeat=rounds))  # type: ignore[arg-type]


def main() -> None:
    temp, rh = year_of_air()
    there = best_ms(lambda: emc_pct(temp, rh))
    back = best_ms(lambda: rh_for_emc_pct(temp, 12.0))
    print(f"moisture from {HOURS} hours of air: {there:.2f} ms (limit {LIMIT_MS:g} ms)")
    print(f"humidity for a wanted moisture, {HOURS} hours: {back:.2f} ms")


if __name__ == "__main__":
    main()
