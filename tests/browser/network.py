"""A network of a test's own: an address that is not loopback, seen by nobody else."""

import os
import subprocess
from pathlib import Path
from typing import Self

ADDRESS = "10.77.0.1"


class Network:
    """Lives as long as the process that holds it; programs are run inside with `enter`."""

    def __init__(self) -> None:
        mapped = ["--map-root-user"] if os.geteuid() else []
        # `cat` ends when its input does: nothing is left even if this process is killed.
        self.holder = subprocess.Popen(
            ["unshare", "--net", *mapped, "sh", "-c", "echo in; exec cat"],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
        )
        assert self.holder.stdout is not None
        assert self.holder.stdout.readline() == b"in\n", "no network namespace can be made here"
        user = ["--user", "--preserve-credentials"] if mapped else []
        self.enter = ["nsenter", "--target", str(self.holder.pid), "--net", *user]
        self.run("ip", "link", "set", "lo", "up")
        self.run("ip", "address", "add", f"{ADDRESS}/24", "dev", "lo")

    def run(self, *command: str) -> bytes:
        path = {**os.environ, "PATH": os.environ["PATH"] + ":/usr/sbin:/sbin"}
        return subprocess.run(
            [*self.enter, *command], check=True, stdout=subprocess.PIPE, env=path
        ).stdout

    def wrapper(self, program: str, path: Path) -> str:
        """A script that runs the program inside, for those who want one executable."""
        path.write_text(f'#!/bin/sh\nexec {" ".join(self.enter)} {program} "$@"\n')
        path.chmod(0o755)
        return str(path)

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.holder.communicate()
