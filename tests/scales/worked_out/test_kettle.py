"""The kettle as a scale address."""

import pytest

from pourcoach.domain.errors import UsageError
from pourcoach.domain.inputs import Reading
from pourcoach.scales.address import ScaleAddress
from pourcoach.scales.open import open_scale
from pourcoach.scales.worked_out.kettle import RATE_HZ, KettleScale


class Hands:
    """A clock that each look moves on, so that no test waits for the wall's."""

    def __init__(self) -> None:
        self.now_s = 0.0

    def now(self) -> float:
        self.now_s += 0.01
        return self.now_s


async def test_it_gives_the_water_that_is_poured_and_can_be_tared() -> None:
    scale = open_scale("kettle:?fill=900&spout=fine&speed=100", Hands().now)
    assert isinstance(scale, KettleScale)
    readings: list[Reading] = []
    async with scale:
        async for item in scale:
            assert isinstance(item, Reading)
            readings.append(item)
            if len(readings) == 20:
                scale.kettle.tilt_to(0.8)
            if len(readings) == 120:
                break
        poured_g = readings[-1].grams
        assert readings[19].grams == pytest.approx(0.0, abs=0.2)
        assert poured_g > 2.0
        assert await scale.tare()
        scale.kettle.tilt_to(0.0)
    assert readings[-1].t_s == pytest.approx(len(readings) / RATE_HZ, abs=0.1)


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("kettle:copper", "names a kettle"),
        ("kettle:?colour=red", "unknown option 'colour'"),
        ("kettle:?spout=hose", "no spout is called 'hose'"),
        ("kettle:?fill=9000", "fill is 9000"),
    ],
)
def test_what_makes_no_sense_is_refused(text: str, why: str) -> None:
    with pytest.raises(UsageError, match=why):
        open_scale(text, lambda: 0.0)


def test_the_bare_address_is_enough() -> None:
    assert ScaleAddress.parse("kettle:").target == ""
    assert not ScaleAddress.parse("kettle:").live
