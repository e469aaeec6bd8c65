"""Raw bytes of an unknown scale, with where they came from."""

import asyncio
import sys

import pytest

from pourcoach.domain.errors import UsageError
from pourcoach.scales.address import ScaleAddress
from pourcoach.scales.raw_bytes import RawChunk, overhear
from tests.patience import PATIENCE_S
from tests.scales.fake_serial import FakeSerialScale
from tests.scales.listener import now


@pytest.mark.skipif(sys.platform == "win32", reason="pseudo-terminals are POSIX only")
async def test_over_serial(fake_scale: FakeSerialScale) -> None:
    heard: list[RawChunk] = []
    arrived = asyncio.Event()

    def take(overheard: RawChunk) -> None:
        heard.append(overheard)
        arrived.set()

    address = ScaleAddress.parse(f"serial:{fake_scale.link}?baud=9600")
    async with overhear(address, now, take, pytest.fail):
        fake_scale.send(b"\x02\xff12")
        async with asyncio.timeout(PATIENCE_S):
            while b"".join(chunk.data for chunk in heard) != b"\x02\xff12":
                arrived.clear()
                await arrived.wait()
    assert {chunk.gatt for chunk in heard} == {None}


async def test_an_address_without_bytes_is_wrong_use() -> None:
    with pytest.raises(UsageError, match="has no bytes to listen to"):
        async with overhear(ScaleAddress.parse("sim:steady"), now, print, print):
            pass
