"""Serves the page: in a thread of its own, which looks at a Board and waits for nobody."""

import asyncio
import logging
import secrets
import socket
import threading
from collections.abc import Awaitable, Callable
from http import HTTPStatus
from importlib.resources import files
from typing import Final

from aiohttp import WSCloseCode, WSMsgType, web

from pourcoach.domain.errors import WorkError, reason
from pourcoach.domain.units import Seconds
from pourcoach.page.address import LOOPBACK, Guard, PageAddress, as_ip, security_headers
from pourcoach.page.looks import Looks
from pourcoach.page.motifs_js import motifs_js
from pourcoach.sharing.seen import Board
from pourcoach.sharing.worker import Worker

LOOKS_PER_S = 20
"""Of one station; a page that lags by a twentieth of a second is not seen to."""
MANY = 3
MANY_LOOKS_PER_S = 10
"""Of MANY stations and more: as often as the wall draws."""
BEAT_S: Seconds = 1.0
"""Where nothing changes a page is sent a sign of life, or it would say OLD after two."""
TOKEN_WITHIN_S: Seconds = 5.0
MOST_BROWSERS = 200
LONGEST_FIRST_MESSAGE = 256
NO_ENTRY = 4401
"""Close code for a wrong token: the page then does not try again. From the range that is free for
private use (RFC 6455, 7.4.2)."""

_FILES: Final = {
    "/": ("page.html", "text/html"),
    "/page.js": ("page.js", "text/javascript"),
    "/curve.js": ("curve.js", "text/javascript"),
    "/sound.js": ("sound.js", "text/javascript"),
    "/page.css": ("page.css", "text/css"),
    "/icon.svg": ("icon.svg", "image/svg+xml"),
}

# What the server library would log, it would print over the screen of a brew; who asks for what is
# no page is answered, and nobody here needs to know.
_SILENT = logging.getLogger("pourcoach.page.server")
_SILENT.addHandler(logging.NullHandler())
_SILENT.propagate = False

Handler = Callable[[web.Request], Awaitable[web.StreamResponse]]


class PageServer(Worker):
    """One page about one Board, while the ``with`` lasts."""

    def __init__(self, board: Board, address: PageAddress, *, names: bool = False) -> None:
        """``names``: whether people's names may be seen."""
        super().__init__("page")
        self.browsers = 0
        """How many look on now."""
        self.guard = Guard(
            address.host,
            address.port,
            None if address.on_loopback else secrets.token_urlsafe(32),
        )
        self._board = board
        self._address = address
        self._looks = Looks(names=names)
        self._changed = asyncio.Condition()
        self._up = threading.Event()
        self._trouble: OSError | None = None

    @property
    def url(self) -> str:
        """What to open; with the token where one is asked for."""
        host = _reachable(self._address.host)
        shown = f"[{host}]" if ":" in host else host
        fragment = "" if self.guard.token is None else f"#{self.guard.token}"
        return f"http://{shown}:{self.guard.port}/{fragment}"

    def wait_until_up(self) -> None:
        """Until it listens. WorkError where the port cannot be had."""
        self._up.wait()
        if self._trouble is not None:
            where = f"{self._address.host}:{self._address.port}"
            raise WorkError(
                f"no page can be served on {where}: {reason(self._trouble)}",
                "choose another port, or 0 for any",
            )

    async def run(self) -> None:
        app = web.Application(middlewares=[self._guard_all], client_max_size=1024)
        app.on_response_prepare.append(self._secure)
        app.router.add_get("/ws", self._socket)
        for path in _FILES:
            app.router.add_get(path, _file)
        app.router.add_get("/motifs.js", _motifs)
        runner = web.AppRunner(app, shutdown_timeout=0.5)
        await runner.setup()
        server = runner.server
        assert server is not None
        loop = asyncio.get_running_loop()
        try:
            try:
                listening = await loop.create_server(
                    lambda: _Connection(server, loop=loop, access_log=_SILENT, logger=_SILENT),
                    self._address.host,
                    self._address.port,
                )
            except OSError as error:
                self._trouble = error
                return
            port = listening.sockets[0].getsockname()[1]
            self.guard = Guard(self.guard.host, port, self.guard.token)
            self._up.set()
            try:
                await self._look()
            finally:
                listening.close()
        finally:
            self._up.set()  # whatever went wrong, nobody is to wait for ever
            await runner.cleanup()

    async def _look(self) -> None:
        """For ever, in an even beat."""
        loop = asyncio.get_running_loop()
        due_s = loop.time()
        while True:
            seen = self._board.seen()
            if self._looks.take(seen, self._board.notice):
                async with self._changed:
                    self._changed.notify_all()
            due_s += 1 / (LOOKS_PER_S if len(seen) < MANY else MANY_LOOKS_PER_S)
            # Never two looks at once to catch up.
            due_s = max(due_s, loop.time())
            await asyncio.sleep(due_s - loop.time())

    @web.middleware
    async def _guard_all(self, request: web.Request, handler: Handler) -> web.StreamResponse:
        host = request.headers.get("Host")
        if host is None or not self.guard.knows_host(host):
            raise web.HTTPMisdirectedRequest(text="This is not the server that you asked for.\n")
        if request.method not in ("GET", "HEAD"):
            raise web.HTTPMethodNotAllowed(request.method, ["GET", "HEAD"])
        return await handler(request)

    async def _secure(self, request: web.Request, response: web.StreamResponse) -> None:
        host = request.headers.get("Host")
        response.headers.update(security_headers(host if self.guard.knows_host(host) else None))

    async def _socket(self, request: web.Request) -> web.StreamResponse:
        origin, host = request.headers.get("Origin"), request.headers.get("Host")
        if not self.guard.knows_origin(origin, host):
            raise web.HTTPForbidden(text="Only the page itself may open this.\n")
        if self.browsers >= MOST_BROWSERS:
            raise web.HTTPServiceUnavailable(text="Too many look on already.\n")
        # Small messages on a network nearby: packing them costs more than it spares.
        browser = web.WebSocketResponse(
            compress=False, heartbeat=10.0, max_msg_size=LONGEST_FIRST_MESSAGE
        )
        await browser.prepare(request)
        self.browsers += 1
        try:
            if not await self._admitted(browser):
                await browser.close(code=NO_ENTRY, message=b"wrong token")
                return browser
            sending = asyncio.create_task(self._send_looks(browser))
            try:
                # Read-only: what a browser says after its token goes nowhere.
                async for message in browser:
                    if message.type is WSMsgType.ERROR:
                        break
            finally:
                sending.cancel()
                await asyncio.gather(sending, return_exceptions=True)
        finally:
            self.browsers -= 1
        return browser

    async def _admitted(self, browser: web.WebSocketResponse) -> bool:
        try:
            message = await browser.receive(timeout=TOKEN_WITHIN_S)
        except TimeoutError:
            return False
        return message.type is WSMsgType.TEXT and self.guard.admits(str(message.data))

    async def _send_looks(self, browser: web.WebSocketResponse) -> None:
        """The newest look, as fast as this browser takes them and no faster."""
        saw = 0
        while not browser.closed:
            text = self._looks.since(saw)
            saw = self._looks.number
            try:
                await browser.send_str(text)
            except ConnectionError:
                return
            try:
                async with asyncio.timeout(BEAT_S), self._changed:
                    await self._changed.wait_for(lambda: self._looks.number > saw)  # noqa: B023
            except TimeoutError:
                continue
        await browser.close(code=WSCloseCode.GOING_AWAY)


class _Connection(web.RequestHandler):
    """Of one browser."""

    __slots__ = ()

    def handle_error(
        self,
        request: web.BaseRequest,
        status: int = 500,
        exc: BaseException | None = None,
        message: str | None = None,
    ) -> web.StreamResponse:
        """Answer what is no HTTP, which comes to no handler: without repeating any of it."""
        del message
        response = super().handle_error(request, status, exc, f"{HTTPStatus(status).phrase}\n")
        response.headers.update(security_headers(None))
        return response


async def _file(request: web.Request) -> web.StreamResponse:
    name, kind = _FILES[request.path]
    body = (files("pourcoach.page") / "static" / name).read_bytes()
    return web.Response(body=body, content_type=kind, charset="utf-8")


async def _motifs(_: web.Request) -> web.StreamResponse:
    return web.Response(text=motifs_js(), content_type="text/javascript", charset="utf-8")


def _reachable(host: str) -> str:
    """The address of this machine that others use, where it listens on all of them."""
    ip = as_ip(host)
    if ip is None or not ip.is_unspecified:
        return host
    family = socket.AF_INET6 if ip.version == 6 else socket.AF_INET
    # Addresses for documentation (RFC 5737, RFC 3849): nothing is sent, only a route is looked up.
    far = "2001:db8::1" if ip.version == 6 else "192.0.2.1"
    try:
        with socket.socket(family, socket.SOCK_DGRAM) as probe:
            probe.connect((far, 9))
            found: str = probe.getsockname()[0]
            return found
    except OSError:
        return LOOPBACK if ip.version == 4 else "::1"
