"""The lines of a bench's table: printed as they come, and kept for the command that prints them all."""

import os
from pathlib import Path

KEPT = "BENCH_TABLE"  # the file they are kept in, where somebody wants them


def tell(what: str, figure: str, wanted: str = "", good: bool = True) -> None:
    """One line, with the load of the machine beside it, and whether what was wanted was met."""
    load = f"load {os.getloadavg()[0]:.1f}"
    line = f"{what:48} {figure:72} {wanted:34} {'' if good else 'MISSED':6} {load}"
    print(f"\n{line}", flush=True)
    if KEPT in os.environ:
        with Path(os.environ[KEPT]).open("a", encoding="utf-8") as table:
            table.write(f"{line}\n")
