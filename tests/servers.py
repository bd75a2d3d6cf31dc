"""Real servers for the tests: private folders, ports of their own, nothing left behind.

As root they run as the user their package made (or `nobody`): PostgreSQL refuses to be root.
"""

import atexit
import os
import pwd
import re
import shutil
import signal
import socket
import subprocess
import tempfile
import time
from pathlib import Path
from typing import Any

READY_S = 30


class Server:
    """A child process with a folder of its own, ended and removed at exit."""

    user = "nobody"

    def __init__(self) -> None:
        # Not the folder pytest makes: as root that one is closed to every other user.
        self.folder = Path(tempfile.mkdtemp(prefix="cureclock-test-"))
        self.port = free_port()
        self.process: subprocess.Popen[bytes] | None = None
        atexit.register(self.stop)
        if os.geteuid() == 0:
            account = account_of(self.user)
            os.chown(self.folder, account.pw_uid, account.pw_gid)

    def as_user(self) -> dict[str, Any]:
        if os.geteuid():
            return {"cwd": "/"}
        account = account_of(self.user)
        return {"cwd": "/", "user": account.pw_uid, "group": account.pw_gid, "extra_groups": []}

    def start(self, command: list[str]) -> None:
        log = (self.folder / "log").open("wb")
        with log:
            self.process = subprocess.Popen(
                command, stdout=log, stderr=log, start_new_session=True, **self.as_user()
            )
        give_up = time.monotonic() + READY_S
        while not self.is_ready():
            if self.process.poll() is not None or time.monotonic() > give_up:
                said = (self.folder / "log").read_text(errors="replace")
                self.stop()
                raise RuntimeError(f"{command[0]} did not start:\n{said}")
            time.sleep(0.02)

    def is_ready(self) -> bool:
        with socket.socket() as knock:
            return knock.connect_ex(("127.0.0.1", self.port)) == 0

    def stop(self, with_signal: int = signal.SIGQUIT) -> None:
        if self.process and self.process.poll() is None:
            self.process.send_signal(with_signal)
            try:
                self.process.wait(timeout=5)
            except subprocess.TimeoutExpired:
                self.process.kill()
                self.process.wait()
        shutil.rmtree(self.folder, ignore_errors=True)
        atexit.unregister(self.stop)


class Postgres(Server):
    user = "postgres"

    def __init__(self) -> None:
        super().__init__()
        data = self.folder / "data"
        options = ["-U", "cureclock", "-A", "trust", "-E", "UTF8", "--no-sync", "--no-instructions"]
        subprocess.run(
            [postgres_program("initdb"), "-D", str(data), *options],
            check=True,
            stdout=subprocess.DEVNULL,
            env={**os.environ, "LC_ALL": "C.UTF-8"},
            **self.as_user(),
        )
        settings = {
            "listen_addresses": "127.0.0.1",
            "port": self.port,
            "unix_socket_directories": self.folder,
            "fsync": "off",
            "synchronous_commit": "off",
            "full_page_writes": "off",
        }
        pairs = [word for name, value in settings.items() for word in ("-c", f"{name}={value}")]
        self.start([postgres_program("postgres"), "-D", str(data), *pairs])
        self.url = f"postgres://cureclock@127.0.0.1:{self.port}/postgres"

    def is_ready(self) -> bool:
        state = self.folder / "data" / "postmaster.pid"
        return state.exists() and "ready" in state.read_text()


class Redis(Server):
    user = "redis"

    def __init__(self) -> None:
        super().__init__()
        quiet = ["--save", "", "--appendonly", "no", "--dir", str(self.folder)]
        where = ["--port", str(self.port), "--bind", "127.0.0.1"]
        self.start([program("redis-server"), *where, *quiet])
        self.url = f"redis://127.0.0.1:{self.port}/0"

    def stop(self, with_signal: int = signal.SIGTERM) -> None:
        super().stop(with_signal)


class Mosquitto(Server):
    """A broker; `password` lets in only who knows it."""

    user = "mosquitto"

    def __init__(self, password: str = "") -> None:
        super().__init__()
        lines = [f"listener {self.port} 127.0.0.1", "persistence false"]
        if password:
            kept = self.folder / "passwords"
            made = [program("mosquitto_passwd"), "-b", "-c", str(kept), "shed", password]
            subprocess.run(made, check=True, **self.as_user())
            lines.append(f"password_file {kept}")
        lines.append(f"allow_anonymous {str(not password).lower()}")
        self.settings = self.folder / "mosquitto.conf"
        self.settings.write_text("\n".join(lines) + "\n")
        self.again()

    def again(self) -> None:
        """Start it, on the port it had."""
        self.start([program("mosquitto"), "-c", str(self.settings)])

    def kill(self) -> None:
        """As if the power went."""
        assert self.process
        self.process.kill()
        self.process.wait()

    def stop(self, with_signal: int = signal.SIGTERM) -> None:
        super().stop(with_signal)


class Nginx(Server):
    """A web server in front of ours, by a file of settings but with ports and folders of its own.

    Args:
        settings: what goes inside http {}.
        behind: port of the server behind it.
        certificate: PEM, with its key.
    """

    user = "www-data"

    def __init__(self, settings: Path, behind: int, certificate: bytes) -> None:
        super().__init__()
        self.plain_port = free_port()
        own = self.folder / "server.pem"
        own.write_bytes(certificate)
        text = settings.read_text()
        text = text.replace("127.0.0.1:8001", f"127.0.0.1:{behind}")
        text = re.sub(r"(listen (?:\[::\]:)?)443", rf"\g<1>{self.port}", text)
        text = re.sub(r"(listen (?:\[::\]:)?)80;", rf"\g<1>{self.plain_port};", text)
        text = re.sub(r"/etc/ssl/glue/\w+\.pem", str(own), text)
        text = text.replace("/var/log/nginx", str(self.folder))
        if not Path("/proc/net/if_inet6").exists():
            text = re.sub(r"(?m)^.*\[::\].*\n", "", text)
        pieces = ("client_body", "proxy", "fastcgi", "uwsgi", "scgi")
        folders = " ".join(f"{one}_temp_path {self.folder / one};" for one in pieces)
        self.settings = self.folder / "nginx.conf"
        self.settings.write_text(
            f"pid {self.folder / 'pid'};\nerror_log {self.folder / 'start.log'};\n"
            f"events {{}}\nhttp {{\n{folders}\n{text}}}\n"
        )
        command = [program("nginx"), "-e", "stderr", "-p", str(self.folder)]
        command += ["-c", str(self.settings)]
        checked = subprocess.run(
            [*command, "-t"], capture_output=True, text=True, check=False, **self.as_user()
        )
        self.found = checked.stderr
        self.start([*command, "-g", "daemon off;"])

    def logged(self, *wanted: str) -> str:
        """All that it wrote down, in whatever log, once what is wanted stands there."""
        give_up = time.monotonic() + READY_S
        while True:
            logs = (one for one in self.folder.iterdir() if "log" in one.name)
            found = "".join(one.read_text() for one in logs)
            if all(one in found for one in wanted) or time.monotonic() > give_up:
                return found
            time.sleep(0.02)


def free_port() -> int:
    with socket.socket() as asking:
        asking.bind(("127.0.0.1", 0))
        return int(asking.getsockname()[1])


def account_of(user: str) -> pwd.struct_passwd:
    try:
        return pwd.getpwnam(user)
    except KeyError:
        return pwd.getpwnam("nobody")


def postgres_program(name: str) -> str:
    """Debian keeps PostgreSQL's programs out of PATH, by version; the newest is taken."""
    kept = Path("/usr/lib/postgresql").glob(f"*/bin/{name}")
    newest = sorted(kept, key=lambda path: float(path.parts[-3]))
    return str(newest[-1]) if newest else program(name)


def program(name: str) -> str:
    found = shutil.which(name) or shutil.which(name, path="/usr/sbin:/usr/local/sbin")
    if found is None:
        raise RuntimeError(f"{name} is missing; `python3 manage.py test` says how to install it.")
    return found
