"""The two lists of exact packages, and the sign by which anyone can tell they are in step."""

import hashlib
import subprocess
import tomllib
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
EXTRAS = {"base": ["postgres"], "test": ["postgres", "test"]}
SIGN = "# made from pyproject.toml "


def lock_file(which: str) -> Path:
    return Path(__file__).with_name(f"requirements-{which}.lock")


def sign(which: str, pyproject: bytes) -> str:
    """The first line of a lock: a digest of everything in pyproject.toml that the lock answers."""
    project = tomllib.loads(pyproject.decode())["project"]
    asked = [project["requires-python"], sorted(project["dependencies"])]
    asked += [sorted(project["optional-dependencies"][extra]) for extra in EXTRAS[which]]
    return SIGN + hashlib.sha256(repr(asked).encode()).hexdigest()


def in_step(which: str, pyproject: bytes) -> bool:
    with lock_file(which).open() as lock:
        return lock.readline().rstrip("\n") == sign(which, pyproject)


def remake(uv: str, *, upgrade: bool) -> None:
    """Test first, base held to its versions: what is served is then what was tested."""
    compile_lock(uv, "test", ["--upgrade"] if upgrade else [])
    compile_lock(uv, "base", ["--upgrade", "--constraints", str(lock_file("test"))])


def compile_lock(uv: str, which: str, options: list[str]) -> None:
    """Hash-locked and without a host name: it installs from any mirror, and from no other bytes."""
    extras = [word for extra in EXTRAS[which] for word in ("--extra", extra)]
    shape = ["--universal", "--python-version", "3.11", "--generate-hashes"]
    shape += ["--no-header", "--no-annotate"]
    out = lock_file(which)
    subprocess.run(
        [
            uv,
            "pip",
            "compile",
            "--quiet",
            *shape,
            *extras,
            *options,
            "-o",
            str(out),
            "pyproject.toml",
        ],
        cwd=ROOT,
        check=True,
    )
    out.write_text(f"{sign(which, (ROOT / 'pyproject.toml').read_bytes())}\n{out.read_text()}")
