"""The rows of the bench, each a Tally or several by name."""

from collections.abc import Callable, Mapping, Sequence
from functools import partial

from pourcoach.domain.advice import FlagKind
from tests.benchmarks.coaching.cases import Case
from tests.benchmarks.stream import cases
from tests.benchmarks.stream.kept import KeptTallies
from tests.benchmarks.stream.tally import Tally, merged, tally

NOISES_G = (0.02, 0.05, 0.1, 0.3)
RATES_HZ = (5.0, 10.0, 20.0, 80.0, 100.0)
DRUMMINGS_S = (0.0, 0.012, 0.024, 0.05)

ROWS: Mapping[str, Callable[[int], Case]] = {
    "nothing but coloured noise": partial(cases.plain, drumming_s=0.012),
    "own tare, two": cases.own_tares,
    "knocks, six": cases.knocked,
    "presses, three": cases.pressed,
    "spikes 1 %": partial(cases.spiked, share=0.01),
    "spikes 5 %": partial(cases.spiked, share=0.05),
    "vapour 0.01 to 0.05 g/s": cases.steaming,
    "outage 1 to 16 s": cases.out,
    "outage 4 s": partial(cases.out, lasts_s=4.0),
    "10 % lost, single": partial(cases.lossy, loss=0.1),
    "20 % lost, single": partial(cases.lossy, loss=0.2),
    "20 % lost, packets": partial(cases.lossy, packet_loss=0.15),
    "40 Hz, 20 % in packets, jitter": partial(
        cases.lossy, rate_hz=40.0, packet_loss=0.15, jitter_s=0.01
    ),
    "80 Hz, 20 % single, jitter": partial(cases.lossy, rate_hz=80.0, loss=0.2, jitter_s=0.012),
    "20 Hz, bunches of 3, 3 % lost": partial(
        cases.lossy, rate_hz=20.0, burst_s=0.15, jitter_s=0.01, loss=0.03
    ),
    "80 Hz, bunches of 6, 3 % lost": partial(
        cases.lossy, rate_hz=80.0, burst_s=0.075, jitter_s=0.01, loss=0.03
    ),
}
"""One trouble each, on brews without a fault of the hand."""


def row(name: str, seed: int, brews: int) -> Tally:
    """One of ``ROWS``."""
    return tally(ROWS[name](seed + number) for number in range(brews))


def drumming(seed: int, noise_g: float, rate_hz: float, drumming_s: float, brews: int) -> Tally:
    """One cell of noise, rate and drumming."""
    return tally(
        cases.drummed(seed + number, noise_g, rate_hz, drumming_s) for number in range(brews)
    )


def knocked_faults(kept: KeptTallies, seed: int, brews_a_kind: int) -> Tally:
    """Faults of the hand among six knocks."""
    return _each_kind(kept, cases.faulty_and_knocked, cases.HAND_KINDS, seed, brews_a_kind)


def interrupted(kept: KeptTallies, seed: int, brews_a_kind: int) -> Tally:
    """Stalls and surges with a knock in them."""
    kinds = (FlagKind.STALL, FlagKind.SURGE)
    return _each_kind(kept, cases.interrupted, kinds, seed, brews_a_kind)


def bunched(kept: KeptTallies, seed: int, brews_a_kind: int) -> Tally:
    """Stalls and surges on a slow scale whose readings arrive six at a time."""
    kinds = (FlagKind.STALL, FlagKind.SURGE)
    return _each_kind(kept, cases.faulty_in_bunches, kinds, seed, brews_a_kind)


def _each_kind(
    kept: KeptTallies,
    make: Callable[[int, FlagKind], Case],
    kinds: Sequence[FlagKind],
    seed: int,
    brews: int,
) -> Tally:
    return merged(
        [
            kept.of(
                f"{make.__name__} {kind.value}",
                partial(make, kind=kind),
                range(seed + 1000 * place, seed + 1000 * place + brews),
            )
            for place, kind in enumerate(kinds)
        ]
    )
