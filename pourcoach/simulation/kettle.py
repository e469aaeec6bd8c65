"""A kettle that is tilted from outside, over a server on a scale.

The hand's part of it is the user's: how far the kettle is meant to be tilted. The rest follows: an
arm that takes a moment, water that stands lower as the kettle empties, a spout that lets only so
much through, and a tremor. Nothing here is a hand's skill: it trains timing, stages and reading the
curve.
"""

from dataclasses import dataclass
from random import Random

from pourcoach.domain.errors import UsageError
from pourcoach.domain.inputs import Reading
from pourcoach.domain.plan import Arrangement, Plan
from pourcoach.domain.units import Grams, GramsPerSecond, Seconds
from pourcoach.simulation.bed import USUAL_KETTLE_C, BedModel, fitted_permeability_m2
from pourcoach.simulation.hand.stream import TREMOR_DAMPING, TREMOR_HZ
from pourcoach.simulation.hand.wobble import OscillatingWobble
from pourcoach.simulation.jet import Jet
from pourcoach.simulation.scale.converter import Converter
from pourcoach.simulation.scale.corners import Corners
from pourcoach.simulation.scale.link import SimulatedLink
from pourcoach.simulation.scale.platform import PlatformModel
from pourcoach.simulation.scale.scale_model import USUAL_SCALE, ScaleModel
from pourcoach.simulation.ticks import TICK_S, rng
from pourcoach.simulation.vessels import Vessels

SPOUTS_GPS = {"fine": 9.0, "medium": 14.0, "wide": 22.0}
"""What each lets through at most; chosen after kettles at hand, no published source."""
CAPACITY_G: Grams = 1500.0
LEVEL_TILT = 0.12
"""Share of the tilt at which a full kettle begins to run."""
EMPTY_TILT = 0.75
"""The same when it is all but empty; chosen."""
GAIN = 1.4
"""Power with which the flow grows above that tilt: a spout fills from its lip; chosen."""
USUAL_LAG_S: Seconds = 0.12
"""From the tilt that is meant to the one that is there: the time constant of a filled kettle in a
hand; chosen."""
USUAL_TREMOR = 0.01
"""Of the whole tilt, standard deviation of its tremor at 9 Hz; chosen."""
SWAY_HZ = 0.5
SWAY_DAMPING = 0.4
SWAYS = 1.0
"""Slow wandering, by the size of the tremor; chosen."""
REFILL_S: Seconds = 2.0
"""The kettle is away for so long; common practice is longer, and dull."""
DRIP_TILT = 0.01


@dataclass(frozen=True, slots=True)
class KettleModel:
    """What can be chosen of a kettle."""

    fill_g: Grams = 900.0
    spout: str = "fine"
    lag_s: Seconds = USUAL_LAG_S
    tremor: float = USUAL_TREMOR

    def __post_init__(self) -> None:
        if self.spout not in SPOUTS_GPS:
            raise UsageError(f"no spout is called {self.spout!r}", "use " + ", ".join(SPOUTS_GPS))
        for name, value, least, most in (
            ("fill", self.fill_g, 50.0, CAPACITY_G),
            ("lag", self.lag_s, 0.0, 2.0),
            ("tremor", self.tremor, 0.0, 0.2),
        ):
            if not least <= value <= most:
                raise UsageError(
                    f"the kettle's {name} is {value:g}", f"choose one from {least:g} to {most:g}"
                )


class Kettle:
    """Moved tick by tick; ``tilt_to`` may be called at any time between."""

    def __init__(self, model: KettleModel, random: Random) -> None:
        self._model = model
        self.water_g: Grams = model.fill_g
        self.tilt = 0.0
        """Where it is, 0 upright to 1; the tremor left out."""
        self.flow_gps: GramsPerSecond = 0.0
        self._meant = 0.0
        self._away_ticks = 0
        self._tremor = OscillatingWobble(TREMOR_HZ, TREMOR_DAMPING, TICK_S, random)
        self._sway = OscillatingWobble(SWAY_HZ, SWAY_DAMPING, TICK_S, random)

    @property
    def away(self) -> bool:
        """Whether it is being filled."""
        return self._away_ticks > 0

    @property
    def most_gps(self) -> GramsPerSecond:
        """What its spout lets through."""
        return SPOUTS_GPS[self._model.spout]

    def tilt_to(self, share: float) -> None:
        """Where the hand means it to be, 0 upright to 1; what lies beyond is cut off."""
        self._meant = min(max(share, 0.0), 1.0)

    def refill(self) -> None:
        """Put it down, fill it to where it began, and take it up again."""
        self._away_ticks = round(REFILL_S / TICK_S)

    def step(self) -> GramsPerSecond:
        """Let a tick pass; the flow at the spout in it."""
        meant = 0.0 if self.away else self._meant
        if self.away:
            self._away_ticks -= 1
            if not self._away_ticks:
                self.water_g = self._model.fill_g
        lag_s = self._model.lag_s
        self.tilt += (meant - self.tilt) * (TICK_S / (lag_s + TICK_S))
        shaken = self.tilt
        if self.tilt > DRIP_TILT:
            shaken += self._model.tremor * (self._tremor.step() + SWAYS * self._sway.step())
        self.flow_gps = min(self._flow_at(shaken), self.water_g / TICK_S)
        self.water_g -= self.flow_gps * TICK_S
        return self.flow_gps

    def _flow_at(self, tilt: float) -> GramsPerSecond:
        emptied = 1 - self.water_g / CAPACITY_G
        begins = LEVEL_TILT + (EMPTY_TILT - LEVEL_TILT) * emptied
        if tilt <= begins or self.water_g <= 0:
            return 0.0
        return float(self.most_gps * ((tilt - begins) / (1 - begins)) ** GAIN)


class KettleBrew:
    """The kettle's stream, what it falls into, and the scale below: a world of fixed ticks.

    ``advance_to`` may be called in any steps of time. Nothing is kept of what has passed.
    """

    def __init__(
        self,
        plan: Plan,
        kettle: KettleModel,
        seed: int,
        scale: ScaleModel = USUAL_SCALE,
        arrangement: Arrangement = Arrangement.BREWER_ON_SCALE,
    ) -> None:
        """``plan`` gives the dose that lies in the bed, and how long that drains."""
        self.kettle = Kettle(kettle, rng(seed, "kettle"))
        self._jet = Jet()
        self._bed = BedModel(
            plan.dose_g, fitted_permeability_m2(plan), plan.temperature_c or USUAL_KETTLE_C
        )
        self._vessels = Vessels(arrangement, plan.dose_g, self._bed, self._jet)
        self._platform = PlatformModel(scale)
        self._converter = Converter(scale, rng(seed, "converter"), rng(seed, "spikes"))
        self._corners = Corners(scale, rng(seed, "corners"))
        self._link = SimulatedLink(scale, (), rng(seed, "link"), rng(seed, "packets"))
        self._tick = 0
        self.poured_g: Grams = 0.0
        """All that has left the spout: the truth."""

    @property
    def now_s(self) -> Seconds:
        """How far the world has been moved."""
        return self._tick * TICK_S

    def advance_to(self, t_s: Seconds) -> list[Reading]:
        """Readings that arrive by ``t_s`` and were not returned before, in order of arrival."""
        while self._tick * TICK_S < t_s:
            self._step()
        return self._link.arrived(t_s)

    def _step(self) -> None:
        t_s = self._tick * TICK_S
        spout_gps = self.kettle.step()
        landing_gps = self._jet.step(spout_gps)
        self._bed.step(landing_gps)
        self.poured_g += spout_gps * TICK_S
        flow_gps, push_g = self._vessels.poured_on(landing_gps)
        signal_g = self._platform.step(
            t_s, self._vessels.weight_g(), flow_gps, hot=self.poured_g > 0
        )
        self._corners.step(flow_gps, push_g, (0.0, 0.0))
        sample = self._converter.step(t_s + TICK_S, signal_g)
        if sample is not None:
            self._link.send(sample, self._corners.shares(sample.grams))
        self._tick += 1
