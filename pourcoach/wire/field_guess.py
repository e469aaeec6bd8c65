"""Finding the weight, and what stands beside it, in frames of a fixed length."""

import statistics
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from pourcoach.domain.units import Grams
from pourcoach.wire.binary_frame import checksum_fits, read_number
from pourcoach.wire.description import (
    BinaryLayout,
    ByteTest,
    ChecksumKind,
    FrameChecksum,
    NumberField,
    NumberKind,
)
from pourcoach.wire.frame_guess import Frames
from pourcoach.wire.levels import RETURN_SHARE, Levels, levels_of

# A number that cannot hold this much is taken for a part of a wider one: bench scales and kitchen
# scales weigh 2 kg and more. Common practice.
LEAST_RANGE_G: Grams = 2000.0
# A few frames of another kind, or broken ones, are let pass.
FITTING_SHARE = 0.97
# A clock of the scale's own runs as fast as ours, but for this share.
CLOCK_SHARE = 0.03
# The lowest byte of a weight takes this many values or more at rest.
LEAST_NOISY_VALUES = 3
_BCD_LENGTHS = range(2, 6)
_ASCII_LENGTHS = range(3, 11)
_INTEGERS = {
    1: (NumberKind.INT8, NumberKind.UINT8),
    2: (NumberKind.INT16, NumberKind.UINT16),
    3: (NumberKind.INT24, NumberKind.UINT24),
    4: (NumberKind.INT32, NumberKind.UINT32),
}
_SIGNED = {signed for signed, _ in _INTEGERS.values()}


@dataclass(frozen=True, slots=True)
class LayoutGuess:
    """A layout under which a number follows the weight."""

    layout: BinaryLayout
    levels: Levels
    factor: float
    unit: str
    plainness: int
    """As ``Levels.factor`` gives it."""
    sign_seen: bool
    """Whether a negative weight was seen and is read right."""
    left_over: int = 0
    """Bytes that follow the weight and are noisy as a weight is, yet no part of this number."""


def guess_layouts(frames: Frames, known_g: Grams) -> list[LayoutGuess]:
    """The likeliest first; empty where nothing follows the weight."""
    checksum = _checksum(frames)
    sequence = _sequence(frames, _bytes_of(checksum))
    taken = _bytes_of(checksum) | _bytes_of(sequence) | set(range(len(frames.start)))
    device_ms = _device_ms(frames, taken)
    taken |= _bytes_of(device_ms)
    beside = BinaryLayout(
        frames.length,
        NumberField(0, NumberKind.UINT8),
        frames.start,
        sequence=sequence,
        device_ms=device_ms,
        checksum=checksum,
    )
    guesses = [
        guess
        for place in _places(frames.length, taken)
        if (guess := _guess(frames, replace(beside, weight=place), known_g)) is not None
    ]
    moving = {
        offset
        for offset in range(frames.length)
        if offset not in taken and _follows_noisily(frames, offset)
    }
    for guess in guesses:
        if _is_whole(frames, guess.layout.weight):
            moving |= _bytes_of(guess.layout.weight)
    guesses = [
        replace(guess, left_over=len(moving - _bytes_of(guess.layout.weight))) for guess in guesses
    ]
    return sorted(guesses, key=lambda guess: _rank(guess, known_g))


def _places(length: int, taken: set[int]) -> Iterator[NumberField]:
    """Every number that could stand in the bytes that are left."""
    sizes: list[tuple[NumberKind, int]] = [
        (kind, size) for size, kinds in _INTEGERS.items() for kind in kinds
    ]
    sizes.append((NumberKind.FLOAT32, 4))
    sizes += [(NumberKind.BCD, size) for size in _BCD_LENGTHS]
    sizes += [(NumberKind.ASCII, size) for size in _ASCII_LENGTHS]
    for kind, size in sizes:
        orders = ("little",) if kind is NumberKind.ASCII or size == 1 else ("little", "big")
        stated = size if kind in (NumberKind.BCD, NumberKind.ASCII) else 0
        for offset in range(length - size + 1):
            if taken.isdisjoint(range(offset, offset + size)):
                for order in orders:
                    yield NumberField(offset, kind, order, stated)


def _guess(frames: Frames, layout: BinaryLayout, known_g: Grams) -> LayoutGuess | None:
    place = layout.weight
    if _end_says_nothing(frames, place):
        return None
    stretches = []
    for stretch in frames.stretches:
        numbers = [read_number(frame, place) for frame in stretch]
        values = [value for value in numbers if value is not None]
        if len(values) < FITTING_SHARE * len(numbers):
            return None
        stretches.append(values)
    levels = levels_of(stretches[:3], known_g)
    if levels is None or _range(place) < abs(levels.change):
        return None
    if _lowest_byte_is_rubbish(stretches, place) or _goes_on_below(frames, layout):
        return None
    factor, unit, plainness = levels.factor(known_g)
    # A zero that wanders below nothing shows how a sign goes through all of a number's bytes.
    sign_seen = place.kind in _SIGNED and any(
        -RETURN_SHARE * abs(levels.change) <= value < 0 for value in stretches[0]
    )
    guess = LayoutGuess(layout, levels, factor, unit, plainness, sign_seen)
    return _with_sign(guess, frames, stretches[3]) if len(stretches) > 3 else guess


def _with_sign(guess: LayoutGuess, frames: Frames, below: Sequence[float]) -> LayoutGuess | None:
    """Held against the stretch below zero; None where the number cannot be what is shown there."""
    zero = statistics.median(
        value
        for stretch in (frames.stretches[0], frames.stretches[2])
        for frame in stretch
        if (value := read_number(frame, guess.layout.weight)) is not None
    )
    there = statistics.median(below) - zero
    change = guess.levels.change
    slack = 0.05 * abs(change)
    if abs(there + change) <= slack:
        return replace(guess, sign_seen=True)
    if abs(there - change) <= slack:
        negative = _sign_test(frames, guess.layout)
        if negative is not None:
            layout = replace(guess.layout, negative=negative)
            return replace(guess, layout=layout, sign_seen=True)
    return None


def _sign_test(frames: Frames, layout: BinaryLayout) -> ByteTest | None:
    """A bit, or else a whole byte, that is set so below zero and at no weight above."""
    loaded, below = frames.stretches[1], frames.stretches[3]
    weight = set(range(layout.weight.offset, layout.weight.offset + layout.weight.size))
    for offset in range(frames.length):
        if offset in weight | _bytes_of(layout.checksum) | _bytes_of(layout.sequence):
            continue
        above_bytes = {frame[offset] for frame in loaded}
        below_bytes = {frame[offset] for frame in below}
        if len(above_bytes) != 1 or len(below_bytes) != 1 or above_bytes == below_bytes:
            continue
        was, now = above_bytes.pop(), below_bytes.pop()
        changed = was ^ now
        if changed & (changed - 1) == 0 and now & changed:
            return ByteTest(offset, changed)
        return ByteTest(offset, 0xFF, now)
    return None


def _end_says_nothing(frames: Frames, place: NumberField) -> bool:
    """Whether a byte at an end of the number is a constant that belongs to something else.

    Below a whole number it makes it 256 times itself and no more; digits may end in zeros, and
    begin with them, with blanks or with a sign.
    """
    last = place.offset + place.size - 1
    first_values = {frame[place.offset] for frame in frames.all}
    last_values = {frame[last] for frame in frames.all}
    if place.kind is NumberKind.ASCII:
        return _only(first_values, b"123456789") or _only(last_values, b"123456789")
    if place.kind is NumberKind.BCD:
        return any(len(ends) == 1 and ends != {0} for ends in (first_values, last_values))
    if place.size == 1 or place.kind is NumberKind.FLOAT32:
        return False
    return len(first_values if place.order == "little" else last_values) == 1


def _only(values: set[int], among: bytes) -> bool:
    return len(values) == 1 and not values.isdisjoint(among)


def _lowest_byte_is_rubbish(stretches: Sequence[Sequence[float]], place: NumberField) -> bool:
    """Whether a whole number is rougher for its lowest byte: a checksum's, not the weight's."""
    return _is_integer(place) and place.size > 1 and _gain(stretches) < -_GAIN / 2


def _is_whole(frames: Frames, place: NumberField) -> bool:
    """Whether a whole number is smoother for its lowest byte: that is a part of it for sure."""
    if not _is_integer(place) or place.size == 1:
        return False
    return _is_gain(_gain(_numbers(frames, place)))


def _goes_on_below(frames: Frames, layout: BinaryLayout) -> bool:
    """Whether a whole number would be smoother with the byte below it: it is only a part."""
    place = layout.weight
    below = place.offset - 1 if place.order == "little" else place.offset + place.size
    taken = _bytes_of(layout.checksum) | _bytes_of(layout.sequence) | _bytes_of(layout.device_ms)
    if not _is_integer(place) or below in taken:
        return False
    if not len(layout.start) <= below < frames.length:
        return False
    longer = [
        [256 * value + frame[below] for value, frame in zip(values, stretch, strict=True)]
        for values, stretch in zip(_numbers(frames, place), frames.stretches, strict=True)
    ]
    return _is_gain(_gain(longer))


def _is_integer(place: NumberField) -> bool:
    return place.kind not in (NumberKind.FLOAT32, NumberKind.ASCII, NumberKind.BCD)


def _numbers(frames: Frames, place: NumberField) -> list[list[float]]:
    return [[read_number(frame, place) or 0.0 for frame in stretch] for stretch in frames.stretches]


# Rounding to 256 adds the variance of an even spread, 256²/12, to a number whose noise is wider
# than that; a lowest byte that has nothing to do with it adds as much the other way.
_GAIN = 256**2 / 12


# A number that lies right on a rounding edge gains most: it falls on either side by chance, and
# half of 256 away from the middle of both.
_MOST_GAIN = 256**2 / 4


def _is_gain(gain: float) -> bool:
    return _GAIN / 2 < gain <= 1.2 * _MOST_GAIN


def _gain(stretches: Sequence[Sequence[float]]) -> float:
    """By how much a whole number's variance falls through its lowest byte."""
    rounded = [[value // 256 * 256 for value in values] for values in stretches]
    return _neighbour_variance(rounded) - _neighbour_variance(stretches)


def _neighbour_variance(stretches: Sequence[Sequence[float]]) -> float:
    """From differences of neighbours, the outermost tenth left out."""
    squares = sorted((two - one) ** 2 for values in stretches for one, two in pairwise(values))
    kept = squares[: max(1, len(squares) * 9 // 10)]
    return sum(kept) / len(kept) / 2


def _follows_noisily(frames: Frames, offset: int) -> bool:
    """Whether a byte's values are others with the weight on, the same again without it, and many
    at rest: a flag or a battery is not like that, and a part of the weight is."""
    off, on, off_again = ([frame[offset] for frame in stretch] for stretch in frames.stretches[:3])
    if max(len(set(off)), len(set(on))) < LEAST_NOISY_VALUES:
        return False
    return any(
        _overlap(off, on, width) < 0.5 < _overlap(off, off_again, width) for width in (1, 16)
    )


def _overlap(one: Sequence[int], two: Sequence[int], width: int) -> float:
    """How much of two histograms lies in the same bins, 0 to 1."""
    first = Counter(value // width for value in one)
    second = Counter(value // width for value in two)
    return sum(min(first[bin_] / len(one), second[bin_] / len(two)) for bin_ in first)


def _rank(guess: LayoutGuess, known_g: Grams) -> tuple[int, int, bool, bool, float, int, bool]:
    """Smaller is likelier."""
    place = guess.layout.weight
    grams_each = abs(known_g / guess.levels.change)
    # With a factor that fits nothing round, the finest number is the whole one.
    fineness = grams_each if guess.plainness == 3 else 0.0
    digits = place.kind in (NumberKind.BCD, NumberKind.ASCII)
    return (
        guess.left_over,
        guess.plainness,
        not guess.sign_seen,
        _range(place) * grams_each < LEAST_RANGE_G,
        fineness,
        # The sign went through all its bytes: the widest such number is the whole one.
        # And so are all the digits in a row.
        -place.size if guess.sign_seen or digits else place.size,
        place.kind not in _SIGNED,
    )


def _range(place: NumberField) -> float:
    if place.kind is NumberKind.FLOAT32:
        return float("inf")
    if place.kind is NumberKind.BCD:
        return 100.0**place.size
    if place.kind is NumberKind.ASCII:
        return 10.0**place.size
    bits = 8 * place.size - (1 if place.kind in _SIGNED else 0)
    return float(1 << bits)


def _checksum(frames: Frames) -> FrameChecksum | None:
    every = frames.all
    for kind, size in ((ChecksumKind.CRC16, 2), (ChecksumKind.SUM8, 1), (ChecksumKind.XOR8, 1)):
        # At the end, or before one or two closing bytes; over all before it, or less the start.
        for offset in range(frames.length - size, max(frames.length - size - 3, 1), -1):
            if len({frame[offset : offset + size] for frame in every}) < 2:
                continue
            for begin in range(len(frames.start) + 1):
                checksum = FrameChecksum(kind, offset, begin)
                fitting = sum(checksum_fits(frame, checksum) for frame in every)
                if fitting >= FITTING_SHARE * len(every):
                    return checksum
    return None


def _sequence(frames: Frames, taken: set[int]) -> NumberField | None:
    """A number that goes up by one from frame to frame, at rest as well."""
    for size, kinds in sorted(_INTEGERS.items(), reverse=True):
        for offset in range(len(frames.start), frames.length - size + 1):
            if not taken.isdisjoint(range(offset, offset + size)):
                continue
            for order in ("little", "big") if size > 1 else ("little",):
                place = NumberField(offset, kinds[1], order)
                lowest = offset if order == "little" else offset + size - 1
                if size > 1 and len({frame[lowest] for frame in frames.all}) < 2:
                    continue
                if _counts_up(frames, place) and not _wider_than_counted(frames, place):
                    return place
    return None


def _counts_up(frames: Frames, place: NumberField) -> bool:
    wrap = 1 << (8 * place.size)
    steps = [
        int((read_number(two, place) or 0) - (read_number(one, place) or 0)) % wrap
        for stretch in frames.stretches
        for one, two in pairwise(stretch)
    ]
    # A lost frame makes a step of two.
    return len(steps) > 4 and steps.count(1) >= 0.9 * len(steps)


def _wider_than_counted(frames: Frames, place: NumberField) -> bool:
    """A constant byte above a counter is no proof that it belongs to it."""
    highest = place.offset + place.size - 1 if place.order == "little" else place.offset
    return place.size > 1 and len({frame[highest] for frame in frames.all}) == 1


def _device_ms(frames: Frames, taken: set[int]) -> NumberField | None:
    """A number that goes up by as many as milliseconds pass."""
    passed_ms = sum(1000 * (times[-1] - times[0]) for times in frames.times_s if times)
    if passed_ms <= 0:
        return None
    for size in (4, 2):
        wrap = 1 << (8 * size)
        for offset in range(len(frames.start), frames.length - size + 1):
            if not taken.isdisjoint(range(offset, offset + size)):
                continue
            for order in ("little", "big"):
                place = NumberField(offset, _INTEGERS[size][1], order)
                steps = [
                    int((read_number(two, place) or 0) - (read_number(one, place) or 0)) % wrap
                    for stretch in frames.stretches
                    for one, two in pairwise(stretch)
                ]
                if abs(sum(steps) - passed_ms) <= CLOCK_SHARE * passed_ms and _alike(steps):
                    return place
    return None


def _alike(steps: Sequence[int]) -> bool:
    """Whether nearly all steps are near their median: a clock's, not a weight's."""
    middle = statistics.median(steps)
    near = sum(0.5 * middle <= step <= 2.5 * middle for step in steps)
    return middle > 0 and near >= 0.9 * len(steps)


def _bytes_of(place: NumberField | FrameChecksum | None) -> set[int]:
    return set() if place is None else set(range(place.offset, place.offset + place.size))
