"""The server against those who should not get in, spoken to as HTTP."""

import asyncio
import json
import time
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from typing import Any

import aiohttp
import pytest

from pourcoach.domain.errors import WorkError
from pourcoach.page.address import PageAddress
from pourcoach.page.server import NO_ENTRY, PageServer
from tests.page.boards import FakeBoard, pouring


@contextmanager
def served(board: FakeBoard | None = None, address: str = "0") -> Iterator[PageServer]:
    with PageServer(board or FakeBoard(), PageAddress.parse(address)) as server:
        server.wait_until_up()
        yield server


def local(server: PageServer) -> str:
    return f"127.0.0.1:{server.guard.port}"


async def ask(server: PageServer, path: str, method: str = "GET", **headers: str) -> Any:
    async with (
        aiohttp.ClientSession() as client,
        client.request(method, f"http://{local(server)}{path}", headers=headers) as answer,
    ):
        await answer.read()
        return answer


async def test_the_page_and_its_files_come_with_strict_headers() -> None:
    with served() as server:
        for path in ("/", "/page.js", "/curve.js", "/sound.js", "/page.css", "/icon.svg"):
            answer = await ask(server, path)
            assert answer.status == 200
            assert_secured(answer.headers)
            policy = answer.headers["Content-Security-Policy"]
            assert "script-src 'self'" in policy
            assert f"ws://{local(server)}" in policy


def assert_secured(headers: Mapping[str, str]) -> None:
    assert headers["Content-Security-Policy"].startswith("default-src 'none'; base-uri 'none'")
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Referrer-Policy"] == "no-referrer"
    assert headers["Cross-Origin-Resource-Policy"] == "same-origin"
    assert headers["Cache-Control"] == "no-store"
    assert "Set-Cookie" not in headers


async def test_who_is_refused_may_load_nothing() -> None:
    with served() as server:
        wrong = [
            await ask(server, "/", Host="evil.example"),
            await ask(server, "/ws", Host="evil.example"),
            await ask(server, "/", "POST"),
            await ask(server, "/nothing"),
            await ask(server, "/ws", Origin="http://evil.example"),
        ]
        assert [answer.status for answer in wrong] == [421, 421, 405, 404, 403]
        for answer in wrong:
            assert_secured(answer.headers)
        for answer in wrong[:2]:
            assert "script-src" not in answer.headers["Content-Security-Policy"]
            assert "evil" not in answer.headers["Content-Security-Policy"]


async def test_the_socket_has_the_headers_even_before_its_token() -> None:
    with served(address="0.0.0.0:0") as server, own_origin(server) as headers:
        upgrade = {
            "Connection": "Upgrade",
            "Upgrade": "websocket",
            "Sec-WebSocket-Version": "13",
            "Sec-WebSocket-Key": "dGhlIHNhbXBsZSBub25jZQ==",
        }
        answer = await ask(server, "/ws", **upgrade, **headers)
        assert answer.status == 101
        assert_secured(answer.headers)


@pytest.mark.parametrize(
    "sent",
    [
        b"\x16\x03\x01 no http at all\r\n\r\n",
        b"GET /" + b"echo" * 3000 + b" HTTP/1.1\r\nHost: x\r\n\r\n",
        b"GET / HTTP/1.1\r\nHost: x\r\nX: echo\x01\r\n\r\n",
    ],
)
async def test_what_is_no_request_is_answered_and_logged_nowhere(
    sent: bytes, capfd: pytest.CaptureFixture[str]
) -> None:
    with served() as server:
        reader, writer = await asyncio.open_connection("127.0.0.1", server.guard.port)
        writer.write(sent)
        head, _, body = (await reader.read()).decode().partition("\r\n\r\n")
        writer.close()
        assert head.startswith("HTTP/1.0 400")
        assert_secured(dict(line.split(": ", 1) for line in head.splitlines()[1:]))
        assert "echo" not in body
        assert json.loads((await first_look(server, "")).data)["look"] >= 1
    assert capfd.readouterr() == ("", "")


@pytest.mark.parametrize("path", ["/nothing", "/../server.py", "/static/page.js", "/%2e%2e/x"])
async def test_there_is_nothing_else(path: str) -> None:
    with served() as server:
        assert (await ask(server, path)).status == 404


async def test_a_wrong_host_is_misdirected() -> None:
    with served() as server:
        for path in ("/", "/ws"):
            for host in ("evil.example", f"evil.example:{server.guard.port}", "127.0.0.1:1"):
                assert (await ask(server, path, Host=host)).status == 421


async def test_it_is_read_only() -> None:
    with served() as server:
        for method in ("POST", "PUT", "DELETE", "OPTIONS"):
            assert (await ask(server, "/", method)).status == 405


@pytest.mark.parametrize("origin", [None, "null", "http://evil.example"])
async def test_a_socket_from_elsewhere_is_forbidden(origin: str | None) -> None:
    with served() as server:
        headers = {} if origin is None else {"Origin": origin}
        async with aiohttp.ClientSession() as client:
            with pytest.raises(aiohttp.WSServerHandshakeError) as refused:
                await client.ws_connect(f"http://{local(server)}/ws", headers=headers)
        assert refused.value.status == 403


@contextmanager
def own_origin(server: PageServer) -> Iterator[dict[str, str]]:
    yield {"Origin": f"http://{local(server)}"}


async def first_look(server: PageServer, said: str) -> aiohttp.WSMessage:
    async with aiohttp.ClientSession() as client:
        headers = {"Origin": f"http://{local(server)}"}
        async with client.ws_connect(f"http://{local(server)}/ws", headers=headers) as socket:
            await socket.send_str(said)
            return await socket.receive(timeout=10)


async def test_without_the_token_nothing_is_sent() -> None:
    with served(address="0.0.0.0:0") as server:
        token = server.url.partition("#")[2]
        assert len(token) >= 43  # 32 bytes in base64
        for wrong in ("", token[:-1], token + "x", token.swapcase()):
            message = await first_look(server, wrong)
            assert (message.type, message.data) == (aiohttp.WSMsgType.CLOSE, NO_ENTRY)
        message = await first_look(server, token)
        assert json.loads(message.data)["order"] == ["1"]


async def test_the_token_is_in_no_request() -> None:
    with served(address="0.0.0.0:0") as server:
        assert "?" not in server.url
        assert server.url.index("#") > server.url.rindex("/")


async def test_on_loopback_no_token_is_asked_for() -> None:
    with served() as server:
        assert "#" not in server.url
        assert json.loads((await first_look(server, "")).data)["look"] >= 1


async def test_a_first_message_that_is_too_long_is_not_read() -> None:
    with served() as server:
        message = await first_look(server, "x" * 5000)
        assert message.type in (aiohttp.WSMsgType.CLOSE, aiohttp.WSMsgType.CLOSED)


async def test_what_changes_is_sent_soon_and_else_a_beat() -> None:
    board = FakeBoard()
    with served(board) as server:
        async with aiohttp.ClientSession() as client:
            headers = {"Origin": f"http://{local(server)}"}
            async with client.ws_connect(f"http://{local(server)}/ws", headers=headers) as socket:
                await socket.send_str("")
                await socket.receive(timeout=10)
                board.stations = [pouring(grams=120.0)]
                news = json.loads((await socket.receive(timeout=10)).data)
                assert news["stations"][0]["tile"]["weight_g"] == 120.0
                beat = json.loads((await socket.receive(timeout=10)).data)
                assert beat["stations"] == []


async def test_a_browser_that_takes_nothing_holds_nobody_up() -> None:
    board = FakeBoard()
    with served(board) as server:
        async with aiohttp.ClientSession() as client:
            headers = {"Origin": f"http://{local(server)}"}
            address = f"http://{local(server)}/ws"
            slow = await client.ws_connect(address, headers=headers)
            await slow.send_str("")
            async with client.ws_connect(address, headers=headers) as socket:
                await socket.send_str("")
                for step in range(20):
                    board.stations = [pouring(grams=float(step))]
                    while True:
                        data = json.loads((await socket.receive(timeout=10)).data)
                        if data["stations"]:
                            break
            await slow.close()
    await until(lambda: server.browsers == 0)


async def until(holds: Callable[[], bool]) -> None:
    until_s = time.monotonic() + 10.0
    while not holds():
        assert time.monotonic() < until_s
        await asyncio.sleep(0.01)


def test_a_port_that_is_taken_is_said() -> None:
    with served() as server:
        second = PageServer(FakeBoard(), PageAddress.parse(str(server.guard.port)))
        with pytest.raises(WorkError, match="no page can be served"), second:
            second.wait_until_up()
