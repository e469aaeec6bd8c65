"""Runs under MicroPython: the board's own main.py, unchanged, on a fake converter and radio.

Usage: micropython fake_board.py FIRMWARE_FOLDER HZ LOAD_FILE [CELLS]. The load file holds the
grams on the platform now, or SATURATED; the converter gives 1000 counts a gram from -5000 counts.
"""

import os
import sys
import time

folder, hz, load_file = sys.argv[1], int(sys.argv[2]), sys.argv[3]
cells = int(sys.argv[4]) if len(sys.argv) > 4 else 1
sys.path.insert(0, folder)
COUNTS_PER_G = 1000
EMPTY = -5000


class BoardTime:
    """The board's clock. It stands still while a busy machine does not let the board run, so that
    a conversion that is missed is missed by the firmware."""

    LONGEST_TURN_US = 1000
    ticks_diff = staticmethod(time.ticks_diff)

    def __init__(self):
        self.us = 0
        self.seen_us = time.ticks_us()

    def ticks_us(self):
        now_us = time.ticks_us()
        self.us += min(time.ticks_diff(now_us, self.seen_us), self.LONGEST_TURN_US)
        self.seen_us = now_us
        return self.us

    def ticks_ms(self):
        return self.ticks_us() // 1000


board_time = BoardTime()


class FakeConverters:
    """As the data sheet states: low when ready, a bit a rising edge, 25 to 27 pulses, then high."""

    def __init__(self):
        self.taken = 0
        self.pulses = 0
        self.codes = [0] * cells
        self.high = False

    def due(self):
        return board_time.ticks_us() * hz // 1000000

    def clock(self, level):
        if level and not self.high:
            if not self.pulses:
                self.begin()
            self.pulses += 1
        self.high = bool(level)

    def begin(self):
        if self.taken >= self.due():
            raise RuntimeError("clocked before the conversion was ready")
        self.taken = self.due()
        with open(load_file) as file:
            load = file.read()
        for cell in range(cells):
            if load == "SATURATED":
                self.codes[cell] = 0x7FFFFF
            else:
                grams = float(load) * (cell + 1) / sum(range(cells + 1))
                self.codes[cell] = (round(grams * COUNTS_PER_G) + EMPTY) & 0xFFFFFF

    def data(self, cell):
        if 0 < self.pulses <= 24:
            return self.codes[cell] >> (24 - self.pulses) & 1
        # After the 25th pulse the line stays high until the next conversion.
        if self.pulses in (25, 26, 27) and self.due() > self.taken:
            self.pulses = 0
        return 0 if not self.pulses and self.due() > self.taken else 1


converters = FakeConverters()


class Pin:
    IN, OUT = 0, 1

    def __init__(self, number, mode):
        self.number, self.mode = number, mode

    def value(self, *level):
        if self.mode == Pin.OUT:
            return converters.clock(level[0])
        return converters.data(settings.DATA_PINS.index(self.number))


class FakeMachine:
    Pin = Pin
    disable_irq = staticmethod(lambda: 0)
    enable_irq = staticmethod(lambda state: None)


class FakeBle:
    """The radio: what is advertised and notified goes to the file that FAKE_RADIO names."""

    def __init__(self):
        self.log = open(os.getenv("FAKE_RADIO"), "w")  # noqa: SIM115 (as long as the board runs)

    def note(self, kind, data):
        self.log.write(kind + " " + "".join(f"{byte:02x}" for byte in data) + "\n")
        self.log.flush()

    def active(self, on):
        pass

    def config(self, **settings):
        self.note("name", settings["gap_name"].encode())

    def gatts_register_services(self, services):
        ((service, characteristics),) = services
        for uuid in (service, characteristics[0][0], characteristics[1][0]):
            self.note("uuid", uuid.encode())
        return ((7, 9),)

    def gatts_set_buffer(self, handle, length, append):
        pass

    def irq(self, handler):
        self.handler = handler

    def gap_advertise(self, _every_us, adv_data, resp_data):
        self.note("advertise", adv_data)
        self.note("answer", resp_data)
        self.handler(1, (64, 0, b""))
        self.note("connected", b"")
        self.handler(3, (64, 9))

    def gatts_read(self, _handle):
        return b"about\n"

    def gatts_notify(self, _connection, _handle, data):
        self.note("notify", data)


class FakeBluetooth:
    BLE = FakeBle
    UUID = str


sys.modules["time"] = board_time
sys.modules["machine"] = FakeMachine
sys.modules["bluetooth"] = FakeBluetooth

import settings  # noqa: E402

settings.ADC_RATE_HZ = hz
settings.DATA_PINS = tuple(range(settings.DATA_PINS[0], settings.DATA_PINS[0] + cells))
settings.COUNTS_PER_G = (COUNTS_PER_G,) * cells
settings.EMPTY_COUNTS = (EMPTY,) * cells
settings.BLUETOOTH = os.getenv("FAKE_RADIO") is not None

import main  # noqa: E402, F401
