"""What stands beside the weight in a frame: checksum, counter, clock."""

import statistics
from collections.abc import Iterator, Sequence
from itertools import pairwise

from pourcoach.domain.units import Seconds
from pourcoach.wire.binary_frame import checksum_fits
from pourcoach.wire.description import ChecksumKind, FrameChecksum, NumberField
from pourcoach.wire.unknown.frame_guess import Frames
from pourcoach.wire.unknown.integer_bytes import UNSIGNED, numbers, wraps_at

# A few frames of another kind, or broken ones, are let pass.
FITTING_SHARE = 0.97
# Two of the first few must fit before all are tried.
GLANCE_FRAMES = 5
_TWO_BYTES = tuple(kind for kind in ChecksumKind if kind.value.startswith("crc16"))
# A clock of the scale's own runs as fast as ours, but for this share.
CLOCK_SHARE = 0.03
# A counter goes up by one, but where frames were lost, never many in a row; and from stretch to
# stretch by about as much as passes in that time.
COUNTING_SHARE = 0.9
MOST_LOST = 30
JUMP_SHARE = 0.2
JUMP_SLACK = 20


def guess_checksum(frames: Frames) -> FrameChecksum | None:
    """At the end of the frame, or before one or two closing bytes; over all that comes before it,
    or over that less what the frame starts with."""
    every = frames.all
    for size, kinds in ((2, _TWO_BYTES), (1, (ChecksumKind.SUM8, ChecksumKind.XOR8))):
        for offset in range(frames.length - size, max(frames.length - size - 3, 1), -1):
            if len({frame[offset : offset + size] for frame in every}) < 2:
                continue
            for checksum in _checksums(frames, kinds, size, offset):
                # Nearly all kinds fall at the first few.
                if sum(checksum_fits(frame, checksum) for frame in every[:GLANCE_FRAMES]) < 2:
                    continue
                fitting = sum(checksum_fits(frame, checksum) for frame in every)
                if fitting >= FITTING_SHARE * len(every):
                    return checksum
    return None


def _checksums(
    frames: Frames, kinds: Sequence[ChecksumKind], size: int, offset: int
) -> Iterator[FrameChecksum]:
    for kind in kinds:
        for order in ("big", "little") if size > 1 else ("big",):
            for begin in range(len(frames.start) + 1):
                yield FrameChecksum(kind, offset, begin, order)


def guess_sequence(frames: Frames, taken: set[int]) -> NumberField | None:
    """A number that goes up by one from frame to frame; the widest that does."""
    for place in _places(frames, taken, (4, 3, 2, 1)):
        lowest, highest = place.offset, place.offset + place.size - 1
        if place.order == "big":
            lowest, highest = highest, lowest
        # A constant byte above or below a counter is no proof that it belongs to it.
        moving = [len({frame[offset] for frame in frames.all}) > 1 for offset in (lowest, highest)]
        if all(moving) and _counts_up(frames, place):
            return place
    return None


def guess_device_ms(frames: Frames, taken: set[int]) -> NumberField | None:
    """A number that goes up by as many as milliseconds pass."""
    passed_ms = sum(1000 * (times[-1] - times[0]) for times in frames.times_s if times)
    if passed_ms <= 0:
        return None
    for place in _places(frames, taken, (4, 2)):
        steps = _steps(frames, place)
        if abs(sum(steps) - passed_ms) <= CLOCK_SHARE * passed_ms and _alike(steps):
            return place
    return None


def _places(frames: Frames, taken: set[int], sizes: Sequence[int]) -> Iterator[NumberField]:
    for size in sizes:
        for offset in range(len(frames.start), frames.length - size + 1):
            if taken.isdisjoint(range(offset, offset + size)):
                for order in ("little", "big") if size > 1 else ("little",):
                    yield NumberField(offset, UNSIGNED[size], order)


def _steps(frames: Frames, place: NumberField) -> list[int]:
    """From frame to frame within the stretches, counted on through the wrap."""
    wrap = wraps_at(place)
    return [
        int(two - one) % wrap for values in numbers(frames, place) for one, two in pairwise(values)
    ]


def _counts_up(frames: Frames, place: NumberField) -> bool:
    steps = _steps(frames, place)
    if len(steps) <= 4 or steps.count(1) < COUNTING_SHARE * len(steps):
        return False
    if place.size == 1:
        return True
    # Its upper bytes may be the weight's: those change by more than frames get lost, and jump
    # from stretch to stretch.
    if max(steps) > MOST_LOST:
        return False
    period_s = _period_s(frames)
    stretches = list(zip(numbers(frames, place), frames.times_s, strict=True))
    for (values, times_s), (later, later_s) in pairwise(stretches):
        jump = int(later[0] - values[-1]) % wraps_at(place)
        due = (later_s[0] - times_s[-1]) / period_s
        if abs(jump - due) > JUMP_SHARE * due + JUMP_SLACK:
            return False
    return True


def _period_s(frames: Frames) -> Seconds:
    passed_s = sum(times[-1] - times[0] for times in frames.times_s)
    count = sum(len(times) - 1 for times in frames.times_s)
    return max(passed_s / count, 1e-6)


def _alike(steps: Sequence[int]) -> bool:
    """Whether nearly all steps are near their median: a clock's, not a weight's."""
    middle = statistics.median(steps)
    near = sum(0.5 * middle <= step <= 2.5 * middle for step in steps)
    return middle > 0 and near >= 0.9 * len(steps)
