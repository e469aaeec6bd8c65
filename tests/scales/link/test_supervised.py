"""The supervisor alone, over a connector that fails on command."""

import asyncio
import gc
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from dataclasses import replace
from itertools import pairwise

import pytest

from pourcoach.domain.errors import UsageError, WorkError
from pourcoach.domain.inputs import Link
from pourcoach.scales.dialect import Dialect
from pourcoach.scales.link.connection import NoConnectionError, OnBytes, OnLost
from pourcoach.scales.link.supervised import Patience, SupervisedScale
from pourcoach.wire.lines.line_decoder import LineDecoder
from tests.patience import PATIENCE_S
from tests.scales.listener import QUICK, listening, now
from tests.wire.scale_lines import encode_checked, encode_counts


class FakeConnector:
    """Each attempt takes the next of ``outcomes``; when they are used up, it connects."""

    name = "the scale"
    silence_remedy = "switch it on"

    def __init__(self, *outcomes: Exception | None, on_change: bool = False) -> None:
        self.dialect = Dialect(LineDecoder, start=b"start\n", finish=b"stop\n", on_change=on_change)
        self._outcomes = list(outcomes)
        self.attempts_s: list[float] = []
        self.callbacks: list[tuple[OnBytes, OnLost]] = []
        self.written = b""
        self.open_now = 0
        self.takes_s = 0.0
        self.deaf = False
        self._opened = asyncio.Event()

    @asynccontextmanager
    async def open(self, on_bytes: OnBytes, on_lost: OnLost) -> AsyncIterator["FakeConnector"]:
        self.attempts_s.append(asyncio.get_running_loop().time())
        outcome = self._outcomes.pop(0) if self._outcomes else None
        await asyncio.sleep(self.takes_s)
        if outcome is not None:
            raise outcome
        self.callbacks.append((on_bytes, on_lost))
        self.open_now += 1
        self._opened.set()
        try:
            yield self
        finally:
            self.open_now -= 1
            await asyncio.sleep(0)

    async def write(self, data: bytes) -> None:
        if self.deaf:
            raise NoConnectionError("the scale takes no bytes")
        self.written += data

    def send(self, data: bytes) -> None:
        on_bytes, _ = self.callbacks[-1]
        on_bytes(data, now())

    def lose(self) -> None:
        _, on_lost = self.callbacks[-1]
        on_lost("the scale is gone")

    async def connected(self, times: int) -> None:
        async with asyncio.timeout(PATIENCE_S):
            while len(self.callbacks) < times:
                self._opened.clear()
                await self._opened.wait()


def supervised(connector: FakeConnector, pace: Patience = QUICK) -> SupervisedScale:
    return SupervisedScale("fake:", connector, now, pace)


def line(sequence: int, grams: float) -> bytes:
    return encode_checked(sequence, sequence * 12, grams)


async def test_a_lasting_trouble_at_the_start_is_raised() -> None:
    connector = FakeConnector(NoConnectionError("no such port", "plug it in", lasting=True))
    with pytest.raises(WorkError, match="no such port; plug it in"):
        async with supervised(connector):
            pass


async def test_a_wrong_address_is_raised() -> None:
    with pytest.raises(UsageError):
        async with supervised(FakeConnector(UsageError("no such option"))):
            pass


async def test_a_passing_trouble_is_reported_once_and_waited_out() -> None:
    connector = FakeConnector(*[NoConnectionError("not seen yet") for _ in range(3)])
    async with listening(supervised(connector)) as heard:
        await connector.connected(1)
        connector.send(line(0, 1.0))
        await heard.until(lambda heard: len(heard.grams) == 1)
    assert [(link.up, link.why) for link in heard.links] == [(False, "not seen yet"), (True, "")]


async def test_a_lasting_trouble_later_on_is_reported_and_waited_out() -> None:
    connector = FakeConnector(None, NoConnectionError("port taken", lasting=True))
    async with listening(supervised(connector)) as heard:
        connector.send(line(0, 1.0))
        connector.lose()
        await connector.connected(2)
        connector.send(line(0, 2.0))
        await heard.until(lambda heard: len(heard.grams) == 2)
    assert [link.why for link in heard.links] == ["the scale is gone", "port taken", ""]


async def test_waits_double_up_to_their_longest() -> None:
    pace = Patience(
        first_wait_s=0.02, longest_wait_s=0.08, soon_wait_s=0.01, jitter=0.0, entry_s=0.0
    )
    connector = FakeConnector(*[NoConnectionError("not seen") for _ in range(5)])
    async with supervised(connector, pace):
        await connector.connected(1)
    waits = [b - a for a, b in pairwise(connector.attempts_s)]
    least = [0.02, 0.04, 0.08, 0.08, 0.08]
    assert all(wait >= due - 0.002 for wait, due in zip(waits, least, strict=True))


async def test_waits_stay_short_soon_after_readings_stopped() -> None:
    """Water may still run. Doubled each time, the waits would be longer than `connected` waits."""
    pace = replace(QUICK, longest_wait_s=60.0, soon_wait_s=0.04)
    connector = FakeConnector(None, *[NoConnectionError("not seen") for _ in range(8)])
    async with listening(supervised(connector, pace)):
        connector.send(line(0, 1.0))
        connector.lose()
        await connector.connected(2)
    assert len(connector.attempts_s) == 10


async def test_late_bytes_of_an_earlier_connection_are_ignored() -> None:
    connector = FakeConnector()
    async with listening(supervised(connector)) as heard:
        connector.send(line(0, 1.0))
        connector.lose()
        await connector.connected(2)
        on_bytes, on_lost = connector.callbacks[0]
        on_bytes(line(1, 99.0), now())
        on_lost("again")
        connector.send(line(0, 2.0))
        await heard.until(lambda heard: len(heard.grams) == 2)
    assert heard.grams == [1.0, 2.0]


async def test_silence_is_reported_and_the_connection_made_anew() -> None:
    connector = FakeConnector()
    async with listening(supervised(connector)) as heard:
        connector.send(line(0, 1.0))
        await connector.connected(2)
        connector.send(line(0, 2.0))
        await heard.until(lambda heard: len(heard.links) == 2)
    assert heard.links[0].why == "the scale has stopped sending; switch it on"


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (encode_counts(0, 0, [8123]), "(raw counts, not grams): calibrate it with"),
        (b"-\n1.0 2.0\n" * 3, "(several numbers it could be): say which number with ?channel=N"),
        (b"-\n12 pcs\n" * 3, "(a unit that is no mass): set the scale to"),
        (b"-\nOL\n" * 3, "(scale out of its range): see what stands on it"),
        (b"\xff\xfe\n" * 3, "(not text): check its baud rate"),
        (b"no line end", "(not of the described form): check its baud rate"),
    ],
)
async def test_what_is_no_weight_is_reported_with_what_to_do(data: bytes, says: str) -> None:
    connector = FakeConnector()
    async with listening(supervised(connector)) as heard:
        connector.send(data)
        await heard.until(lambda heard: len(heard.links) == 1)
    assert f"what the scale sends is no weight {says}" in heard.links[0].why


async def test_a_slow_scale_is_given_ten_of_its_periods() -> None:
    connector = FakeConnector()
    async with listening(supervised(connector)) as heard:
        for n in range(4):
            connector.send(line(n, 1.0))
            await asyncio.sleep(0.1)
        await asyncio.sleep(0.45)  # longer than the usual silence, shorter than ten periods
    assert heard.links == []


async def test_a_scale_that_sends_only_changes_may_be_silent() -> None:
    connector = FakeConnector(on_change=True)
    async with listening(supervised(connector)) as heard:
        await asyncio.sleep(0.5)
    assert heard.links == []


async def test_each_connection_is_greeted_and_the_last_one_taken_leave_of() -> None:
    connector = FakeConnector()
    async with supervised(connector):
        connector.lose()
        await connector.connected(2)
    assert connector.written == b"start\nstart\nstop\n"


async def test_leaving_where_no_command_goes_out_is_quiet(caplog: pytest.LogCaptureFixture) -> None:
    connector = FakeConnector()
    async with supervised(connector):
        connector.deaf = True
    gc.collect()
    assert caplog.text == ""


async def test_a_first_attempt_that_takes_long_is_reported() -> None:
    connector = FakeConnector(NoConnectionError("not seen"))
    connector.takes_s = 0.05
    async with listening(supervised(connector, replace(QUICK, entry_s=0.01))) as heard:
        await connector.connected(1)
    assert [link.why for link in heard.links] == ["looking for the scale", "not seen"]


async def test_links_are_reported_in_order_with_their_times() -> None:
    connector = FakeConnector()
    async with listening(supervised(connector)) as heard:
        for _ in range(3):
            connector.send(line(0, 1.0))
            connector.lose()
            await connector.connected(len(connector.callbacks) + 1)
        times_s = [item.t_s for item in heard.items]
    assert times_s == sorted(times_s)
    assert [item.up for item in heard.items if isinstance(item, Link)] == [False, True] * 2 + [
        False
    ]


async def test_200_losses_leave_no_task() -> None:
    pace = Patience(first_wait_s=0.0, longest_wait_s=0.0)
    connector = FakeConnector()
    async with listening(supervised(connector, pace)) as heard:
        before = len(asyncio.all_tasks())
        for count in range(1, 201):
            await connector.connected(count)
            connector.send(line(0, 1.0))
            connector.lose()
        await connector.connected(201)
        connector.send(line(0, 1.0))
        await heard.until(lambda heard: len(heard.grams) == 201)
        assert len(asyncio.all_tasks()) == before
    assert [link.up for link in heard.links] == [False, True] * 200
    assert connector.open_now == 0


def lose(connector: FakeConnector) -> None:
    connector.lose()


def send(connector: FakeConnector) -> None:
    connector.send(line(0, 1.0))


@pytest.mark.parametrize("event", [lose, send])
@pytest.mark.parametrize("ticks", range(6))
async def test_leaving_as_something_happens_does_not_hang(
    event: Callable[[FakeConnector], None], ticks: int
) -> None:
    connector = FakeConnector()
    async with asyncio.timeout(PATIENCE_S):
        async with supervised(connector):
            event(connector)
            for _ in range(ticks):
                await asyncio.sleep(0)
    assert connector.open_now == 0


async def test_a_flood_of_readings_is_bounded_and_reported() -> None:
    connector = FakeConnector()
    scale = supervised(connector)
    async with scale:
        await connector.connected(1)
        connector.send(b"".join(line(number, 0.1 * number) for number in range(3000)))
        got = []
        async with asyncio.timeout(PATIENCE_S):
            async for item in scale:
                got.append(item)
                if isinstance(item, Link):
                    break
    assert len(got) == 1001
    assert isinstance(got[-1], Link)
    assert got[-1].why.startswith("the scale sends more than 1000 readings a second")
