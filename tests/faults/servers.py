"""Servers that can be killed and started again on what they had."""

import signal
import time

import redis

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

    def hang(self) -> None:
        """It is there and says nothing."""
        assert self.process is not None
        self.process.send_signal(signal.SIGSTOP)

    def go_on(self) -> None:
        """It says something again."""
        assert self.process is not None
        self.process.send_signal(signal.SIGCONT)

    def flush(self) -> None:
        """All that it kept is gone, as if it had been pushed out of memory."""
        with redis.Redis.from_url(self.url) as client:
            client.flushall()
