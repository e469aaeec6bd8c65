"""The same lines over Bluetooth: one characteristic notifies, one is written.

The service is the pair of characteristics that microcontroller libraries commonly use to carry a
byte stream. A line may be split over several notifications: the host puts them together.
"""

SERVICE = "6e400001-b5a3-f393-e0a9-e50e24dcca9e"
WRITTEN = "6e400002-b5a3-f393-e0a9-e50e24dcca9e"
NOTIFIES = "6e400003-b5a3-f393-e0a9-e50e24dcca9e"

_CONNECT, _DISCONNECT, _WRITE, _MTU = 1, 2, 3, 21  # events, as the bluetooth module numbers them
_READ_FLAG, _NO_RESPONSE, _WRITE_FLAG, _NOTIFY_FLAG = 0x02, 0x04, 0x08, 0x10
ADVERTISE_EVERY_US = 250_000
SMALLEST_PAYLOAD = 20  # an MTU of 23 less 3 bytes of header
LONGEST_COMMAND = 64


class BluetoothLink:
    def __init__(self, ble, uuid, name):
        """``ble`` and ``uuid`` are bluetooth.BLE() and bluetooth.UUID."""
        self._ble = ble
        self._connection = None
        self._payload = SMALLEST_PAYLOAD
        self._arrived = []
        self._rest = b""
        ble.active(True)
        ble.config(gap_name=name, mtu=185)
        service = (
            uuid(SERVICE),
            (
                (uuid(NOTIFIES), _READ_FLAG | _NOTIFY_FLAG),
                (uuid(WRITTEN), _WRITE_FLAG | _NO_RESPONSE),
            ),
        )
        ((self._notifies, self._written),) = ble.gatts_register_services((service,))
        ble.gatts_set_buffer(self._written, LONGEST_COMMAND, True)
        ble.irq(self._on_event)
        # Flags, then the service; the name goes into the answer to an active scan.
        identity = bytes(reversed(bytes.fromhex(SERVICE.replace("-", ""))))
        self._advertisement = b"\x02\x01\x06" + bytes((17, 0x07)) + identity
        short = name.encode()[:18]
        self._answer = bytes((len(short) + 1, 0x09)) + short
        self._advertise()

    def write(self, data):
        """Notify; dropped while nobody is connected or the radio is busy."""
        connection = self._connection
        if connection is None:
            return
        for start in range(0, len(data), self._payload):
            try:
                self._ble.gatts_notify(
                    connection, self._notifies, data[start : start + self._payload]
                )
            except OSError:
                return  # a torn line fails its checksum at the host

    def lines(self):
        """The complete lines that have come, without their ends."""
        # The event comes between any two steps of this: a list's ends are safe, a string is not.
        while self._arrived:
            self._rest += self._arrived.pop(0)
        *lines, rest = self._rest.replace(b"\r", b"\n").split(b"\n")
        self._rest = rest[-LONGEST_COMMAND:]
        return [line for line in lines if line]

    def _on_event(self, event, data):
        if event == _CONNECT:
            self._connection = data[0]
            self._payload = SMALLEST_PAYLOAD
        elif event == _DISCONNECT:
            self._connection = None
            self._arrived.append(b"\n")  # ends what was cut off
            self._advertise()
        elif event == _WRITE and data[1] == self._written:
            self._arrived.append(self._ble.gatts_read(self._written))
        elif event == _MTU:
            self._payload = data[1] - 3

    def _advertise(self):
        self._ble.gap_advertise(
            ADVERTISE_EVERY_US, adv_data=self._advertisement, resp_data=self._answer
        )
