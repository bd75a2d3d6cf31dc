#!/usr/bin/env python3
"""Every command of CureClock starts here, and brings its own environment along.

Standard library only up to the last lines, and written so that an old Python can still read it
and be told what is missing.
"""

import hashlib
import os
import pathlib
import shutil
import subprocess
import sys

ROOT = pathlib.Path(__file__).resolve().parent
VENV = pathlib.Path(os.environ.get("CURECLOCK_VENV") or ROOT / ".venv")
PYTHON = VENV / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
STAMP = VENV / ".cureclock"
NEEDS_TEST_TOOLS = {"test", "bench", "lock"}


def main():
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "cureclock.runtime.settings")
    outside = sys.prefix == sys.base_prefix and not os.environ.get("CURECLOCK_NO_VENV")
    if outside:
        bootstrap("test" if set(sys.argv[1:2]) & NEEDS_TEST_TOOLS else "base")
        hand_over([str(PYTHON), str(ROOT / "manage.py"), *sys.argv[1:]])
    try:
        from django.core.exceptions import ImproperlyConfigured
        from django.core.management import execute_from_command_line
    except ImportError:
        sys.exit(
            f"This Python environment ({sys.prefix}) lacks CureClock's packages. Leave it and run "
            f"`python3 manage.py`, or install them: python -m pip install -r {lock_file('base')}"
        )
    try:
        execute_from_command_line(sys.argv)
    except ImproperlyConfigured as wrong:
        sys.exit(f"A setting is wrong: {wrong}")


def lock_file(which):
    return ROOT / "cureclock" / "runtime" / f"requirements-{which}.lock"


def bootstrap(which):
    """Make the environment, or bring it up to the lock; nothing to do when the digest is known."""
    if sys.version_info < (3, 11):
        sys.exit(f"CureClock needs Python 3.11 or newer; this is {sys.version.split()[0]}.")
    have = STAMP.read_text().split() if STAMP.exists() else []
    of_another_python = bool(have) and have[0] != python_name()
    if digest(which) in have and PYTHON.exists() and not of_another_python:
        return
    if of_another_python or not PYTHON.exists():
        make_environment(clear=of_another_python)
    print(f"Installing what CureClock needs into {VENV} (can take a minute) ...", flush=True)
    install(which)
    STAMP.write_text("\n".join([python_name(), digest("base"), digest(which)]) + "\n")


def digest(which):
    read = (ROOT / "pyproject.toml", lock_file(which))
    return hashlib.sha256(b"\0".join(path.read_bytes() for path in read)).hexdigest()


def python_name():
    return f"python{sys.version_info[0]}.{sys.version_info[1]}"


def make_environment(clear):
    command = [sys.executable, "-m", "venv", *(["--clear"] if clear else []), str(VENV)]
    if subprocess.call(command):
        shutil.rmtree(str(VENV), ignore_errors=True)  # Debian leaves half of one behind
        sys.exit(
            "python3 -m venv failed. Install your system's venv package first "
            "(Debian or Ubuntu: apt-get install python3-venv), then run this again."
        )


def install(which):
    pip = [str(PYTHON), "-m", "pip"]
    if subprocess.call([*pip, "--version"], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL):
        subprocess.check_call([str(PYTHON), "-m", "ensurepip"], stdout=subprocess.DEVNULL)
    quiet = ["--quiet", "--disable-pip-version-check"]
    locked = ["--require-hashes", "-r", str(lock_file(which))]
    plain = dict(os.environ, PIP_USE_PEP517="1")  # an old pip warns about its older way of building
    if subprocess.call([*pip, "install", *quiet, *locked], env=plain):
        sys.exit(
            "The packages could not be installed; what pip said stands above. The first start "
            "needs the network, later ones do not. Run the same command again when it is back."
        )


def hand_over(command):
    if os.name == "nt":
        sys.exit(subprocess.call(command))
    os.execv(command[0], command)


if __name__ == "__main__":
    try:
        main()
    except KeyboardInterrupt:
        sys.exit("\nStopped.")
