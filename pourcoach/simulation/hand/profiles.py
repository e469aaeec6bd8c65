"""The hands that can be ordered by name."""

from collections.abc import Mapping
from types import MappingProxyType

from pourcoach.domain.errors import UsageError
from pourcoach.simulation.hand.profile import HandProfile
from pourcoach.simulation.hand.wobble import WobbleKind

PROFILES: Mapping[str, HandProfile] = MappingProxyType(
    {
        "steady": HandProfile(),
        "unsteady": HandProfile(wobble_cv=(0.30, 0.34), wobble_hz=(0.7, 1.0)),
        "stalling": HandProfile(stalls=2),
        "surging": HandProfile(surges=2),
        "hasty": HandProfile(
            flow_share=(1.25, 1.4),
            bloom_share=0.9,
            start_bias_s=-12.0,
            start_spread_s=1.5,
            mark_bias_g=9.0,
            mark_spread_g=2.0,
        ),
        "overshooting": HandProfile(mark_bias_g=14.0, mark_spread_g=1.0),
        "light-bloom": HandProfile(bloom_share=0.62),
        "rushed-bloom": HandProfile(bloom_wait_bias_s=-13.0),
        "knocked": HandProfile(knocks=3, lifts=1),
        "bumping": HandProfile(bumps=6),
        "pressing": HandProfile(presses=2),
        "strokes": HandProfile(wobble=WobbleKind.STROKES, wobble_cv=(0.05, 0.08)),
        "learning": HandProfile(
            wobble_cv=(0.15, 0.32),
            flow_share=(0.75, 1.35),
            mark_bias_g=3.0,
            mark_spread_g=4.0,
            start_spread_s=3.0,
        ),
    }
)


def profile_named(name: str) -> HandProfile:
    """The hand of that name; raises UsageError that lists which there are."""
    if name not in PROFILES:
        raise UsageError(f"no hand is called {name!r}", "there are " + ", ".join(PROFILES))
    return PROFILES[name]
