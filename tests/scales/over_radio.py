"""A scale by radio, as the app has it, and what a test waits for on its way."""

import asyncio
from collections.abc import Callable

import pytest

from pourcoach.domain.errors import WorkError
from pourcoach.scales.dialect import described_dialect, line_dialect
from pourcoach.scales.link.supervised import Patience, SupervisedScale
from pourcoach.scales.radio.bluetooth import BluetoothConnector, RadioPatience
from pourcoach.wire.description import ScaleDescription
from tests.patience import PATIENCE_S
from tests.scales.fake_device import Device
from tests.scales.listener import QUICK, Listener, now
from tests.wire.scale_lines import encode_checked

PATIENCE = RadioPatience(search_s=0.3, connect_s=0.4, write_s=0.4, close_s=0.5)

NO_SERVICE = (
    "the Bluetooth service is not running; "
    "start it with 'sudo systemctl start bluetooth', or install the package bluez"
)


def supervised(
    target: str = "bench",
    description: ScaleDescription | None = None,
    pace: Patience = QUICK,
) -> SupervisedScale:
    dialect = line_dialect() if description is None else described_dialect(description)
    gatt = None if description is None else description.gatt
    connector = BluetoothConnector(target, gatt, dialect, now, PATIENCE)
    return SupervisedScale(f"ble:{target}", connector, now, pace)


def lines(*grams: float) -> bytes:
    return b"".join(encode_checked(n, n * 12, weight) for n, weight in enumerate(grams))


async def settled(met: Callable[[], bool]) -> None:
    """Until the fake service has come to a state; what was sent to it arrives a moment later."""
    async with asyncio.timeout(PATIENCE_S):
        while not met():  # noqa: ASYNC110 - the fake is plain state, as the real one is
            await asyncio.sleep(0.002)


async def connected(device: Device, times: int = 1) -> None:
    """Until the scale is connected and listened to."""
    await settled(
        lambda: (
            device.connections >= times
            and any(one.notifying for one in device.characteristics.values())
        )
    )


async def heard_again(device: Device, heard: Listener, grams: float) -> None:
    """Until a reading gets through."""
    async with asyncio.timeout(PATIENCE_S):
        while grams not in heard.grams:
            device.send_lines(lines(grams))
            await asyncio.sleep(0.02)


def whys(heard: Listener) -> list[str]:
    return [link.why for link in heard.links if not link.up]


async def error_at_once(target: str = "bench") -> str:
    with pytest.raises(WorkError) as error:
        async with supervised(target):
            pass
    return str(error.value)
