"""Finding the weight, and what stands beside it, in frames of a fixed length."""

import statistics
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from pourcoach.domain.units import Grams
from pourcoach.wire.binary_frame import field_value
from pourcoach.wire.description import (
    BinaryLayout,
    ByteTest,
    NumberField,
    NumberKind,
)
from pourcoach.wire.unknown.beside_guess import (
    FITTING_SHARE,
    guess_checksum,
    guess_device_ms,
    guess_sequence,
)
from pourcoach.wire.unknown.frame_guess import Frames
from pourcoach.wire.unknown.integer_bytes import (
    SIGNED,
    UNSIGNED,
    bytes_of,
    goes_on_below,
    is_whole,
    lowest_byte_is_rubbish,
)
from pourcoach.wire.unknown.levels import RETURN_SHARE, Levels, levels_of

# A number that cannot hold this much is taken for a part of a wider one: bench scales and kitchen
# scales weigh 2 kg and more. Common practice.
LEAST_RANGE_G: Grams = 2000.0
# The lowest byte of a weight takes this many values or more at rest.
LEAST_NOISY_VALUES = 3
GLANCE_FRAMES = 9
_BCD_LENGTHS = range(2, 6)
_ASCII_LENGTHS = range(3, 11)
_SIGNED = set(SIGNED.values())


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
    unexplained: int = 0
    """Bytes that follow the weight, noisy or not: among them may be a mark for zero."""


def guess_layouts(frames: Frames, known_g: Grams) -> list[LayoutGuess]:
    """The likeliest first; empty where nothing follows the weight."""
    checksum = guess_checksum(frames)
    sequence = guess_sequence(frames, bytes_of(checksum))
    taken = bytes_of(checksum) | bytes_of(sequence) | set(range(len(frames.start)))
    device_ms = guess_device_ms(frames, taken)
    taken |= bytes_of(device_ms)
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
        if is_whole(frames, guess.layout.weight):
            moving |= bytes_of(guess.layout.weight)
    moved = {offset for offset in range(frames.length) if _moves(frames, offset)} - taken
    guesses = [
        replace(
            guess,
            left_over=len(moving - bytes_of(guess.layout.weight)),
            unexplained=len(moved - bytes_of(guess.layout.weight)),
        )
        for guess in guesses
    ]
    return sorted(guesses, key=lambda guess: _rank(guess, known_g))


def _places(length: int, taken: set[int]) -> Iterator[NumberField]:
    """Every number that could stand in the bytes that are left."""
    sizes: list[tuple[NumberKind, int]] = [
        (kinds[size], size) for size in SIGNED for kinds in (SIGNED, UNSIGNED)
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
    if not _may_follow(frames, place):
        return None
    stretches = []
    for stretch in frames.stretches:
        numbers = [field_value(frame, place) for frame in stretch]
        values = [value for value in numbers if value is not None]
        if len(values) < FITTING_SHARE * len(numbers):
            return None
        stretches.append(values)
    levels = levels_of(stretches[:3], known_g)
    if levels is None or _range(place) < abs(levels.change):
        return None
    if lowest_byte_is_rubbish(stretches, place) or goes_on_below(frames, place, _taken(layout)):
        return None
    factor, unit, plainness = levels.factor(known_g)
    # A zero that wanders below nothing shows how a sign goes through all of a number's bytes.
    sign_seen = place.kind in _SIGNED and any(
        -RETURN_SHARE * abs(levels.change) <= value < 0 for value in stretches[0]
    )
    guess = LayoutGuess(layout, levels, factor, unit, plainness, sign_seen)
    return _with_sign(guess, frames, stretches[3]) if len(stretches) > 3 else guess


def _may_follow(frames: Frames, place: NumberField) -> bool:
    """A quick look at a few frames: most places hold no number, or one that stays as it is."""
    off, on = (
        [field_value(frame, place) for frame in stretch[:GLANCE_FRAMES]]
        for stretch in frames.stretches[:2]
    )
    few = (
        [value for value in off if value is not None],
        [value for value in on if value is not None],
    )
    return all(few) and statistics.median(few[0]) != statistics.median(few[1])


def _with_sign(guess: LayoutGuess, frames: Frames, below: Sequence[float]) -> LayoutGuess | None:
    """Held against the stretch below zero; None where the number cannot be what is shown there."""
    zero = statistics.median(
        value
        for stretch in (frames.stretches[0], frames.stretches[2])
        for frame in stretch
        if (value := field_value(frame, guess.layout.weight)) is not None
    )
    there = statistics.median(below) - zero
    change = guess.levels.change
    slack = 0.05 * abs(change)
    if abs(there + change) <= slack:
        return replace(guess, sign_seen=True)
    # A number with its sign apart has no sign in itself.
    if abs(there - change) <= slack and guess.layout.weight.kind not in _SIGNED:
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
        if offset in weight | bytes_of(layout.checksum) | bytes_of(layout.sequence):
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


def _follows_noisily(frames: Frames, offset: int) -> bool:
    """Whether a byte's values are others with the weight on, the same again without it, and many
    at rest: a flag or a battery is not like that, and a part of the weight is."""
    off, on, off_again = ([frame[offset] for frame in stretch] for stretch in frames.stretches[:3])
    if max(len(set(off)), len(set(on))) < LEAST_NOISY_VALUES:
        return False
    return any(
        _overlap(off, on, width) < 0.5 < _overlap(off, off_again, width) for width in (1, 16)
    )


def _moves(frames: Frames, offset: int) -> bool:
    """Whether a byte has other values with the weight on, and some of the same without it."""
    off, on, off_again = ({frame[offset] for frame in one} for one in frames.stretches[:3])
    return off.isdisjoint(on) and not off.isdisjoint(off_again)


def _overlap(one: Sequence[int], two: Sequence[int], width: int) -> float:
    """How much of two histograms lies in the same bins, 0 to 1."""
    first = Counter(value // width for value in one)
    second = Counter(value // width for value in two)
    return sum(min(first[bin_] / len(one), second[bin_] / len(two)) for bin_ in first)


def _rank(guess: LayoutGuess, known_g: Grams) -> tuple[float, ...]:
    """Smaller is likelier."""
    place = guess.layout.weight
    grams_each = abs(known_g / guess.levels.change)
    # With a factor that fits nothing round, the finest number is the whole one.
    fineness = grams_each if guess.plainness == 3 else 0.0
    digits = place.kind in (NumberKind.BCD, NumberKind.ASCII)
    return (
        guess.left_over,
        guess.plainness,
        guess.unexplained,
        not guess.sign_seen,
        _range(place) * grams_each < LEAST_RANGE_G,
        fineness,
        # The sign went through all its bytes: the widest such number is the whole one.
        # And so are all the digits in a row.
        -place.size if guess.sign_seen or digits else place.size,
        place.kind not in _SIGNED,
        # A still display of 200.0 may be digits either way: then the coarser, and as they are read.
        -grams_each if digits else 0.0,
        digits and place.order == "little",
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


def _taken(layout: BinaryLayout) -> set[int]:
    """What the frame has beside the weight."""
    beside = bytes_of(layout.checksum) | bytes_of(layout.sequence) | bytes_of(layout.device_ms)
    return beside | set(range(len(layout.start)))
