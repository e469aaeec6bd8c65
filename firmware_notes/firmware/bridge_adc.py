"""A 24-bit bridge converter on two wires: the board clocks, the converter answers, top bit first.

Several converters may share the clock wire; they are then read at the same moment.
"""

LOWEST_CODE = -0x800000
HIGHEST_CODE = 0x7FFFFF
BITS = 24


class BridgeAdc:
    def __init__(self, clock, data_pins, pulses=25, disable_irq=None, enable_irq=None):
        """``clock`` and each of ``data_pins`` are objects with ``.value()``, as machine.Pin is.

        ``pulses`` past the 24 bits choose input and gain for the next conversion: on the usual
        part 25 is channel A at gain 128, 27 channel A at gain 64, 26 channel B at gain 32.
        """
        self._clock = clock
        self._data_pins = data_pins
        self._pulses = pulses
        self._disable_irq = disable_irq
        self._enable_irq = enable_irq
        clock.value(0)

    def ready(self):
        """Whether every converter has a new conversion: each pulls its data line low."""
        return not any(pin.value() for pin in self._data_pins)

    def read(self):
        """One signed code a converter. Call only when ``ready``."""
        codes = [0] * len(self._data_pins)
        for _ in range(BITS):
            self._pulse()
            for index, pin in enumerate(self._data_pins):
                codes[index] = codes[index] << 1 | pin.value()
        for _ in range(self._pulses - BITS):
            self._pulse()
        return [code - 0x1000000 if code & 0x800000 else code for code in codes]

    def _pulse(self):
        # The usual part powers down when the clock stays high for 60 µs (data sheet): an
        # interrupt must not fall between the two edges.
        state = self._disable_irq() if self._disable_irq else None
        self._clock.value(1)
        self._clock.value(0)
        if self._enable_irq:
            self._enable_irq(state)


def saturated(code):
    """Whether a code is an end of the range: the true load may be anything beyond it."""
    return code <= LOWEST_CODE or code >= HIGHEST_CODE
