"""A simulated kettle over a simulated scale, tilted by whoever practises: ``kettle:?fill=900``."""

import asyncio
from collections import deque
from collections.abc import AsyncIterator
from dataclasses import replace

from pourcoach.brewing.plan.pour_plan import work_out
from pourcoach.brewing.plan.request import PlanRequest
from pourcoach.domain.inputs import Link, Reading
from pourcoach.domain.plan import Plan
from pourcoach.domain.units import Seconds
from pourcoach.scales.address import ScaleAddress
from pourcoach.scales.scale import Now
from pourcoach.scales.worked_out.modelled import STRIDE_S, ModelledScale
from pourcoach.simulation.kettle import USUAL_LAG_S, USUAL_TREMOR, Kettle, KettleBrew, KettleModel
from pourcoach.simulation.scale.scale_model import ScaleModel, model_named

RATE_HZ = 50.0
"""Of its readings: a tilt is on the screen as soon as it can be drawn."""
# What the mouse did must not wait: the world is moved on in steps of two ticks.
BEAT_S: Seconds = 0.010
CAN_AND_CANNOT = (
    "A simulated kettle trains timing, stages and reading the curve. It cannot train the hand: its "
    "weight, its stream and where the water falls are felt and seen at a real one alone."
)


class KettleScale(ModelledScale):
    """Readings of what the user pours. ``kettle`` is tilted by a screen or by commands.

    Options: ``fill`` in grams (900), ``spout`` (fine, medium, wide), ``lag`` in s, ``tremor``,
    ``seed``, ``model``, ``rate`` in Hz, ``speed``.
    """

    def __init__(self, address: ScaleAddress, now: Now, plan: Plan | None = None) -> None:
        """Raises UsageError for a bad option."""
        address.only("fill", "spout", "lag", "tremor", "seed", "model", "rate", "speed")
        super().__init__(address, now)
        model = KettleModel(
            fill_g=address.number("fill", KettleModel().fill_g),
            spout=address.options.get("spout", KettleModel().spout),
            lag_s=address.number("lag", USUAL_LAG_S),
            tremor=address.number("tremor", USUAL_TREMOR),
        )
        planned = plan if plan is not None else work_out(PlanRequest()).plan
        self._brew = KettleBrew(planned, model, address.seed, _model(address))

    @property
    def kettle(self) -> Kettle:
        """What is tilted, and looked at."""
        return self._brew.kettle

    async def __aiter__(self) -> AsyncIterator[Reading | Link]:
        due: deque[Reading] = deque()
        while True:
            now_s = min(self._now(), self._brew.now_s + STRIDE_S)
            due.extend(self._brew.advance_to(now_s))
            while due:
                yield self._tared(due.popleft())
            await asyncio.sleep(BEAT_S / self._speed)


def _model(address: ScaleAddress) -> ScaleModel:
    model = model_named(address.options.get("model", "kitchen"))
    return replace(model, rate_hz=address.number("rate", RATE_HZ))
