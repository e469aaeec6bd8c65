"""Whole numbers in frames, and whether their bytes belong together.

A weight at rest is noisy in its lowest bits and carries over from byte to byte. Rounding it to 256
adds the variance of an even spread, 256²/12, where its noise is wider than that; a byte that has
nothing to do with it adds as much the other way.
"""

from collections.abc import Sequence
from itertools import pairwise

from pourcoach.wire.binary_frame import field_value
from pourcoach.wire.description import FrameChecksum, NumberField, NumberKind
from pourcoach.wire.unknown.frame_guess import Frames

SIGNED = {
    1: NumberKind.INT8,
    2: NumberKind.INT16,
    3: NumberKind.INT24,
    4: NumberKind.INT32,
}
UNSIGNED = {
    1: NumberKind.UINT8,
    2: NumberKind.UINT16,
    3: NumberKind.UINT24,
    4: NumberKind.UINT32,
}
"""By size in bytes."""

_GAIN = 256**2 / 12
# A number that lies right on a rounding edge gains most: it falls on either side by chance, half
# of 256 away from the middle of both. A fifth more for the chance in few frames.
_MOST_GAIN = 1.2 * 256**2 / 4


def bytes_of(place: NumberField | FrameChecksum | None) -> set[int]:
    """Offsets that a place takes up."""
    return set() if place is None else set(range(place.offset, place.offset + place.size))


def is_integer(place: NumberField) -> bool:
    """Whether it is a binary whole number."""
    return place.kind in SIGNED.values() or place.kind in UNSIGNED.values()


def wraps_at(place: NumberField) -> int:
    """One more than the largest unsigned number of its size."""
    return 1 << (8 * place.size)


def numbers(frames: Frames, place: NumberField) -> list[list[float]]:
    """A whole number's values in each stretch."""
    return [[field_value(frame, place) or 0.0 for frame in stretch] for stretch in frames.stretches]


def lowest_byte_is_rubbish(stretches: Sequence[Sequence[float]], place: NumberField) -> bool:
    """Whether a whole number is rougher for its lowest byte: a checksum's, not the weight's."""
    return is_integer(place) and place.size > 1 and _gain(stretches) < -_GAIN / 2


def is_whole(frames: Frames, place: NumberField) -> bool:
    """Whether a whole number is smoother for its lowest byte: that is a part of it for sure."""
    return is_integer(place) and _is_gain(_gain(numbers(frames, place)))


def goes_on_below(frames: Frames, place: NumberField, taken: set[int]) -> bool:
    """Whether a whole number would be smoother with the byte below it, if that is not taken: then
    it is only a part of the number."""
    below = place.offset - 1 if place.order == "little" else place.offset + place.size
    if not is_integer(place) or below in taken or not 0 <= below < frames.length:
        return False
    longer = [
        [256 * value + frame[below] for value, frame in zip(values, stretch, strict=True)]
        for values, stretch in zip(numbers(frames, place), frames.stretches, strict=True)
    ]
    return _is_gain(_gain(longer))


def _is_gain(gain: float) -> bool:
    return _GAIN / 2 < gain <= _MOST_GAIN


def _gain(stretches: Sequence[Sequence[float]]) -> float:
    """By how much a whole number's variance falls through its lowest byte."""
    rounded = [[value // 256 * 256 for value in values] for values in stretches]
    return _neighbour_variance(rounded) - _neighbour_variance(stretches)


def _neighbour_variance(stretches: Sequence[Sequence[float]]) -> float:
    """From differences of neighbours, the outermost tenth left out."""
    squares = sorted((two - one) ** 2 for values in stretches for one, two in pairwise(values))
    kept = squares[: max(1, len(squares) * 9 // 10)]
    return sum(kept) / len(kept) / 2
