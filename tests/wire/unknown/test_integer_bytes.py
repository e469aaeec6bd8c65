"""Which bytes belong to one whole number."""

import random

from pourcoach.wire.description import NumberField, NumberKind
from pourcoach.wire.unknown.frame_guess import Frames
from pourcoach.wire.unknown.integer_bytes import goes_on_below, is_whole


def frames_of(order: str, noise: int = 300) -> Frames:
    """A byte that never changes on either side of a number of 3 bytes, which rests and is noisy in
    its lowest."""
    chance = random.Random(5)
    frames = tuple(
        b"\xaa" + (4_000_000 + round(chance.gauss(0, noise))).to_bytes(3, order) + b"\x55"
        for _ in range(400)
    )
    return Frames(5, b"", (frames,), ((0.0,) * len(frames),))


BIG, LITTLE = frames_of("big"), frames_of("little")


def test_a_number_cut_short_goes_on_below() -> None:
    assert goes_on_below(BIG, NumberField(1, NumberKind.UINT16, "big"), set())
    assert goes_on_below(LITTLE, NumberField(2, NumberKind.UINT16, "little"), set())


def test_one_that_is_whole_does_not() -> None:
    assert not goes_on_below(BIG, NumberField(1, NumberKind.UINT24, "big"), set())
    assert not goes_on_below(LITTLE, NumberField(1, NumberKind.UINT24, "little"), set())


def test_a_byte_that_is_another_fields_is_no_part_of_it() -> None:
    assert not goes_on_below(BIG, NumberField(1, NumberKind.UINT16, "big"), {3})
    assert not goes_on_below(LITTLE, NumberField(2, NumberKind.UINT16, "little"), {1})


def test_below_the_frames_ends_there_is_nothing() -> None:
    assert not goes_on_below(LITTLE, NumberField(0, NumberKind.UINT16, "little"), set())
    assert not goes_on_below(BIG, NumberField(3, NumberKind.UINT16, "big"), set())


def test_digits_are_no_binary_number_however_smooth() -> None:
    chance = random.Random(5)
    frames = tuple(
        bytes.fromhex(f"{400_000 + round(chance.gauss(0, 300)):06d}") for _ in range(400)
    )
    digits = Frames(3, b"", (frames,), ((0.0,) * len(frames),))
    assert not is_whole(digits, NumberField(0, NumberKind.BCD, "big", 3))
    assert not goes_on_below(BIG, NumberField(1, NumberKind.BCD, "big", 2), set())


def test_a_whole_number_is_smoother_for_its_lowest_byte() -> None:
    assert is_whole(BIG, NumberField(1, NumberKind.UINT24, "big"))
    assert is_whole(BIG, NumberField(2, NumberKind.UINT16, "big"))
    assert not is_whole(BIG, NumberField(3, NumberKind.UINT8, "big"))
    assert not is_whole(BIG, NumberField(1, NumberKind.UINT16, "big"))
