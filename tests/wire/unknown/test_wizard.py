"""The wizard finds the weight in layouts that it was not written for.

Found means: its first proposal reads weights it has never seen, heavy, light and (where that was
captured) below zero, while counters, clocks and batteries go on.
"""

# A frame is made from grams, count and clock; few layouts use all three.
# ruff: noqa: ARG001

import random
import re
import struct

import pytest

from pourcoach.domain.errors import UsageError, WorkError
from pourcoach.wire.described.decoders import decoder_for
from pourcoach.wire.described.reader import read_description
from pourcoach.wire.described.writer import write_description
from pourcoach.wire.description import Gatt
from pourcoach.wire.unknown.capture import Capture
from pourcoach.wire.unknown.wizard import propose
from tests.wire.unknown_checks import sum8
from tests.wire.unknown_layouts import (
    BLE,
    UNKNOWN,
    Unknown,
    battery,
    counter_and_little_float,
    sign_apart_from_little_16_bit,
)
from tests.wire.unknown_scale import captured

GATT = Gatt("0000fff0-0000-1000-8000-00805f9b34fb", "0000fff1-0000-1000-8000-00805f9b34fb")
IDS = [unknown.frame_of.__name__ for unknown in UNKNOWN]


def described(unknown: Unknown, known_g: float, seed: int, **kwargs):
    capture = captured(
        unknown.frame_of,
        known_g=known_g,
        transport=unknown.transport,
        seed=seed,
        **(unknown.kwargs | kwargs),
    )
    gatt = GATT if unknown.transport is BLE else None
    return propose(capture, "bench", gatt=gatt)


def reads(description, unknown: Unknown, grams: float) -> list[float]:
    """What the description makes of weighings that were not in the capture, from its zero."""
    decoder = decoder_for(description)
    shown = []
    for number in range(9):
        sent = unknown.frame_of(grams, 5000 + number, 9_000_000 + 100 * number)
        shown += [reading.grams for reading in decoder.feed(sent, number / 10)]
    return shown


def assert_reads_weights_never_seen(unknown: Unknown, proposals) -> None:
    assert proposals
    description = proposals[0].description
    zero_g = reads(description, unknown, 0.0)[-1]
    tried = [37.4, 512.3, 1480.0, *([-88.8] if unknown.negative else [])]
    for grams in tried:
        shown = reads(description, unknown, grams)
        assert len(shown) >= 6
        # Raw counts are scaled by the weight put on, whose noise remains: a thousandth.
        slack_g = unknown.step_g + 0.001 * abs(grams)
        assert [one - zero_g for one in shown] == pytest.approx([grams] * len(shown), abs=slack_g)


@pytest.mark.parametrize("unknown", UNKNOWN, ids=IDS)
@pytest.mark.parametrize(("known_g", "seed"), [(200.0, 1), (150.0, 2), (500.0, 3)])
def test_the_first_proposal_reads_weights_never_seen(unknown, known_g, seed):
    assert_reads_weights_never_seen(unknown, described(unknown, known_g, seed))


# Raw counts never hold still: without their noise nothing shows which byte is lowest.
DISPLAYS = [one for one in UNKNOWN if "counts_with" not in one.frame_of.__name__]


@pytest.mark.parametrize("unknown", DISPLAYS, ids=[one.frame_of.__name__ for one in DISPLAYS])
def test_a_display_that_holds_quite_still_is_read_as_well(unknown):
    assert_reads_weights_never_seen(unknown, described(unknown, 200.0, 1, noise_g=0.0))


@pytest.mark.parametrize("unknown", UNKNOWN, ids=IDS)
def test_what_is_proposed_can_be_written_and_read_again(unknown):
    for proposal in described(unknown, 200.0, 1):
        assert read_description(write_description(proposal.description)) == proposal.description


def test_a_scale_that_sends_nothing_of_the_weight_gives_no_proposal():
    def deaf(grams: float, count: int, ms: int) -> bytes:
        return b"\xaa" + bytes([count % 256, battery(count), 7])

    assert propose(captured(deaf), "deaf") == ()


def test_bytes_without_any_form_give_no_proposal():
    chance = random.Random(4)

    def noise(grams: float, count: int, ms: int) -> bytes:
        return chance.randbytes(chance.randrange(3, 30))

    assert propose(captured(noise), "noise") == ()
    assert propose(captured(noise, transport=BLE), "noise", gatt=GATT) == ()


def test_lines_that_state_their_own_form_need_no_pattern():
    def bench(grams: float, count: int, ms: int) -> bytes:
        return f"ST,GS,{grams:+9.1f} g\r\n".encode()

    first = propose(captured(bench), "bench")[0]
    assert first.description.line is None
    assert first.shown_g == pytest.approx(200.0, abs=0.1)


def test_a_cell_turned_round_gets_a_negative_factor():
    def turned(grams: float, count: int, ms: int) -> bytes:
        body = b"\xaa\x01" + struct.pack("<i", round(9000 - 420 * grams))
        return body + sum8(body)

    first = propose(captured(turned), "turned")[0]
    assert first.description.factor == pytest.approx(-1 / 420, rel=0.001)
    assert any("in no usual unit" in doubt for doubt in first.doubts)


def test_a_sign_that_was_not_seen_is_a_doubt():
    hidden = captured(sign_apart_from_little_16_bit, transport=BLE)
    first = propose(hidden, "bench", gatt=GATT)[0]
    assert any("below zero was not seen" in doubt for doubt in first.doubts)


def lines_of(form: str):
    def frame_of(grams: float, count: int, ms: int) -> bytes:
        return form.format(grams).encode()

    return frame_of


def test_a_line_whose_own_unit_belies_the_weight_is_asked_about():
    """The weight was 500 g, and typed as 200."""
    first, second = propose(captured(lines_of("{:9.1f} g\r\n"), gain=2.5), "bench")[:2]
    assert "the line says 500 g, you said 200 g" in first.doubts[0]
    assert first.shown_g == pytest.approx(500.0, abs=0.5)
    assert second.shown_g == pytest.approx(200.0, abs=0.5)
    assert second.doubts


def test_a_number_a_factor_of_two_apart_is_asked_about():
    first = propose(captured(lines_of("{:.1f};ok\r\n"), gain=2.0), "bench")[0]
    assert "goes up by 400 for your 200 g" in first.doubts[0]


def test_equal_candidates_are_distinguished_by_what_was_sent():
    def thrice(grams: float, count: int, ms: int) -> bytes:
        return f"N={grams:.1f} T=0.0 G={grams:.1f}\n".encode()

    samples = [proposal.sample for proposal in propose(captured(thrice, noise_g=0.0), "bench")]
    assert samples == ["N=[200.0] T=0.0 G=200.0", "N=200.0 T=0.0 G=[200.0]"]


def test_a_whole_number_is_proposed_once_not_with_each_decimal_mark():
    def counts(grams: float, count: int, ms: int) -> bytes:
        return b"%d\r\n" % round(-8123 + 431.7 * grams)

    assert len(propose(captured(counts), "counts")) == 1


@pytest.mark.parametrize("unknown", UNKNOWN, ids=IDS)
def test_no_two_proposals_are_shown_alike(unknown):
    shown = [
        (one.where, one.sample, one.description.factor) for one in described(unknown, 200.0, 1)
    ]
    assert len(set(shown)) == len(shown)


CRCS = [one for one in UNKNOWN if "crc" in one.frame_of.__name__ or "fieldbus" in str(one)]
# Raw counts never hold still, so that they are tried with noise only.
STILL = [one for one in CRCS if "counts" not in one.frame_of.__name__]


@pytest.mark.parametrize(
    ("unknown", "noise_g"),
    [*((one, 0.0) for one in STILL), *((one, 0.05) for one in CRCS)],
    ids=lambda value: value if isinstance(value, float) else value.frame_of.__name__,
)
def test_check_bytes_are_recognised_and_never_proposed_as_weight(unknown, noise_g):
    proposals = described(unknown, 200.0, 1, noise_g=noise_g)
    assert proposals
    for proposal in proposals:
        layout = proposal.description.layout
        assert layout.checksum is not None
        assert layout.weight.offset + layout.weight.size <= layout.checksum.offset


def test_a_frame_is_shown_with_its_weight_in_brackets():
    first = propose(captured(counter_and_little_float, transport=BLE), "bench", gatt=GATT)[0]
    before, weight, behind = re.fullmatch(r"(.*) \[(.*)\] (.*)", first.sample).groups()
    assert (len(before.split()), len(weight.split()), len(behind.split())) == (1, 4, 1)


def test_too_light_a_weight_is_refused():
    with pytest.raises(UsageError, match="too light"):
        propose(captured(counter_and_little_float, known_g=5.0), "x")


def test_too_little_heard_is_reported_with_when():
    whole = captured(counter_and_little_float)
    with pytest.raises(WorkError, match="with the weight"):
        propose(Capture(200.0, whole.off, whole.on[:3], whole.off_again), "x")
