"""A fake ``org.bluez.Device`` and its GATT objects, for the fake service to show.

Import the fake service first: it skips the tests where there is no message bus.
"""

# dbus-fast reads D-Bus signatures from annotations: they must not be made into strings' strings.
# ruff: noqa: F821, F722, N802

from typing import TYPE_CHECKING

from dbus_fast import PropertyAccess
from dbus_fast.service import ServiceInterface, dbus_property, method

if TYPE_CHECKING:
    from tests.scales.fake_bluez import FakeBlueZ

LINES_SERVICE = "6e400001-b5a3-f393-e0a9-e50e24dcca9e"
LINES_NOTIFY = "6e400003-b5a3-f393-e0a9-e50e24dcca9e"
LINES_WRITE = "6e400002-b5a3-f393-e0a9-e50e24dcca9e"
WEIGHT_SCALE = "0000181d-0000-1000-8000-00805f9b34fb"
GENERIC_ATTRIBUTE = "00001801-0000-1000-8000-00805f9b34fb"

ADAPTER = "/org/bluez/hci0"


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
