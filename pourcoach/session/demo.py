"""A coached brew with a simulated hand that listens; nothing is kept."""

from pourcoach.domain.plan import Plan
from pourcoach.scales.address import ScaleAddress
from pourcoach.scales.worked_out.simulated import SimulatedScale
from pourcoach.session.brew import BrewSession
from pourcoach.session.clock import Clock
from pourcoach.session.live import heard_by

# An unsteady hand, so that there is something to say and to mend afterwards.
PROFILE = "unsteady"


def demo_brew(plan: Plan, *, seed: int, speed: float) -> BrewSession:
    """A brew of ``plan`` by the simulated hand that ``seed`` gives, ``speed`` times as fast."""
    clock = Clock(speed)
    address = ScaleAddress.parse(f"sim:{PROFILE}?listens=yes&seed={seed}&rate=20&speed={speed:g}")
    scale = SimulatedScale(address, clock.now, plan)
    return BrewSession(scale, clock, plan, listener=heard_by(scale))
