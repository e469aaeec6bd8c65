"""A fake ``org.bluez`` on a private message bus, so that unmodified bleak runs its real backend.

It is our idea of BlueZ, with no radio: one check by hand on each system stays necessary.
Interfaces and properties follow the BlueZ D-Bus API documents (org.bluez.Adapter, .Device,
.GattService, .GattCharacteristic).
"""

# dbus-fast reads D-Bus signatures from annotations: they must not be made into strings' strings.
# ruff: noqa: F821, F722, N802

import asyncio
import shutil
import sys
from pathlib import Path
from typing import Any

import pytest

if sys.platform.startswith("linux") and shutil.which("dbus-daemon"):
    SKIP = ""
else:
    SKIP = "the fake Bluetooth service needs Linux and dbus-daemon"
    pytest.skip(SKIP, allow_module_level=True)

from dbus_fast import BusType, DBusError, Message, MessageType, PropertyAccess
from dbus_fast.aio import MessageBus
from dbus_fast.service import ServiceInterface, dbus_property, method

from tests.patience import PATIENCE_S
from tests.scales.fake_device import ADAPTER, LINES_NOTIFY, LINES_SERVICE, LINES_WRITE, Device

_CONFIG = """<!DOCTYPE busconfig PUBLIC "-//freedesktop//DTD D-Bus Bus Configuration 1.0//EN"
 "http://www.freedesktop.org/standards/dbus/1.0/busconfig.dtd">
<busconfig>
  <type>session</type>
  <listen>unix:dir={folder}</listen>
  <auth>EXTERNAL</auth>
  <policy context="default">
    <allow send_destination="*" eavesdrop="true"/>
    <allow eavesdrop="true"/>
    <allow own="*"/>
  </policy>
</busconfig>
"""


class PrivateBus:
    """A dbus-daemon of our own."""

    def __init__(self, folder: Path) -> None:
        self._config = folder / "bus.conf"
        # A socket's path may not be longer than 108 bytes: not in pytest's long folder.
        self._config.write_text(_CONFIG.format(folder="/tmp"))
        self.address = ""
        self._daemon: asyncio.subprocess.Process | None = None

    async def start(self) -> None:
        self._daemon = await asyncio.create_subprocess_exec(
            "dbus-daemon",
            f"--config-file={self._config}",
            "--nofork",
            "--nopidfile",
            "--print-address=1",
            stdout=asyncio.subprocess.PIPE,
            stderr=asyncio.subprocess.DEVNULL,
        )
        assert self._daemon.stdout is not None
        self.address = (await self._daemon.stdout.readline()).decode().strip()

    async def stop(self) -> None:
        if self._daemon is not None and self._daemon.returncode is None:
            self._daemon.terminate()
            await self._daemon.wait()


class Adapter(ServiceInterface):
    """``org.bluez.Adapter1``: ``faults`` holds error names by method, each raised once."""

    def __init__(self, bluez: "FakeBlueZ") -> None:
        super().__init__("org.bluez.Adapter1")
        self._bluez = bluez
        self.powered = True
        self.roles = ["central", "peripheral"]
        self.searching = False
        self.searches = 0
        self.removed: list[str] = []

    @dbus_property(access=PropertyAccess.READ)
    def Address(self) -> "s":
        return "00:11:22:33:44:55"

    @dbus_property(access=PropertyAccess.READ)
    def Powered(self) -> "b":
        return self.powered

    @dbus_property(access=PropertyAccess.READ)
    def Roles(self) -> "as":
        return self.roles

    def switch(self, on: bool) -> None:
        """The user switches Bluetooth off or on."""
        self.powered = on
        for device in self._bluez.devices if not on else []:
            device.drop()
        self.emit_properties_changed({"Powered": on})

    @method()
    def SetDiscoveryFilter(self, properties: "a{sv}") -> None:
        pass

    @method()
    async def StartDiscovery(self) -> None:
        await self._bluez.meet("StartDiscovery")
        self.searching = True
        self.searches += 1
        for device in self._bluez.devices:
            device.advertise()

    @method()
    async def StopDiscovery(self) -> None:
        await self._bluez.meet("StopDiscovery")
        self.searching = False

    @method()
    def RemoveDevice(self, path: "o") -> None:
        self.removed.append(path)
        for device in self._bluez.devices:
            if device.path == path:
                device.forget()


class FakeBlueZ:
    """The whole service. Devices stay when the service itself goes and comes back."""

    def __init__(self, address: str) -> None:
        self._address = address
        self.bus: Any = None
        self.adapter: Adapter | None = Adapter(self)
        self.devices: list[Device] = []
        self._faults: dict[str, list[str]] = {}
        self._delays: dict[str, float] = {}
        self._calls = 0
        self._call_came = asyncio.Event()

    async def start(self) -> None:
        self.bus = await MessageBus(
            bus_address=self._address, bus_type=BusType.SYSTEM, negotiate_unix_fd=True
        ).connect()
        self.bus.add_message_handler(self._count)
        if self.adapter is not None:
            self.bus.export(ADAPTER, self.adapter)
        await self.bus.request_name("org.bluez")

    async def stop(self) -> None:
        """The Bluetooth service ends, as on a crash: nothing is reported to anybody."""
        if self.bus is not None:
            self.bus.disconnect()
            await self.bus.wait_for_disconnect()
            self.bus = None
        for device in self.devices:
            device.known = device.connected = False

    def fail(self, method_name: str, error: str, text: str = "", *, times: int = 1) -> None:
        """Answer the next calls of a method with an error."""
        self._faults.setdefault(method_name, []).extend([f"{error}\n{text}"] * times)

    def delay(self, method_name: str, by_s: float) -> None:
        """Answer a method only after a while."""
        self._delays[method_name] = by_s

    def _count(self, message: Message) -> None:
        if message.message_type is MessageType.METHOD_CALL:
            self._calls += 1
            self._call_came.set()

    async def called(self, times: int) -> None:
        """Until so many more calls of any method have come."""
        wanted = self._calls + times
        async with asyncio.timeout(PATIENCE_S):
            while self._calls < wanted:
                self._call_came.clear()
                await self._call_came.wait()

    async def meet(self, method_name: str) -> None:
        """Let a called method meet its fate."""
        if method_name in self._delays:
            await asyncio.sleep(self._delays[method_name])
        if self._faults.get(method_name):
            error, _, text = self._faults[method_name].pop(0).partition("\n")
            raise DBusError(error, text)

    def add_device(self, address: str, name: str, uuids: list[str]) -> Device:
        device = Device(self, address, name, uuids)
        self.devices.append(device)
        if self.adapter is not None and self.adapter.searching:
            device.advertise()
        return device

    def add_line_scale(self, name: str = "bench", address: str = "AA:BB:CC:00:00:01") -> Device:
        """A scale that speaks lines over the usual pair."""
        device = self.add_device(address, name, [LINES_SERVICE])
        device.add_service(
            LINES_SERVICE,
            {LINES_NOTIFY: ["notify"], LINES_WRITE: ["write", "write-without-response"]},
        )
        return device
