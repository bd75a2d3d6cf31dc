"""Servers that can be killed and started again on what they had."""

import time

from tests import servers


class Postgres(servers.Postgres):
    """A PostgreSQL that survives its own death."""

    command: list[str]

    def start(self, command: list[str]) -> None:
        self.command = command
        super().start(command)

    def crash(self) -> None:
        """kill -9; its children see that it is gone and end."""
        assert self.process is not None
        self.process.kill()
        self.process.wait()

    def restart(self) -> None:
        """The same data again."""
        time.sleep(1)  # its children let go of the shared memory
        (self.folder / "data" / "postmaster.pid").unlink(missing_ok=True)
        super().start(self.command)


class Redis(servers.Redis):
    """A Redis that can be killed."""

    def crash(self) -> None:
        """kill -9."""
        assert self.process is not None
        self.process.kill()
        self.process.wait()
