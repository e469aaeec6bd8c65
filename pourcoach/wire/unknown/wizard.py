"""From the bytes of an unknown scale to descriptions of it: which bytes move with the weight?

Every proposal is proved before it is made: a decoder built from it must read the capture's own
bytes back as the weight that was put on.
"""

import statistics
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from pourcoach.domain.errors import UsageError, WorkError
from pourcoach.domain.units import Grams
from pourcoach.wire.described.decoders import decoder_for
from pourcoach.wire.description import (
    Gatt,
    NumberField,
    NumberKind,
    ScaleDescription,
    SerialLine,
)
from pourcoach.wire.unknown.capture import Capture
from pourcoach.wire.unknown.field_guess import LayoutGuess, guess_layouts
from pourcoach.wire.unknown.frame_guess import Frames, guess_frames
from pourcoach.wire.unknown.levels import LEAST_VALUES
from pourcoach.wire.unknown.line_guess import LineGuess, capture_is_text, guess_lines

# A lighter weight is lost among what else changes in a frame.
LEAST_KNOWN_G: Grams = 20.0
# What a proved proposal may be off by: the scale, and the weight.
PROOF_SHARE = 0.02
MOST_PROPOSALS = 5


@dataclass(frozen=True, slots=True)
class Proposal:
    """One way to read the scale."""

    description: ScaleDescription
    where: str
    """What moves with the weight, in words."""
    sample: str
    """What the scale sent with the weight on, in brackets what is read as the weight."""
    shown_g: Grams
    """What the weight reads as with it."""
    doubts: tuple[str, ...]
    """What the capture could not settle."""

    def looks_like(self, other: "Proposal") -> bool:
        """Whether the two are shown alike and read this capture alike."""
        mine, its = self.description, other.description
        return (self.where, self.sample, mine.factor, mine.unit) == (
            other.where,
            other.sample,
            its.factor,
            its.unit,
        )


def propose(
    capture: Capture,
    name: str,
    serial: SerialLine | None = None,
    gatt: Gatt | None = None,
) -> tuple[Proposal, ...]:
    """Descriptions that read this capture right, the likeliest first; empty where none does.

    Raises UsageError for a weight too light to find, WorkError where too little was heard.
    """
    if capture.known_g < LEAST_KNOWN_G:
        raise UsageError(
            f"{capture.known_g:g} g is too light to be found", f"use {LEAST_KNOWN_G:g} g or more"
        )
    for stretch, when in zip(
        capture.stretches, ("before", "with", "after", "below zero after"), strict=False
    ):
        if len(stretch) < LEAST_VALUES:
            raise WorkError(
                f"too little was heard {when} the weight",
                "see that the scale is sending, and listen for longer",
            )
    wizard = _Wizard(capture, name, serial or SerialLine(), gatt)
    proposals: list[Proposal] = []
    for proposal in wizard.proved():
        # A whole number reads the same with a decimal point and a comma, say: nobody could choose.
        if not any(proposal.looks_like(other) for other in proposals):
            proposals.append(proposal)
        if len(proposals) == MOST_PROPOSALS:
            break
    return tuple(proposals)


class _Wizard:
    def __init__(self, capture: Capture, name: str, serial: SerialLine, gatt: Gatt | None) -> None:
        self._capture = capture
        self._name = name
        self._serial = serial
        self._gatt = gatt

    def proved(self) -> Iterator[Proposal]:
        for guess in self._guessed():
            shown_g = self._proof(guess.description, guess.known_g)
            if shown_g is not None:
                yield Proposal(guess.description, guess.where, guess.sample, shown_g, guess.doubts)

    def _guessed(self) -> Iterator["_Guess"]:
        known_g = self._capture.known_g
        if capture_is_text(self._capture):
            lines = guess_lines(self._capture)
            sample = lines[0].sample if lines else ""
            where = "the weight in each line, as the line itself gives it"
            yield _Guess(self._described(), where, sample, (), known_g)
            for line in lines:
                if line.plainness == 3 and line.says_g is not None:
                    # Its own unit belies the weight: what was put on may be another one.
                    yield self._as_it_says(line, line.says_g)
                yield self._with_line(line)
            return
        found: list[tuple[LayoutGuess, Frames]] = []
        for frames in guess_frames(self._capture):
            guesses = guess_layouts(frames, known_g)
            found += [(guess, frames) for guess in guesses]
            if guesses and guesses[0].layout.checksum is not None:
                # A checksum that fits proves a cut into frames: no other need be tried.
                break
        # A stable sort: among equals the likelier cut stays first.
        for layout, frames in sorted(found, key=lambda one: _rank(one[0])):
            yield self._with_layout(layout, _frame_sample(frames, layout.layout.weight))

    def _described(self) -> ScaleDescription:
        return ScaleDescription(self._name, self._capture.transport, self._serial, self._gatt)

    def _as_it_says(self, line: LineGuess, says_g: Grams) -> "_Guess":
        known_g = self._capture.known_g
        description = replace(
            self._described(),
            line=line.pattern,
            factor=1.0 if says_g > 0 else -1.0,
            unit=line.unit,
        )
        doubt = (
            f"the line says {abs(says_g):.4g} g, you said {known_g:g} g: this goes by the line; "
            "see what the weight is, and that the scale shows it"
        )
        where = f"number {line.column} of each line, by its own unit"
        return _Guess(description, where, line.sample, (doubt,), abs(says_g))

    def _with_line(self, guess: LineGuess) -> "_Guess":
        description = replace(
            self._described(), line=guess.pattern, factor=guess.factor, unit=guess.unit
        )
        doubts = self._doubts(guess.plainness, guess.levels.change, sign_seen=True)
        where = f"number {guess.column} of each line"
        return _Guess(description, where, guess.sample, doubts, self._capture.known_g)

    def _with_layout(self, guess: LayoutGuess, sample: str) -> "_Guess":
        description = replace(
            self._described(), layout=guess.layout, factor=guess.factor, unit=guess.unit
        )
        sign_seen = guess.sign_seen or guess.layout.weight.kind in _SIGN_IN_ITSELF
        doubts = self._doubts(guess.plainness, guess.levels.change, sign_seen=sign_seen)
        where = _where(guess.layout.weight)
        return _Guess(description, where, sample, doubts, self._capture.known_g)

    def _doubts(self, plainness: int, change: float, *, sign_seen: bool) -> tuple[str, ...]:
        doubts = []
        if plainness == 2:
            doubts.append(
                f"the number goes up by {change:.4g} for your {self._capture.known_g:g} g: either "
                "it is no count of grams, or the weight is another than you said"
            )
        if plainness == 3:
            doubts.append(
                "the number is in no usual unit: its factor comes from your weight alone, so it is "
                "only as good as that"
            )
        if not sign_seen:
            doubts.append("how it sends a weight below zero was not seen")
        return tuple(doubts)

    def _proof(self, description: ScaleDescription, known_g: Grams) -> Grams | None:
        """What the weight of ``known_g`` reads as; None where it is not read so throughout."""
        levels = [self._level(description, stretch) for stretch in self._capture.stretches]
        if any(level is None for level in levels):
            return None
        off, on, off_again, *below = (level for level in levels if level is not None)
        zero = (off + off_again) / 2
        slack_g = max(PROOF_SHARE, 0.1 if description.factor != 1.0 else 0.0) * known_g
        wanted = [(on - zero, known_g), (off_again - off, 0.0)]
        wanted += [(level - zero, -known_g) for level in below]
        if any(abs(seen - right) > slack_g for seen, right in wanted):
            return None
        return on - zero

    def _level(
        self, description: ScaleDescription, stretch: Sequence[tuple[float, bytes]]
    ) -> Grams | None:
        decoder = decoder_for(description)
        grams = [reading.grams for t_s, data in stretch for reading in decoder.feed(data, t_s)]
        dropped = decoder.dropped.total()
        # The first line or frame may be cut; beyond that most must be read.
        if len(grams) < LEAST_VALUES or len(grams) < 2 * (dropped - 1):
            return None
        return statistics.median(grams)


@dataclass(frozen=True, slots=True)
class _Guess:
    """A way to read it, not yet proved."""

    description: ScaleDescription
    where: str
    sample: str
    doubts: tuple[str, ...]
    known_g: Grams
    """What it must read the weight as."""


def _frame_sample(frames: Frames, place: NumberField) -> str:
    """A frame with the weight on, in hexadecimal."""
    frame = frames.stretches[1][-1]
    parts = frame[: place.offset], frame[place.offset :][: place.size]
    before, weight = (part.hex(" ") for part in parts)
    behind = frame[place.offset + place.size :].hex(" ")
    return f"{before} [{weight}] {behind}".strip()


def _rank(guess: LayoutGuess) -> tuple[bool, int, int, int, bool]:
    unproved = guess.layout.checksum is None
    return unproved, guess.left_over, guess.plainness, guess.unexplained, not guess.sign_seen


_SIGN_IN_ITSELF = {NumberKind.FLOAT32, NumberKind.ASCII}
_WORDS = {
    NumberKind.FLOAT32: "a floating-point number",
    NumberKind.BCD: "packed decimal digits",
    NumberKind.ASCII: "digits as text",
}


def _where(place: NumberField) -> str:
    """Bytes counted from 1, as people count."""
    first, last = place.offset + 1, place.offset + place.size
    span = f"byte {first}" if first == last else f"bytes {first} to {last}"
    kind = _WORDS.get(place.kind, "a whole number")
    order = (
        "" if place.size == 1 or place.kind is NumberKind.ASCII else f", {place.order} end first"
    )
    return f"{span} of each frame: {kind}{order}"
