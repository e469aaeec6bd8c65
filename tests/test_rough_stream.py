"""What the bench of a rough stream showed must stay: a reduced run of it, on fixed seeds.

``python -m tests.benchmarks.stream`` measures the same rows and more on hundreds of other seeds.
"""

from collections.abc import Callable

import pytest

from tests.benchmarks.stream.cases import TUNING_SEED
from tests.benchmarks.stream.kept import KeptTallies
from tests.benchmarks.stream.rows import drumming, interrupted, knocked_faults, row
from tests.benchmarks.stream.tally import Tally

SEED = TUNING_SEED + 500_000
BREWS = 3
WATER_G = 3.0
"""Water at the end of a brew is right within this, whatever happened in it."""


@pytest.mark.parametrize(
    "name",
    [
        "nothing but coloured noise",
        "own tare, two",
        "knocks, six",
        "presses, three",
        "spikes 5 %",
        "outage 1 to 16 s",
        "20 % lost, single",
        "20 % lost, packets",
        "80 Hz, bunches of 6, 3 % lost",
    ],
)
def test_a_rough_stream_changes_no_water_and_blames_no_hand(name: str) -> None:
    result = row(name, SEED, BREWS)
    assert result.found == result.pours
    assert result.false_pours == 0
    assert result.water_wrong(WATER_G) == 0
    assert result.false_flags.total() == 0
    if name == "spikes 5 %":
        # Where one reading in twenty is off, three off in a fifth of a second come by chance, and
        # so do those of a touch.
        assert result.touches <= 4 * BREWS


def test_vapour_is_given_back_to_the_pours() -> None:
    result = row("vapour 0.01 to 0.05 g/s", SEED, BREWS)
    assert result.found == result.pours
    assert result.poured_p95_g() < 0.3 < result.mass_p95_g()


@pytest.mark.parametrize("drumming_s", [0.012, 0.05])
def test_a_quiet_fast_scale_loses_no_pour_to_drumming(drumming_s: float) -> None:
    result = drumming(SEED, noise_g=0.02, rate_hz=80.0, drumming_s=drumming_s, brews=2)
    assert result.found == result.pours
    assert result.false_pours == 0
    assert result.false_flags.total() == 0


@pytest.mark.parametrize(
    ("part", "brews_a_kind", "false"),
    [
        # One uneven pour all but stops for a second: it is called stalled as well.
        (knocked_faults, 1, 1),
        (interrupted, 3, 0),
    ],
)
def test_a_fault_among_knocks_is_found_or_said_to_be_unknown(
    part: Callable[[KeptTallies, int, int], Tally], brews_a_kind: int, false: int
) -> None:
    result = part(KeptTallies(None), SEED, brews_a_kind)
    assert result.ordered
    assert result.seen + result.unknown == result.ordered
    assert result.false_flags.total() == false
