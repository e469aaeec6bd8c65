"""Brews on a rough stream: one trouble a row, the rest of the brew drawn by lot."""

from dataclasses import replace
from random import Random

from pourcoach.domain.advice import FlagKind
from pourcoach.simulation.brew import SimulatedBrew
from pourcoach.simulation.faults import Knock, OrderedFault, Outage, OwnTare, Vapour
from tests.benchmarks.coaching.cases import Case, clean, faulty
from tests.benchmarks.coaching.judged import excursions

TUNING_SEED = 3_000_000
"""Seeds from here on may be looked at while constants are chosen."""
REPORTED_SEED = 41_000_000
HAND_KINDS = (
    FlagKind.UNEVEN,
    FlagKind.STALL,
    FlagKind.SURGE,
    FlagKind.OVERSHOOT,
    FlagKind.SHORT,
    FlagKind.BLOOM_LIGHT,
    FlagKind.BLOOM_SHORT,
    FlagKind.LATE,
)
"""Faults of the hand, ordered at twice their threshold."""
NO_VAPOUR = Vapour(0.0)
"""Where a row is about other things: all water stays on the scale."""


def plain(seed: int, **scale: float) -> Case:
    """A clean brew on an untouched scale with coloured noise; ``scale`` changes its fields.

    Bursts and repeats that the drawn scale may have are taken out.
    """
    case = clean(seed)
    quiet = replace(
        case.scale, touches_per_min=0.0, burst_s=0.0, jitter_s=0.002, stale=0.0, noise_lag_1=0.5
    )
    return replace(case, scale=replace(quiet, **scale), faults=(NO_VAPOUR,))


def with_faults(case: Case, *faults: OrderedFault) -> Case:
    """The same brew with these too."""
    return replace(case, faults=(*case.faults, *faults))


def drummed(seed: int, noise_g: float, rate_hz: float, drumming_s: float) -> Case:
    """Falling water drums on a scale of this noise and rate."""
    return plain(seed, noise_g=noise_g, rate_hz=rate_hz, drumming_s=drumming_s, resolution_g=0.01)


def own_tares(seed: int) -> Case:
    """The scale's own button is pressed twice at any moment after the first second of water."""
    case, chance = plain(seed, drumming_s=0.012), Random(f"own tares {seed}")
    moments_s = [chance.uniform(1.0, case.plan.finish_s) for _ in range(2)]
    return with_faults(case, *(OwnTare(moment_s) for moment_s in moments_s))


def knocked(seed: int) -> Case:
    """Six knocks of 4 to 60 g at any moment, in pours and in waits."""
    case = plain(seed, drumming_s=0.012)
    return replace(case, hand=replace(case.hand, bumps=6))


def faulty_and_knocked(seed: int, kind: FlagKind) -> Case:
    """The same with one fault of the hand."""
    case, still = faulty(seed, kind, 2.0), plain(seed, drumming_s=0.012)
    hand = replace(case.hand, bumps=6)
    return replace(with_faults(case, NO_VAPOUR), hand=hand, scale=still.scale)


def faulty_in_bunches(seed: int, kind: FlagKind) -> Case:
    """One fault of the hand; ten readings a second, which arrive six at a time."""
    scale = plain(seed, drumming_s=0.012, rate_hz=10.0, burst_s=0.6).scale
    return replace(with_faults(faulty(seed, kind, 2.0), NO_VAPOUR), scale=scale)


def pressed(seed: int) -> Case:
    """A hand presses on the platform three times while waiting."""
    case = plain(seed, drumming_s=0.012)
    return replace(case, hand=replace(case.hand, presses=3))


def spiked(seed: int, share: float) -> Case:
    """A cheap board, with this share of its readings far off."""
    return plain(seed, spikes=share, drumming_s=0.012)


def steaming(seed: int) -> Case:
    """A bed that gives off 0.01 to 0.05 g/s."""
    case = plain(seed, drumming_s=0.012)
    return replace(case, faults=(Vapour(Random(f"vapour {seed}").uniform(0.01, 0.05)),))


def interrupted(seed: int, kind: FlagKind) -> Case:
    """A stall or a surge with a knock in the midst of it."""
    case = faulty(seed, kind, 2.0)
    case = replace(case, scale=plain(seed, drumming_s=0.012).scale)
    # Where the fault falls is the hand's: it is simulated once without the knock to learn it.
    brew = SimulatedBrew(case.plan, case.hand, case.seed, case.scale, faults=case.faults)
    brew.run()
    made = [fault for fault in excursions(brew, case) if fault.kind is kind]
    chance = Random(f"interrupted {seed}")
    knocks = [
        Knock(
            chance.uniform(fault.start_s, fault.end_s) - brew.truth.first_water_s,
            chance.uniform(4, 60) * chance.choice((-1, 1)),
            chance.uniform(0.1, 0.6),
        )
        for fault in made[:1]
    ]
    return with_faults(case, NO_VAPOUR, *knocks)


def out(seed: int, lasts_s: float | None = None) -> Case:
    """The link is lost for 1 to 16 s at any moment of the brew."""
    case, chance = plain(seed, drumming_s=0.012), Random(f"outage {seed}")
    drawn_s = chance.uniform(1.0, 16.0)
    brew_s = chance.uniform(-1.0, case.plan.finish_s - 20.0)
    return with_faults(case, Outage(brew_s, drawn_s if lasts_s is None else lasts_s))


def lossy(seed: int, **scale: float) -> Case:
    """Readings are lost, one by one or in packets, or come in bunches."""
    return plain(seed, drumming_s=0.012, **scale)
