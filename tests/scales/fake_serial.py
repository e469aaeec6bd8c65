"""A fake scale at the other end of a pseudo-terminal."""

import asyncio
import os
import select
from pathlib import Path

from tests.patience import PATIENCE_S


class FakeSerialScale:
    """The scale's end of a pseudo-terminal, behind a link that can be pointed elsewhere."""

    def __init__(self, link: Path) -> None:
        self.link = link
        self._main = -1
        self._port = -1

    def plug(self) -> None:
        import tty

        self._main, self._port = os.openpty()
        tty.setraw(self._port)
        os.set_blocking(self._main, False)
        self.link.unlink(missing_ok=True)
        self.link.symlink_to(os.ttyname(self._port))

    def unplug(self) -> None:
        """Pull the cable: reads on the other side fail, and the name is gone."""
        self.link.unlink(missing_ok=True)
        for descriptor in (self._main, self._port):
            if descriptor >= 0:
                os.close(descriptor)
        self._main = self._port = -1

    def send(self, data: bytes) -> None:
        os.write(self._main, data)

    async def send_all(self, data: bytes) -> None:
        """However much it is: waits for the host to read where the pty is full."""
        async with asyncio.timeout(PATIENCE_S):
            while data:
                try:
                    data = data[os.write(self._main, data) :]
                except BlockingIOError:
                    await asyncio.sleep(0.001)

    def has_received(self) -> bool:
        """Whether the host has written what was not taken by `received`."""
        return bool(select.select([self._main], [], [], 0)[0])

    async def received(self, length: int) -> bytes:
        """The next bytes the host wrote."""
        data = b""
        async with asyncio.timeout(PATIENCE_S):
            while len(data) < length:
                try:
                    data += os.read(self._main, length - len(data))
                except BlockingIOError:
                    await asyncio.sleep(0.005)
        return data
