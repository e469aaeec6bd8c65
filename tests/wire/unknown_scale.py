"""Scales that the wizard has never met: frames made from grams, captured as they would arrive."""

import random
from collections.abc import Callable, Iterator

from pourcoach.wire.description import Transport
from pourcoach.wire.unknown.capture import Capture, Chunk

FrameOf = Callable[[float, int, int], bytes]
"""Grams, count and milliseconds of the scale's clock → the bytes of one weighing."""


def captured(
    frame_of: FrameOf,
    *,
    known_g: float = 200.0,
    transport: Transport = Transport.SERIAL,
    hz: float = 10.0,
    seconds: float = 6.0,
    noise_g: float = 0.05,
    empty_g: float = 0.0,
    gain: float = 1.0,
    below: bool = False,
    seed: int = 1,
) -> Capture:
    """The stretches in which the weight is off, on, off (and below zero), moves left out."""
    chance = random.Random(seed)
    frames = _frames(frame_of, hz, noise_g, chance)
    levels = [empty_g, empty_g + known_g, empty_g, *([empty_g - known_g] if below else [])]
    stretches = []
    for level_g in levels:
        sent = [frames(level_g * gain) for _ in range(round(seconds * hz))]
        stretches.append(tuple(_arriving(sent, transport, chance)))
        # The move itself: weighed and counted, but not captured.
        for _ in range(round(2 * hz)):
            frames(level_g * gain)
    return Capture(known_g, *stretches[:3], tuple(stretches[3]) if below else (), transport)


def _frames(
    frame_of: FrameOf, hz: float, noise_g: float, chance: random.Random
) -> Callable[[float], tuple[float, bytes]]:
    count = chance.randrange(1000)
    origin_ms = chance.randrange(10**6)
    began = count

    def next_frame(grams: float) -> tuple[float, bytes]:
        nonlocal count
        count += 1
        t_s = (count - began) / hz
        ms = origin_ms + round(1000 * t_s)
        return t_s, frame_of(grams + chance.gauss(0, noise_g), count, ms)

    return next_frame


def _arriving(
    sent: list[tuple[float, bytes]], transport: Transport, chance: random.Random
) -> Iterator[Chunk]:
    """A notification each over Bluetooth; on a cable a frame may come in two, or two in one, and
    listening begins in the middle of one."""
    if transport is Transport.BLE:
        yield from ((t_s + chance.uniform(0, 0.05), data) for t_s, data in sent)
        return
    first_s, first = sent[0]
    sent = [(first_s, first[chance.randrange(len(first)) :]), *sent[1:]]
    kept = b""
    for t_s, data in sent:
        data = kept + data
        kept = b""
        luck = chance.random()
        if luck < 0.1:
            kept = data
        elif luck < 0.2 and len(data) > 1:
            cut = chance.randrange(1, len(data))
            yield t_s, data[:cut]
            yield t_s + 0.002, data[cut:]
        else:
            yield t_s, data
    if kept:
        yield sent[-1][0] + 0.1, kept
