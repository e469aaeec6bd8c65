"""The broker of the tests: Debian's mosquitto on a loopback port, started and killed at will."""

import shutil
import socket
import subprocess
import time
from pathlib import Path

import pytest

FOUND = shutil.which("mosquitto") or shutil.which("mosquitto", path="/usr/sbin:/usr/local/sbin")
needs_mosquitto = pytest.mark.skipif(FOUND is None, reason="there is no mosquitto on this machine")


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
        return port


class Mosquitto:
    """One broker on one port; what it held is forgotten when it is killed."""

    def __init__(self, folder: Path, port: int | None = None, config: Path | None = None) -> None:
        """``config`` is used as it is, and listens on ``port``."""
        self.port = port or free_port()
        self._process: subprocess.Popen[bytes] | None = None
        if config is not None:
            self._config = config
            return
        self._config = folder / "mosquitto.conf"
        self._config.write_text(
            f"listener {self.port} 127.0.0.1\nallow_anonymous true\npersistence false\n"
            # Thousands of tiles a second must not be dropped by the broker's own bound.
            "max_queued_messages 0\nset_tcp_nodelay true\n"
        )

    def start(self) -> None:
        """Returns once it takes connections."""
        assert FOUND is not None
        self._process = subprocess.Popen(
            [FOUND, "-c", str(self._config)], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        )
        until_s = time.monotonic() + 10.0
        while True:
            try:
                socket.create_connection(("127.0.0.1", self.port), 1.0).close()
                return
            except OSError:
                if time.monotonic() > until_s:
                    raise
                time.sleep(0.01)

    def kill(self) -> None:
        if self._process is not None:
            self._process.kill()
            self._process.wait()
            self._process = None

    def address(self, room: str = "morning") -> str:
        return f"mqtt://127.0.0.1:{self.port}/{room}"
