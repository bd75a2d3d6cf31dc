"""The programs the tests start for real: installed when that is ours to do, else asked for."""

import os
import shutil
import subprocess
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

SYSTEM_FOLDERS = "/usr/sbin:/sbin:/usr/local/sbin"


class Missing(Exception):
    """Programs are missing and could not be installed; the message says how to."""


@dataclass(frozen=True)
class Program:
    name: str
    package: str
    is_there: Callable[[], bool]
    only_long: bool = False


def on_path(name: str) -> Callable[[], bool]:
    return lambda: bool(shutil.which(name) or shutil.which(name, path=SYSTEM_FOLDERS))


def postgres_is_there() -> bool:
    return on_path("postgres")() or any(Path("/usr/lib/postgresql").glob("*/bin/postgres"))


PROGRAMS = (
    Program("PostgreSQL", "postgresql", postgres_is_there),
    Program("Redis", "redis-server", on_path("redis-server")),
    Program("Chromium", "chromium", on_path("chromium")),
    Program("certutil", "libnss3-tools", on_path("certutil")),
    Program("ip", "iproute2", on_path("ip")),
    Program("Mosquitto", "mosquitto", on_path("mosquitto")),
    Program("nginx", "nginx-light", on_path("nginx"), only_long=True),
)


def ensure(say: Callable[[str], object], *, long: bool = False) -> None:
    """As root on Debian and its kin, install what is missing; elsewhere say what to install."""
    wanted = [program for program in PROGRAMS if long or not program.only_long]
    missing = [program for program in wanted if not program.is_there()]
    if not missing:
        return
    names = ", ".join(program.name for program in missing)
    packages = [program.package for program in missing]
    if os.name == "nt" or os.geteuid() or not shutil.which("apt-get"):
        raise Missing(
            f"The tests start real programs, and {names} cannot be found here.\n"
            f"On Debian or Ubuntu: sudo apt-get install --no-install-recommends "
            f"{' '.join(packages)}\n"
            "Or run the part that needs none of them: python3 manage.py test --quick"
        )
    say(f"Installing {names} with the system's package manager ...")
    install(packages)
    still = [program.name for program in missing if not program.is_there()]
    if still:
        raise Missing(f"Installed, yet not found: {', '.join(still)}.")


def install(packages: list[str]) -> None:
    quietly = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    for command in (["update"], ["install", "--yes", "--no-install-recommends", *packages]):
        ended = subprocess.run(
            ["apt-get", "-qq", *command],
            env=quietly,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            check=False,
        )
        if ended.returncode and command[0] == "install":
            raise Missing(f"apt-get could not install {' '.join(packages)}:\n{ended.stdout}")
