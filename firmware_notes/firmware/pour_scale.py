"""The scale itself: conversions in, lines out, and the four commands.

It does not smooth, does not snap to zero and does not round to a step. Each line states when it
was weighed by the board's own clock, so that the way to the host may take its time.
"""

import time

from bridge_adc import saturated
from checked_line import checked

VERSION = "1"
TARE_READINGS = 8


class PourScale:
    def __init__(
        self, adc, links, adc_rate_hz, settle_readings, counts_per_g, empty_counts, ticks_ms=None
    ):
        """``links`` have ``write(data)`` and ``lines()``. ``ticks_ms`` is the board's clock."""
        self._adc = adc
        self._links = links
        self._adc_rate_hz = adc_rate_hz
        self._settle_readings = settle_readings
        self._counts_per_g = counts_per_g
        self._zero = list(empty_counts)
        self._ticks_ms = ticks_ms or time.ticks_ms
        self._last_ticks = self._ticks_ms()
        self._device_ms = 0
        self._sequence = 0
        self._to_discard = settle_readings
        self._every = 1
        self._block = []
        self._recent = []
        self._counts = False

    def step(self):
        """One turn of the main loop. Never waits."""
        if self._adc.ready():
            device_ms = self._now_ms()
            self._take(self._adc.read(), device_ms)
        for link in self._links:
            for line in link.lines():
                answer = self._obey(line)
                if answer:
                    link.write(answer)

    def _now_ms(self):
        # The board's own ticks wrap at a power of two below 2**32: count them on.
        ticks = self._ticks_ms()
        passed = time.ticks_diff(ticks, self._last_ticks)
        self._last_ticks = ticks
        self._device_ms = (self._device_ms + passed) & 0xFFFFFFFF
        return self._device_ms

    def _take(self, codes, device_ms):
        if self._to_discard:
            self._to_discard -= 1
            return
        self._block.append((device_ms, codes))
        if len(self._block) < self._every:
            return
        # At a lower rate several conversions become one line, stamped with the middle of them.
        count = len(self._block)
        first_ms = self._block[0][0]
        middle_ms = first_ms + sum((ms - first_ms) & 0xFFFFFFFF for ms, _ in self._block) // count
        cells = range(len(codes))
        means = [sum(block[cell] for _, block in self._block) / count for cell in cells]
        bad = any(saturated(code) for _, block in self._block for code in block)
        self._block = []
        self._sequence = (self._sequence + 1) & 0xFFFFFFFF
        if self._counts:
            self._send("c", middle_ms, [round(mean) for mean in means], "%d")
        elif not bad:
            # A saturated reading is not sent: the gap in the sequence shows that one is missing.
            self._recent = self._recent[1 - TARE_READINGS :] + [means]
            grams = [(means[cell] - self._zero[cell]) / self._counts_per_g[cell] for cell in cells]
            self._send("w", middle_ms, grams, "%.2f")

    def _send(self, kind, ms, values, form):
        shown = values if len(values) == 1 else [sum(values)] + values
        fields = [kind, str(self._sequence), str(ms & 0xFFFFFFFF)] + [form % one for one in shown]
        line = checked(",".join(fields))
        for link in self._links:
            link.write(line)

    def _obey(self, line):
        """Do what a line from the host says. The answer to send back, or None."""
        words = line.strip().lower().split()
        if words == [b"tare"]:
            if self._recent:
                cells = range(len(self._zero))
                count = len(self._recent)
                self._zero = [sum(means[cell] for means in self._recent) / count for cell in cells]
        elif len(words) == 2 and words[0] == b"rate" and words[1].isdigit() and int(words[1]):
            self._every = max(1, round(self._adc_rate_hz / int(words[1])))
            self._block = []
            self._recent = []
        elif words == [b"counts", b"on"] or words == [b"counts", b"off"]:
            self._counts = words[1] == b"on"
        elif words == [b"about"]:
            return self._about()
        return None

    def _about(self):
        settle_ms = 1000 * self._settle_readings / self._adc_rate_hz
        # A filter that settles evenly over its window is late by half of it.
        delay_ms = settle_ms / 2
        rate_hz = self._adc_rate_hz / self._every
        return checked(
            f"a,firmware=pourcoach-reference,version={VERSION},rate_hz={rate_hz:g}"
            f",settle_ms={settle_ms:g},delay_ms={delay_ms:g},cells={len(self._zero)}"
        )
