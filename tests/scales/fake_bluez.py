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

from dbus_fast import BusType, DBusError, PropertyAccess
from dbus_fast.aio import MessageBus
from dbus_fast.service import ServiceInterface, dbus_property, method

LINES_SERVICE = "6e400001-b5a3-f393-e0a9-e50e24dcca9e"
LINES_NOTIFY = "6e400003-b5a3-f393-e0a9-e50e24dcca9e"
LINES_WRITE = "6e400002-b5a3-f393-e0a9-e50e24dcca9e"
WEIGHT_SCALE = "0000181d-0000-1000-8000-00805f9b34fb"
GENERIC_ATTRIBUTE = "00001801-0000-1000-8000-00805f9b34fb"

ADAPTER = "/org/bluez/hci0"

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


class Device(ServiceInterface):
    """``org.bluez.Device1`` and its GATT objects."""

    def __init__(self, bluez: "FakeBlueZ", address: str, name: str, uuids: list[str]) -> None:
        super().__init__("org.bluez.Device1")
        self._bluez = bluez
        self.address = address
        self.alias = name
        self.uuids = uuids
        self.path = f"{ADAPTER}/dev_{address.replace(':', '_')}"
        self.in_sight = True
        self.known = False
        self.connected = False
        self.connections = 0
        self.services: list[tuple[str, ServiceInterface]] = []
        self.characteristics: dict[str, Characteristic] = {}

    @dbus_property(access=PropertyAccess.READ)
    def Address(self) -> "s":
        return self.address

    @dbus_property(access=PropertyAccess.READ)
    def Alias(self) -> "s":
        return self.alias

    @dbus_property(access=PropertyAccess.READ)
    def Name(self) -> "s":
        return self.alias

    @dbus_property(access=PropertyAccess.READ)
    def Adapter(self) -> "o":
        return ADAPTER

    @dbus_property(access=PropertyAccess.READ)
    def Connected(self) -> "b":
        return self.connected

    @dbus_property(access=PropertyAccess.READ)
    def Paired(self) -> "b":
        return False

    @dbus_property(access=PropertyAccess.READ)
    def ServicesResolved(self) -> "b":
        return self.connected

    @dbus_property(access=PropertyAccess.READ)
    def UUIDs(self) -> "as":
        return [*self.uuids, GENERIC_ATTRIBUTE]

    @dbus_property(access=PropertyAccess.READ)
    def RSSI(self) -> "n":
        return -60

    @method()
    async def Connect(self) -> None:
        await self._bluez.meet("Connect")
        self.connect()

    @method()
    async def Disconnect(self) -> None:
        await self._bluez.meet("Disconnect")
        self.drop()

    def add_service(self, uuid: str, characteristics: dict[str, list[str]]) -> None:
        """Characteristics by UUID, with their flags."""
        number = 0x10 * (1 + len([path for path, _ in self.services if path.count("/") == 5]))
        path = f"{self.path}/service{number:04x}"
        self.services.append((path, Service(uuid, self.path)))
        for offset, (char_uuid, flags) in enumerate(characteristics.items(), 1):
            characteristic = Characteristic(self._bluez, char_uuid, path, flags)
            self.characteristics[char_uuid] = characteristic
            self.services.append((f"{path}/char{number + offset:04x}", characteristic))

    def advertise(self) -> None:
        """Let a running search see it."""
        if not self.in_sight or self.connected:
            return
        if not self.known:
            self.known = True
            self._bluez.bus.export(self.path, self)
        else:
            self.emit_properties_changed({"RSSI": -60, "Name": self.alias})

    def connect(self) -> None:
        if self.connected:
            return
        self.connected = True
        self.connections += 1
        for path, interface in self.services:
            self._bluez.bus.export(path, interface)
        self.emit_properties_changed({"Connected": True})
        self.emit_properties_changed({"ServicesResolved": True})

    def drop(self) -> None:
        """The radio link is lost, or was asked to end."""
        if not self.connected:
            return
        self.connected = False
        for characteristic in self.characteristics.values():
            characteristic.notifying = False
        self.emit_properties_changed({"ServicesResolved": False, "Connected": False})
        for path, interface in reversed(self.services):
            self._bluez.bus.unexport(path, interface)

    def forget(self) -> None:
        """The system removes it."""
        self.drop()
        if self.known:
            self.known = False
            self._bluez.bus.unexport(self.path, self)

    def notify(self, uuid: str, data: bytes, *, times: int = 1) -> bool:
        """Send a notification; False where nobody asked for it."""
        characteristic = self.characteristics[uuid]
        if not self.connected or not characteristic.notifying:
            return False
        for _ in range(times):
            characteristic.emit_properties_changed({"Value": data})
        return True

    def send_lines(self, data: bytes, mtu: int = 23) -> bool:
        """Over the lines service, split as the link's MTU has it."""
        size = mtu - 3
        pieces = [data[at : at + size] for at in range(0, len(data), size)]
        return [self.notify(LINES_NOTIFY, piece) for piece in pieces] == [True] * len(pieces)


class Service(ServiceInterface):
    """``org.bluez.GattService1``."""

    def __init__(self, uuid: str, device: str) -> None:
        super().__init__("org.bluez.GattService1")
        self._uuid = uuid
        self._device = device

    @dbus_property(access=PropertyAccess.READ)
    def UUID(self) -> "s":
        return self._uuid

    @dbus_property(access=PropertyAccess.READ)
    def Device(self) -> "o":
        return self._device

    @dbus_property(access=PropertyAccess.READ)
    def Primary(self) -> "b":
        return True


class Characteristic(ServiceInterface):
    """``org.bluez.GattCharacteristic1``."""

    def __init__(self, bluez: "FakeBlueZ", uuid: str, service: str, flags: list[str]) -> None:
        super().__init__("org.bluez.GattCharacteristic1")
        self._bluez = bluez
        self._uuid = uuid
        self._service = service
        self._flags = flags
        self.notifying = False
        self.written: list[bytes] = []
        self.write_kinds: list[str] = []

    @dbus_property(access=PropertyAccess.READ)
    def UUID(self) -> "s":
        return self._uuid

    @dbus_property(access=PropertyAccess.READ)
    def Service(self) -> "o":
        return self._service

    @dbus_property(access=PropertyAccess.READ)
    def Flags(self) -> "as":
        return self._flags

    @dbus_property(access=PropertyAccess.READ)
    def MTU(self) -> "q":
        return 23

    @dbus_property(access=PropertyAccess.READ)
    def Value(self) -> "ay":
        return b""

    @method()
    async def StartNotify(self) -> None:
        await self._bluez.meet("StartNotify")
        self.notifying = True

    @method()
    def StopNotify(self) -> None:
        self.notifying = False

    @method()
    async def WriteValue(self, value: "ay", options: "a{sv}") -> None:
        await self._bluez.meet("WriteValue")
        self.written.append(bytes(value))
        self.write_kinds.append(options["type"].value)


class FakeBlueZ:
    """The whole service. Devices stay when the service itself goes and comes back."""

    def __init__(self, address: str) -> None:
        self._address = address
        self.bus: Any = None
        self.adapter: Adapter | None = Adapter(self)
        self.devices: list[Device] = []
        self._faults: dict[str, list[str]] = {}
        self._delays: dict[str, float] = {}

    async def start(self) -> None:
        self.bus = await MessageBus(
            bus_address=self._address, bus_type=BusType.SYSTEM, negotiate_unix_fd=True
        ).connect()
        if self.adapter is not None:
            self.bus.export(ADAPTER, self.adapter)
        await self.bus.request_name("org.bluez")

    async def stop(self) -> None:
        """The Bluetooth service ends, as on a crash: nobody is told of anything."""
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
