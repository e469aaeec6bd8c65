"""From the bytes of an unknown scale to descriptions of it: which bytes move with the weight?

Every proposal is proved before it is made: a decoder built from it must read the capture's own
bytes back as the weight that was put on.
"""

import statistics
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from pourcoach.domain.errors import UsageError, WorkError
from pourcoach.domain.units import Grams
from pourcoach.wire.capture import Capture
from pourcoach.wire.described import decoder_for
from pourcoach.wire.description import (
    Gatt,
    NumberField,
    NumberKind,
    ScaleDescription,
    SerialLine,
)
from pourcoach.wire.field_guess import LayoutGuess, guess_layouts
from pourcoach.wire.frame_guess import guess_frames
from pourcoach.wire.levels import LEAST_VALUES
from pourcoach.wire.line_guess import LineGuess, guess_lines, is_text

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
    shown_g: Grams
    """What the weight reads as with it."""
    doubts: tuple[str, ...]
    """What the capture could not settle."""


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
        if all(proposal.description != other.description for other in proposals):
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
        for description, where, doubts in self._guessed():
            shown_g = self._proof(description)
            if shown_g is not None:
                yield Proposal(description, where, shown_g, doubts)

    def _guessed(self) -> Iterator[tuple[ScaleDescription, str, tuple[str, ...]]]:
        plain = self._described()
        if is_text(self._capture):
            yield plain, "the weight in each line, as the line itself tells it", ()
            for line in guess_lines(self._capture):
                yield self._with_line(line)
            return
        found: list[LayoutGuess] = []
        for frames in guess_frames(self._capture):
            guesses = guess_layouts(frames, self._capture.known_g)
            found += guesses
            if guesses and guesses[0].layout.checksum is not None:
                # A checksum that fits proves a cut into frames: no other need be tried.
                break
        # A stable sort: among equals the likelier cut stays first.
        for layout in sorted(found, key=_rank):
            yield self._with_layout(layout)

    def _described(self) -> ScaleDescription:
        return ScaleDescription(self._name, self._capture.transport, self._serial, self._gatt)

    def _with_line(self, guess: LineGuess) -> tuple[ScaleDescription, str, tuple[str, ...]]:
        description = ScaleDescription(
            self._name,
            self._capture.transport,
            self._serial,
            self._gatt,
            line=guess.pattern,
            factor=guess.factor,
            unit=guess.unit,
        )
        where = f"number {guess.column} of each line"
        return description, where, self._doubts(guess.plainness, sign_seen=True)

    def _with_layout(self, guess: LayoutGuess) -> tuple[ScaleDescription, str, tuple[str, ...]]:
        description = ScaleDescription(
            self._name,
            self._capture.transport,
            self._serial,
            self._gatt,
            layout=guess.layout,
            factor=guess.factor,
            unit=guess.unit,
        )
        sign_seen = guess.sign_seen or guess.layout.weight.kind in _SIGN_IN_ITSELF
        return description, _where(guess.layout.weight), self._doubts(guess.plainness, sign_seen)

    def _doubts(self, plainness: int, sign_seen: bool) -> tuple[str, ...]:
        doubts = []
        if plainness == 3:
            doubts.append(
                "the number is in no usual unit: its factor comes from your weight alone, so it is "
                "only as good as that"
            )
        if not sign_seen:
            doubts.append("how it tells a weight below zero was not seen")
        return tuple(doubts)

    def _proof(self, description: ScaleDescription) -> Grams | None:
        """What the known weight reads as; None where it is not read right throughout."""
        levels = [self._level(description, stretch) for stretch in self._capture.stretches]
        if any(level is None for level in levels):
            return None
        off, on, off_again, *below = (level for level in levels if level is not None)
        known_g = self._capture.known_g
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
