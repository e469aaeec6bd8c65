import asyncio

import pytest

from pourcoach.domain.errors import WorkError
from pourcoach.session.weighing.describing import capture_scale
from pourcoach.wire.description import Gatt, Transport
from pourcoach.wire.unknown.wizard import propose
from tests.session.fake_bench import FakeBenchScale, FakePerson
from tests.session.fake_sending import Frames, Sending, in_its_own_time

WEIGHT = Gatt("0000fff0-0000-1000-8000-00805f9b34fb", "0000fff1-0000-1000-8000-00805f9b34fb")
BATTERY = Gatt("0000180f-0000-1000-8000-00805f9b34fb", "00002a19-0000-1000-8000-00805f9b34fb")


SCRIPT = [("everything off", 0.0, ""), ("Put 200 g on", 200.0, ""), ("off again", 0.0, "")]


@pytest.fixture
def sending(monkeypatch: pytest.MonkeyPatch) -> Sending:
    return in_its_own_time(monkeypatch)


def lines(grams: float, _count: int) -> list[tuple[Gatt | None, bytes]]:
    return [(None, f"{grams:.1f}\n".encode())]


async def test_each_characteristic_is_a_capture_and_the_busiest_comes_first(sending: Sending):
    scale = FakeBenchScale()

    def frames(grams: float, count: int) -> list[tuple[Gatt | None, bytes]]:
        weight = (WEIGHT, bytes([count % 256]) + round(grams * 10).to_bytes(2, "little"))
        return [weight, *([(BATTERY, b"\x60")] if count % 10 == 0 else [])]

    person = FakePerson(scale, [*SCRIPT, ("less than nothing", None, "s")])
    captures = await capture_scale(sending(scale, frames), person, 200.0, Transport.BLE)
    assert [heard.gatt for heard in captures] == [WEIGHT, BATTERY]
    assert captures[0].capture.below == ()
    first = propose(captures[0].capture, "x", gatt=WEIGHT)[0]
    assert first.description.gatt == WEIGHT
    assert first.shown_g == pytest.approx(200.0)


async def test_the_stretch_below_zero_is_kept(sending: Sending):
    scale = FakeBenchScale()
    person = FakePerson(scale, [*SCRIPT, ("less than nothing", -200.0, "")])
    captures = await capture_scale(
        sending(scale, lambda grams, count: [(None, f"{grams:.1f}\n".encode())]),
        person,
        200.0,
        Transport.SERIAL,
    )
    assert {data for _, data in captures[0].capture.below} == {b"-200.0\n"}
    assert {data for _, data in captures[0].capture.on} == {b"200.0\n"}


async def test_a_mute_scale_is_reported(sending: Sending):
    scale = FakeBenchScale()
    with pytest.raises(WorkError, match="nothing came"):
        await capture_scale(
            sending(scale, lambda grams, count: []),
            FakePerson(scale, SCRIPT),
            200.0,
            Transport.SERIAL,
        )


async def described(
    sending: Sending, script: list[tuple[str, float | None, str]], frames: Frames = lines
):
    scale = FakeBenchScale()
    person = FakePerson(scale, script)
    captures = await capture_scale(sending(scale, frames), person, 200.0, Transport.SERIAL)
    return captures[0].capture, person


NOT_YET = "Nothing in what it sends has changed"


async def test_enter_at_a_step_not_done_repeats_the_step(sending: Sending):
    capture, person = await described(
        sending,
        [
            ("everything off", 0.0, ""),
            ("Put 200 g on", None, ""),
            (NOT_YET, None, ""),
            (NOT_YET, 200.0, ""),
            ("off again", None, ""),
            ("has not gone back", 0.0, ""),
            ("less than nothing", 0.0, ""),
            ("not as far below zero", -200.0, ""),
        ],
    )
    assert len(person.asked) == 8
    for stretch, sent in (("off", b"0.0"), ("on", b"200.0"), ("off_again", b"0.0")):
        assert {data.strip() for _, data in getattr(capture, stretch)} == {sent}
    assert {data for _, data in capture.below} == {b"-200.0\n"}


async def test_a_step_can_be_taken_as_it_is_and_the_last_be_left_out(sending: Sending):
    """A scale that no proposal fits: what was heard is still worth keeping."""
    capture, _ = await described(
        sending,
        [
            ("everything off", 0.0, ""),
            ("Put 200 g on", 200.0, ""),
            (NOT_YET, None, "g"),
            ("off again", 0.0, ""),
            ("less than nothing", None, "s"),
        ],
        lambda grams, count: [(None, b"%d\n" % (count * 7919 % 1000))],
    )
    assert capture.below == ()
    assert len(capture.on) > 5


async def test_a_cable_pulled_is_reported_at_that_step(sending: Sending):
    scale = FakeBenchScale()

    class Pulling(FakePerson):
        async def ask(self, text: str) -> str:
            if "off again" in text:
                scale.unplugged = True
                await asyncio.Event().wait()  # nobody presses Enter
            return await super().ask(text)

    with pytest.raises(
        WorkError, match=r"FAKE is gone \(at the step 'with the weight off again'\)"
    ):
        await capture_scale(sending(scale, lines), Pulling(scale, SCRIPT), 200.0, Transport.SERIAL)
