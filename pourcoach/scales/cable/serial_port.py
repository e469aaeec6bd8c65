"""A serial port through pyserial: one thread owns the port from opening to closing."""

import asyncio
import errno
import os
import threading
from collections import deque
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager, suppress

import serial
from serial.urlhandler.protocol_socket import Serial as NetworkPort

from pourcoach.domain.errors import UsageError, reason
from pourcoach.domain.units import Seconds
from pourcoach.scales.cable.usb_identity import UsbIdentity, identity_at
from pourcoach.scales.dialect import Dialect
from pourcoach.scales.link.connection import NoConnectionError, OnBytes, OnLost, close_fully
from pourcoach.scales.scale import Now
from pourcoach.wire.description import SerialLine

# A blocked read looks up this often, where it cannot be cancelled.
READ_TIMEOUT_S: Seconds = 0.1
# A command of a few bytes goes out at once, or the port is stuck on flow control.
WRITE_TIMEOUT_S: Seconds = 1.0
# Opening a network port may hang for seconds in its thread; leaving does not wait for that.
CLOSE_WITHIN_S: Seconds = 1.0
# One hand-over to the event loop; a line is 30 bytes, a burst a few lines.
LARGEST_CHUNK = 4096

PARITIES = {"none": serial.PARITY_NONE, "even": serial.PARITY_EVEN, "odd": serial.PARITY_ODD}


class SerialConnector:
    """Opens one port, exclusively, and finds its device again under another name."""

    def __init__(self, target: str, settings: SerialLine, dialect: Dialect, now: Now) -> None:
        """``target`` is a device name or any of pyserial's URLs."""
        self.dialect = dialect
        self._target = target
        self._settings = settings
        self._now = now
        self._identity: UsbIdentity | None = None
        self._was_open = False

    @property
    def name(self) -> str:
        return f"the scale on {self._target}"

    @property
    def silence_remedy(self) -> str:
        return "check that it is switched on, set to send its weight, and its baud rate"

    @asynccontextmanager
    async def open(self, on_bytes: OnBytes, on_lost: OnLost) -> AsyncIterator["_PortThread"]:
        port = self._port()
        thread = _PortThread(port, self._now, on_bytes, lambda: on_lost(self._lost_sentence()))
        thread.start()
        try:
            try:
                await thread.opened
            except OSError as error:
                raise self._cannot_open(error) from None
            except Exception as error:
                raise UsageError(f"{self._target} cannot be opened so: {error}") from None
            if self._identity is None:
                self._identity = identity_at(str(port.port))
            self._was_open = True
            yield thread
        finally:
            thread.stop()
            await close_fully(thread.ended(), CLOSE_WITHIN_S)

    def _port(self) -> serial.Serial:
        device = self._target
        if self._identity is not None:
            found = self._identity.port_now()
            if found is None:
                raise NoConnectionError(self._lost_sentence())
            device = found
        try:
            port: serial.Serial = serial.serial_for_url(
                device,
                do_not_open=True,
                baudrate=self._settings.baud,
                bytesize=self._settings.bits,
                parity=PARITIES[self._settings.parity],
                stopbits=self._settings.stop,
                timeout=READ_TIMEOUT_S,
                write_timeout=WRITE_TIMEOUT_S,
                exclusive=True,
            )
        except ValueError as error:
            raise UsageError(f"{self._target} cannot be opened so: {error}") from None
        # Raised lines reset many boards; a board that waits for them is rare.
        port.dtr = False
        port.rts = False
        return port

    def _lost_sentence(self) -> str:
        return f"{self.name} is gone: see that it is plugged in and switched on"

    def _cannot_open(self, error: OSError) -> NoConnectionError:
        what, remedy = open_trouble(error, self._target)
        if self._was_open and _code(error) in _ABSENT:
            return NoConnectionError(self._lost_sentence())
        return NoConnectionError(what, remedy, lasting=True)


_ABSENT = {errno.ENOENT, errno.ENXIO, errno.ENODEV}
_BUSY = {errno.EBUSY, errno.EAGAIN, errno.EWOULDBLOCK}
_DENIED = {errno.EACCES, errno.EPERM}
_NO_PORT = {errno.ENOTTY, errno.EINVAL, errno.EISDIR, errno.ENOTDIR}


def open_trouble(error: OSError, target: str) -> tuple[str, str]:
    """What is wrong and what to do, where a port does not open."""
    code = _code(error)
    if code in _ABSENT:
        return (
            f"there is no serial port {target}",
            "plug the scale in; 'pourcoach scales' lists the ports",
        )
    if code in _BUSY:
        return (f"another program is using {target}", "close it and try again")
    if code in _DENIED:
        return (f"no permission to use {target}", permission_remedy(target))
    if code in _NO_PORT:
        return (f"{target} is no serial port", "'pourcoach scales' lists the ports")
    return (f"{target} cannot be opened: {reason(error)}", "check the address and the cable")


def _code(error: OSError) -> int | None:
    if error.errno is not None:
        return error.errno
    text = str(error)
    if "Could not configure port" in text:
        return errno.ENOTTY
    # pyserial on Windows keeps the cause only as text; there, denied means taken.
    if "FileNotFoundError" in text:
        return errno.ENOENT
    return errno.EBUSY if "PermissionError" in text else None


def permission_remedy(target: str) -> str:
    """What to do where the system does not let this user have a port."""
    if not target.startswith("/dev/"):
        return "allow this terminal to use it"
    import grp  # not on Windows, whose ports have other names

    try:
        group = grp.getgrgid(os.stat(target).st_gid).gr_name
    except (OSError, KeyError):
        group = "dialout"
    if group in ("root", "wheel"):
        return "let a udev rule give it to a group of yours"
    return f"join its group: 'sudo usermod -aG {group} $USER', then log in again"


class _PortThread(threading.Thread):
    """Opens the port, reads and writes it, closes it: no other thread touches it, but to wake it.

    Closing a port under a blocked read raises all manner of things in pyserial; so the thread is
    woken, and closes for itself.
    """

    def __init__(
        self, port: serial.Serial, now: Now, on_bytes: OnBytes, on_lost: Callable[[], None]
    ) -> None:
        super().__init__(name=f"serial {port.port}", daemon=True)
        self._port = port
        self._now = now
        self._on_bytes = on_bytes
        self._on_lost = on_lost
        self._loop = asyncio.get_running_loop()
        self.opened: asyncio.Future[None] = self._loop.create_future()
        self._closed = asyncio.Event()
        self._stopping = threading.Event()
        self._outbox: deque[tuple[bytes, asyncio.Future[None]]] = deque()
        self._wake_lock = threading.Lock()
        self._open = False

    async def write(self, data: bytes) -> None:
        """Send a command. Raises NoConnectionError where it does not go out."""
        sent: asyncio.Future[None] = self._loop.create_future()
        self._outbox.append((data, sent))
        self._wake()
        try:
            async with asyncio.timeout(2 * WRITE_TIMEOUT_S):
                await sent
        except TimeoutError:
            raise NoConnectionError("the scale takes no bytes") from None

    def stop(self) -> None:
        """Have the thread close the port and end."""
        self._stopping.set()
        self._wake()

    async def ended(self) -> None:
        """Wait until it has."""
        await self._closed.wait()
        self.join()  # it has only to return

    def _wake(self) -> None:
        with self._wake_lock:
            cancel_read = getattr(self._port, "cancel_read", None)
            if self._open and cancel_read is not None:
                cancel_read()

    def run(self) -> None:
        try:
            self._port.open()
        except Exception as error:  # URL handlers raise all sorts
            self._call(_fail, self.opened, error)
            self._call(self._closed.set)
            return
        self._open = True
        self._call(_succeed, self.opened)
        try:
            while not self._stopping.is_set():
                self._send()
                self._receive()
        except Exception:
            # Unplugged, an OSError or, from URL handlers, others; or a second program, that did
            # not ask for the port alone, reads it too.
            self._call(self._on_lost)
        finally:
            with self._wake_lock:
                self._open = False
            with suppress(OSError):
                self._port.close()
            for _, sent in self._outbox:
                self._call(_fail, sent, NoConnectionError("the port is closed"))
            self._call(self._closed.set)

    def _receive(self) -> None:
        data: bytes = self._port.read(1)
        try:
            if data and isinstance(self._port, NetworkPort):
                data += self._read_at_once(LARGEST_CHUNK - len(data))
                return
            # URL handlers may say only whether there is more: ask until there is none.
            while data and len(data) < LARGEST_CHUNK and (waiting := self._port.in_waiting):
                data += self._port.read(waiting)
        finally:
            # Also what came before the port went, in the same breath.
            if data:
                # Stamped here: the event loop may be busy drawing.
                self._call(self._on_bytes, data, self._now())

    def _read_at_once(self, most: int) -> bytes:
        """What a network port has now. It says only whether there is any; asked byte by byte, a
        fast sender keeps this thread, and so the whole program, busy.
        """
        self._port.timeout = 0.0
        try:
            data: bytes = self._port.read(most)
        finally:
            self._port.timeout = READ_TIMEOUT_S
        return data

    def _send(self) -> None:
        while self._outbox:
            data, sent = self._outbox.popleft()
            try:
                self._port.write(data)
            except OSError as error:
                self._call(_fail, sent, NoConnectionError("the scale takes no bytes"))
                if not isinstance(error, serial.SerialTimeoutException):
                    raise
            else:
                self._call(_succeed, sent)

    def _call(self, function: Callable[..., object], *arguments: object) -> None:
        # The loop is gone where the program ends before the thread: nobody is left to notify.
        with suppress(RuntimeError):
            self._loop.call_soon_threadsafe(function, *arguments)


def _succeed(future: asyncio.Future[None]) -> None:
    if not future.done():
        future.set_result(None)


def _fail(future: asyncio.Future[None], error: Exception) -> None:
    if not future.done():
        future.set_exception(error)
