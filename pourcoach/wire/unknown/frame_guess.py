"""Finding frames of a fixed length in bytes of which nothing is known."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from operator import eq

from pourcoach.domain.units import Seconds
from pourcoach.wire.description import Transport
from pourcoach.wire.unknown.capture import Capture, Chunk

SHORTEST, LONGEST = 3, 64
# Among lengths that repeat nearly as well as the best, the shortest is the frame: the others are
# several of it.
LENGTH_SHARE = 0.03
# Check bytes and a weight around zero change from frame to frame, and by chance less from one to
# the one after next: a part of a length is tried before it, even where it repeats so much worse.
PART_SHARE = 0.25
MOST_LENGTHS = 6
# Bytes get lost on the way: so much of a stretch must still be whole frames.
WHOLE_SHARE = 0.8
# A byte that is the same in this share of the frames is part of the form.
CONSTANT_SHARE = 0.995
# Of the bytes a frame begins with, so many make its mark: more might be part of a number.
LONGEST_START = 2
# Tried among the bytes that never change, where a frame may begin.
MOST_STARTS = 4
# More frames of a stretch at rest add nothing.
MOST_FRAMES = 150
# A second byte that could be part of digits in text is left to them.
_OF_NUMBERS = b" +-.0123456789"
_LINE_ENDS = b"\r\n\x03"


@dataclass(frozen=True, slots=True)
class Frames:
    """A way to cut a capture into frames."""

    length: int
    start: bytes
    """Empty where each notification is a frame."""
    stretches: tuple[tuple[bytes, ...], ...]
    times_s: tuple[tuple[Seconds, ...], ...]
    """When each frame had arrived, about."""

    @property
    def all(self) -> list[bytes]:
        """Every frame, in order."""
        return [frame for stretch in self.stretches for frame in stretch]


def guess_frames(capture: Capture) -> list[Frames]:
    """Ways to cut it, the likeliest first."""
    if capture.transport is Transport.BLE:
        found = _by_notification(capture)
        if found:
            return found
    return _by_repetition(capture)


def _by_notification(capture: Capture) -> list[Frames]:
    """By length, where notifications of one length come in every stretch."""
    lengths = Counter(len(data) for stretch in capture.stretches for _, data in stretch)
    ways = []
    for length, count in lengths.most_common():
        kept = [
            [(t_s, data) for t_s, data in stretch if len(data) == length][:MOST_FRAMES]
            for stretch in capture.stretches
        ]
        if length < 2 or not all(kept):
            continue
        start = b""
        if count < lengths.total():
            start = _leading([data for stretch in kept for _, data in stretch])
            if not start:
                continue
        ways.append(
            Frames(
                length,
                start,
                tuple(tuple(data for _, data in stretch) for stretch in kept),
                tuple(tuple(t_s for t_s, _ in stretch) for stretch in kept),
            )
        )
    return ways


def _leading(frames: Sequence[bytes]) -> bytes:
    """What all frames begin with, up to LONGEST_START bytes."""
    start = b""
    for offset in range(min(LONGEST_START, len(frames[0]) - 1)):
        if not _constant(frames, offset):
            break
        start += frames[0][offset : offset + 1]
    return start


def _constant(frames: Sequence[bytes], offset: int) -> bool:
    _, count = Counter(frame[offset] for frame in frames).most_common(1)[0]
    return count >= CONSTANT_SHARE * len(frames)


def _by_repetition(capture: Capture) -> list[Frames]:
    streams = list(capture.streams())
    scores = {length: _repetition(streams, length) for length in range(SHORTEST, LONGEST + 1)}
    best = max(scores.values())
    near: list[int] = []
    for length, score in scores.items():
        several = any(length % shorter == 0 for shorter in near)
        if score >= best - LENGTH_SHARE and not several:
            near.append(length)
    ways: list[Frames] = []
    for length in _with_parts(near[:3], scores, best)[:MOST_LENGTHS]:
        mark_at = _mark(streams, length)
        if mark_at is not None:
            ways += _rotations(capture, streams, length, mark_at)
    return ways


def _with_parts(lengths: Sequence[int], scores: Mapping[int, float], best: float) -> list[int]:
    """Each length after those that it may be several frames of, the shortest first."""
    every: list[int] = []
    for length in lengths:
        parts = [part for part in range(SHORTEST, length // 2 + 1) if length % part == 0]
        every += [part for part in parts if scores[part] >= best - PART_SHARE]
        every.append(length)
    return list(dict.fromkeys(every))


def _repetition(streams: Sequence[bytes], length: int) -> float:
    """Share of bytes that are the same one length later."""
    pairs = sum(max(0, len(stream) - length) for stream in streams)
    same = sum(sum(map(eq, stream, stream[length:])) for stream in streams)
    return same / pairs if pairs else 0.0


def _mark(streams: Sequence[bytes], length: int) -> bytes | None:
    """Two bytes, or one, that come once a frame; best those that come nowhere else."""
    expected = sum(len(stream) // length for stream in streams)
    if not all(len(stream) > 3 * length for stream in streams):
        return None
    found: list[tuple[int, bytes]] = []
    for size in (2, 1):
        counts: Counter[bytes] = Counter()
        for stream in streams:
            counts.update(stream[at : at + size] for at in range(len(stream) - size + 1))
        for mark, count in counts.most_common(4 * length):
            if count < WHOLE_SHARE * expected:
                break
            whole = [len(_begins(stream, mark, length)) for stream in streams]
            if all(
                one >= WHOLE_SHARE * (len(stream) // length - 1)
                for one, stream in zip(whole, streams, strict=True)
            ):
                found.append((count - sum(whole), mark))
    return min(found, key=lambda one: (one[0], -len(one[1])))[1] if found else None


def _begins(stream: bytes, mark: bytes, length: int) -> list[int]:
    """Where whole frames begin with the mark: at each, another one follows a length later."""
    begins = []
    at = stream.find(mark)
    while at >= 0:
        if stream.startswith(mark, at + length):
            begins.append(at)
            at += length
        else:
            at = stream.find(mark, at + 1)
    return begins


def _rotations(
    capture: Capture, streams: Sequence[bytes], length: int, mark: bytes
) -> list[Frames]:
    """Starts at bytes that never change, the likeliest first."""
    kept = [_begins(stream, mark, length) for stream in streams]
    frames = [
        stream[at : at + length] for stream, ats in zip(streams, kept, strict=True) for at in ats
    ]
    if len(frames) < 3:
        return []
    constant = [_constant(frames, offset) for offset in range(length)]
    if all(constant):
        return []
    votes = _votes(capture, kept, length)
    shifts = [shift for shift in range(length) if constant[shift]]
    shifts.sort(key=lambda shift: _unlikely(shift, votes, frames[0]))
    ways = []
    for shift in shifts[:MOST_STARTS]:
        start = frames[0][shift : shift + 1]
        following = (shift + 1) % length
        if constant[following] and frames[0][following] not in _OF_NUMBERS:
            start += frames[0][following : following + 1]
        ways.append(_cut(capture, streams, kept, length, shift, start))
    return [way for way in ways if all(way.stretches)]


def _votes(capture: Capture, kept: Sequence[Sequence[int]], length: int) -> Counter[int]:
    """How often a chunk began so many bytes from the mark: scales pause between frames."""
    votes: Counter[int] = Counter()
    for stretch, ats in zip(capture.stretches, kept, strict=True):
        if not ats:
            continue
        at = 0
        for _, data in stretch:
            votes[(at - ats[0]) % length] += 1
            at += len(data)
    return votes


def _unlikely(shift: int, votes: Counter[int], frame: bytes) -> tuple[int, bool, int]:
    # Without votes: not at a zero, nor at what ends a frame; and as near to the mark as can be.
    return (-votes[shift], frame[shift] == 0 or frame[shift] in _LINE_ENDS, shift)


def _cut(
    capture: Capture,
    streams: Sequence[bytes],
    kept: Sequence[Sequence[int]],
    length: int,
    shift: int,
    start: bytes,
) -> Frames:
    stretches, times = [], []
    for stretch, stream, ats in zip(capture.stretches, streams, kept, strict=True):
        begins = [
            at + shift
            for at in ats
            if at + shift >= 0 and stream[at + shift : at + shift + len(start)] == start
        ]
        whole = [begin for begin in begins if begin + length <= len(stream)][:MOST_FRAMES]
        stretches.append(tuple(stream[begin : begin + length] for begin in whole))
        times.append(tuple(_arrivals(stretch, [begin + length for begin in whole])))
    return Frames(length, start, tuple(stretches), tuple(times))


def _arrivals(stretch: Sequence[Chunk], ends: Sequence[int]) -> list[Seconds]:
    """When the byte before each end had come."""
    arrivals = []
    seen = 0
    chunks = iter(stretch)
    t_s = 0.0
    for end in ends:
        while seen < end:
            t_s, data = next(chunks)
            seen += len(data)
        arrivals.append(t_s)
    return arrivals
