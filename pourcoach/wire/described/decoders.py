"""Decoders made from scale descriptions."""

from collections import Counter

from pourcoach.domain.inputs import Reading
from pourcoach.domain.units import Grams, Seconds
from pourcoach.wire.binary_frame import BinaryFrame, read_frame
from pourcoach.wire.decoder import MOST_G, Decoder, DropReason
from pourcoach.wire.description import (
    BinaryLayout,
    LinePattern,
    NumberField,
    NumberKind,
    ScaleDescription,
)
from pourcoach.wire.device_clock import WRAP_MS, DeviceClock
from pourcoach.wire.lines.line_decoder import LineDecoder
from pourcoach.wire.lines.line_pattern import LineMatcher
from pourcoach.wire.lines.line_stream import LineStream, StreamLine
from pourcoach.wire.mass_unit import GRAMS_IN


def decoder_for(description: ScaleDescription) -> Decoder:
    """A decoder for one connection to a scale so described."""
    grams_each = description.factor * GRAMS_IN[description.unit]
    if description.line is not None:
        return PatternDecoder(
            description.line, description.factor, grams_each, pauses=description.on_change
        )
    if description.layout is not None:
        return LayoutDecoder(description.layout, grams_each)
    return LineDecoder(pauses=description.on_change)


class PatternDecoder:
    """Lines of a described form. Those that may be torn (``LineStream``) are left out."""

    def __init__(
        self, pattern: LinePattern, factor: float, grams_each: Grams, *, pauses: bool = False
    ) -> None:
        """``grams_each`` holds where the line has no unit; ``factor`` alone where it has one.

        ``pauses`` as ``LineStream`` has it.
        """
        self._stream = LineStream(pauses=pauses)
        self._matcher = LineMatcher(pattern)
        self._factor = factor
        self._grams_each = grams_each
        self._clock = DeviceClock()
        self._dropped: Counter[DropReason] = Counter()

    @property
    def dropped(self) -> Counter[DropReason]:
        return self._dropped

    def feed(self, data: bytes, t_s: Seconds) -> list[Reading]:
        readings = []
        for line in self._stream.feed(data, t_s):
            reading = self._reading(line, t_s)
            if isinstance(reading, DropReason):
                self._dropped[reading] += 1
            else:
                readings.append(reading)
        return readings

    def _reading(self, line: StreamLine, t_s: Seconds) -> Reading | DropReason:
        if line.data is None:
            return DropReason.TOO_LONG
        if line.torn:
            return DropReason.CUT
        matched = self._matcher.match(line.data)
        if matched is None:
            return DropReason.OTHER
        unit_g = matched.unit_g
        grams = matched.value * (self._grams_each if unit_g is None else self._factor * unit_g)
        if abs(grams) > MOST_G:
            return DropReason.OUT_OF_RANGE
        ms = matched.device_ms
        device_s = None if ms is None else self._clock.seconds(ms)
        return Reading(t_s, grams, device_s, matched.sequence, stable=matched.stable)


class LayoutDecoder:
    """Frames of a described layout.

    With a start mark they are found in any stream, however cut; without one, each ``feed`` is
    one notification and that is one frame.
    """

    def __init__(self, layout: BinaryLayout, grams_each: Grams) -> None:
        self._layout = layout
        self._grams_each = grams_each
        self._rest = b""
        self._last: bytes | None = None
        self._sequence: int | None = None
        self._clock = DeviceClock(_range_of(layout.device_ms))
        self._dropped: Counter[DropReason] = Counter()

    @property
    def dropped(self) -> Counter[DropReason]:
        return self._dropped

    def feed(self, data: bytes, t_s: Seconds) -> list[Reading]:
        if self._layout.start:
            return self._feed_stream(data, t_s)
        if len(data) < self._layout.length:
            self._dropped[DropReason.CUT] += 1
            return []
        reading = self._reading(data[: self._layout.length], t_s)
        return [reading] if reading is not None else []

    def _feed_stream(self, data: bytes, t_s: Seconds) -> list[Reading]:
        start, length = self._layout.start, self._layout.length
        stream = self._rest + data
        readings = []
        at = 0
        while (at := stream.find(start, at)) >= 0 and at + length <= len(stream):
            frame = stream[at : at + length]
            reading = self._reading(frame, t_s)
            if reading is not None:
                readings.append(reading)
            # A frame that does not fit began at a start mark that was none: look right behind it.
            at += length if reading is not None or frame == self._last else 1
        # Without a start mark in sight, one may still be cut in two at the end.
        self._rest = stream[at:] if at >= 0 else stream[max(0, len(stream) - len(start) + 1) :]
        return readings

    def _reading(self, frame: bytes, t_s: Seconds) -> Reading | None:
        parsed = self._parsed(frame)
        if isinstance(parsed, DropReason):
            self._dropped[parsed] += 1
            return None
        ms = parsed.device_ms
        device_s = None if ms is None else self._clock.seconds(ms)
        grams = parsed.value * self._grams_each
        return Reading(t_s, grams, device_s, self._unwrapped(parsed.sequence), stable=parsed.stable)

    def _parsed(self, frame: bytes) -> BinaryFrame | DropReason:
        if self._layout.sequence is not None and frame == self._last:
            return DropReason.REPEATED
        parsed = read_frame(frame, self._layout)
        if isinstance(parsed, BinaryFrame):
            self._last = frame
            if abs(parsed.value * self._grams_each) > MOST_G:
                return DropReason.OUT_OF_RANGE
        return parsed

    def _unwrapped(self, sequence: int | None) -> int | None:
        if sequence is None:
            return None
        if self._sequence is None:
            self._sequence = sequence
        else:
            self._sequence += (sequence - self._sequence) % _range_of(self._layout.sequence)
        return self._sequence


def _range_of(place: NumberField | None) -> int:
    """At which a counter wraps."""
    if place is None:
        return WRAP_MS
    base = {NumberKind.BCD: 100, NumberKind.ASCII: 10}.get(place.kind, 256)
    return int(base**place.size)
