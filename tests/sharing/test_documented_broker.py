"""The broker of pourcoach/sharing/README.md, set up by its own commands: TLS, passwords, rights."""

import os
import pty
import re
import shutil
import socket
import ssl
import subprocess
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from pourcoach.sharing.listener import Listener
from pourcoach.sharing.room import PASSWORD_VARIABLE, Room
from tests.sharing.made_station import Brew, Library, one, sharer, tape_in, until
from tests.sharing.mosquitto import Mosquitto, free_port, needs_mosquitto

README = Path(__file__).parents[2] / "pourcoach" / "sharing" / "README.md"
needs_tools = pytest.mark.skipif(
    None in (shutil.which("openssl"), shutil.which("mosquitto_passwd")),
    reason="there is no openssl or no mosquitto_passwd on this machine",
)
pytestmark = [needs_mosquitto, needs_tools, pytest.mark.usefixtures("quick")]
PASSWORDS = {"trainer": "a long one", "station3": "another"}


def blocks(step: int) -> list[str]:
    """The code of one numbered step."""
    (text,) = re.findall(rf"^{step}\. .*?(?=^\d\. |^## )", README.read_text(), re.M | re.S)
    return [
        re.sub(r"^   ", "", code, flags=re.M)
        for code in re.findall(r"^   ```(?:sh)?\n(.*?)^   ```", text, re.M | re.S)
    ]


class Documented:
    """The broker, on another port, host and folder than it is written."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.etc = folder, folder / "etc"
        self.port = free_port()
        (self.etc / "conf.d").mkdir(parents=True)
        (make,) = blocks(1)
        self._run(make)
        (users,) = blocks(2)
        for command in users.splitlines():
            self._type(command, PASSWORDS[command.split()[-1]])
        for step, name in ((3, "rights"), (4, "class.conf")):
            (text,) = blocks(step)
            (folder / name).write_text(self._here(text))
        (install,) = blocks(5)
        *copies, restart = install.splitlines()
        assert restart == "sudo systemctl restart mosquitto"
        for copy in copies:
            command = copy.removeprefix("sudo ")
            if os.geteuid() != 0:
                command = command.replace("-o mosquitto -g mosquitto ", "")
            self._run(command)
        self.ca = folder / "authority.pem"

    def _here(self, text: str) -> str:
        text = text.replace("/etc/mosquitto", str(self.etc)).replace("8883", str(self.port))
        return text.replace("broker.example", "localhost")

    def _run(self, commands: str) -> None:
        subprocess.run(
            ["sh", "-ec", self._here(commands)], cwd=self.folder, check=True, capture_output=True
        )

    def _type(self, command: str, password: str) -> None:
        """Run what asks for a password, and type it twice."""
        keys, terminal = pty.openpty()
        try:
            with subprocess.Popen(
                command.split(), cwd=self.folder, stdin=terminal, stdout=subprocess.PIPE
            ) as asking:
                assert asking.stdout is not None
                for _ in range(2):
                    # What is typed before it is asked for is thrown away.
                    said = b""
                    while not said.endswith(b": "):
                        said += asking.stdout.read(1)
                    os.write(keys, f"{password}\n".encode())
                asking.stdout.read()
            assert asking.returncode == 0
        finally:
            os.close(keys)
            os.close(terminal)

    def room(self, who: str, host: str = "localhost", ca: Path | None = None) -> Room:
        return Room.parse(f"mqtts://{who}@{host}:{self.port}/morning?ca={ca or self.ca}")


@pytest.fixture(scope="module")
def documented() -> Iterator[Documented]:
    # Not pytest's own folder: the broker, which is not root for long, has to get into it.
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        folder.chmod(0o755)
        made = Documented(folder)
        broker = Mosquitto(folder, made.port, made.etc / "conf.d" / "class.conf")
        broker.start()
        yield made
        broker.kill()


@pytest.fixture
def trainer(documented: Documented, monkeypatch: pytest.MonkeyPatch) -> Iterator[Listener]:
    """A wall that is connected; its password is no other's."""
    monkeypatch.setenv(PASSWORD_VARIABLE, PASSWORDS["trainer"])
    library = Library()
    listener = Listener(documented.room("trainer"), library.land, library.has)
    listener.trouble = "not yet"
    with listener:
        until(lambda: listener.trouble is None)
        yield listener


def test_tiles_and_recordings_go_through(
    documented: Documented, trainer: Listener, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(PASSWORD_VARIABLE, PASSWORDS["station3"])
    with sharer(documented.room("station3"), tmp_path, Brew("3")) as station:
        station.send(tape_in(tmp_path), name=True)
        until(lambda: one(trainer) is not None and station.waiting == 0)
        assert station.trouble is None
    seen = one(trainer)
    assert seen is not None
    assert seen.name == "3"
    assert trainer.arrived == 1
    assert trainer.trouble is None


def test_a_station_cannot_speak_for_another(
    documented: Documented, trainer: Listener, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(PASSWORD_VARIABLE, PASSWORDS["station3"])
    room = documented.room("station3")
    with sharer(room, tmp_path, Brew("4")) as liar, sharer(room, tmp_path, Brew("3")):
        taken = trainer.heard.taken
        until(lambda: liar.sent > 2 and trainer.heard.taken > taken + 3)
    assert [seen.name for seen in trainer.seen()] == ["3"]


@pytest.mark.parametrize("password", ["", "a wrong one"])
def test_a_wrong_password_is_reported_in_a_sentence(
    documented: Documented, password: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(PASSWORD_VARIABLE, password)
    with Listener(documented.room("trainer"), Library().land, Library().has) as listener:
        until(lambda: listener.trouble is not None)
        assert "no connection to the broker localhost: " in str(listener.notice)
        assert "Not authorized" in str(listener.notice)
        assert PASSWORD_VARIABLE in str(listener.notice)


# The client library leaves the socket of a handshake that failed to the garbage collector.
handshake_fails = pytest.mark.filterwarnings(
    "ignore::pytest.PytestUnraisableExceptionWarning", "ignore::ResourceWarning"
)


@handshake_fails
def test_a_name_that_is_not_on_the_certificate_is_refused(
    documented: Documented, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(PASSWORD_VARIABLE, PASSWORDS["trainer"])
    room = documented.room("trainer", host="127.0.0.1")
    with Listener(room, Library().land, Library().has) as listener:
        until(lambda: listener.trouble is not None)
        assert "certificate" in str(listener.notice)
        assert listener.heard.taken == 0


@handshake_fails
def test_a_certificate_of_another_authority_is_refused(
    documented: Documented, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(PASSWORD_VARIABLE, PASSWORDS["trainer"])
    room = Room.parse(f"mqtts://trainer@localhost:{documented.port}/morning")
    with Listener(room, Library().land, Library().has) as listener:
        until(lambda: listener.trouble is not None)
        assert "certificate" in str(listener.notice)


def test_the_certificate_is_good_enough_for_strict_clients(documented: Documented) -> None:
    """As Python's own are from 3.13 on: RFC 5280, with key usages and identifiers."""
    context = ssl.create_default_context(cafile=str(documented.ca))
    context.verify_flags |= ssl.VERIFY_X509_STRICT
    with (
        socket.create_connection(("127.0.0.1", documented.port)) as plain,
        context.wrap_socket(plain, server_hostname="localhost") as secure,
    ):
        assert secure.version() in ("TLSv1.2", "TLSv1.3")


def test_the_addresses_as_they_are_written_are_taken() -> None:
    for block in blocks(6):
        (address,) = re.findall(r"'(mqtts://[^']+)'", block)
        room = Room.parse(address)
        assert (room.tls, room.ca_file, room.name) == (True, "authority.pem", "morning")
