"""A simulated scale under a simulated hand: ``sim:steady?seed=3&rate=80``."""

import asyncio
from collections import deque
from collections.abc import AsyncIterator
from dataclasses import replace

from pourcoach.brewing.plan.pour_plan import work_out
from pourcoach.brewing.plan.request import PlanRequest
from pourcoach.domain.advice import Cue
from pourcoach.domain.errors import UsageError
from pourcoach.domain.inputs import Link, Reading
from pourcoach.domain.plan import Arrangement, Plan
from pourcoach.domain.units import Seconds
from pourcoach.scales.address import ScaleAddress
from pourcoach.scales.scale import Now
from pourcoach.scales.worked_out.modelled import STRIDE_S, ModelledScale
from pourcoach.simulation.brew import SimulatedBrew
from pourcoach.simulation.hand.hand import LEAST_REACTION_S
from pourcoach.simulation.hand.profiles import profile_named
from pourcoach.simulation.scale.scale_model import ScaleModel, model_named

# The world may be moved ahead of the clock by as much as nobody could react in: whatever the
# hand hears now changes only what has not been moved yet.
AHEAD_S = LEAST_REACTION_S
YES, NO = ("yes", "1", "true"), ("no", "0", "false")


class SimulatedScale(ModelledScale):
    """Gives the readings of one simulated brew, and of the empty scale for ever after.

    Options: ``seed`` (1), ``model`` (kitchen, bench, radio, cheap, lively,
    board, patchy, ideal), ``rate`` in Hz,
    ``resolution`` and ``noise`` in grams, ``untared`` grams of vessels on it, ``listens`` (no: the
    hand ignores cues), ``arrangement`` (brewer-on-scale) and ``speed``, at which ``now`` is
    expected to run.
    """

    def __init__(self, address: ScaleAddress, now: Now, plan: Plan | None = None) -> None:
        """Without a plan the hand follows the usual one. Raises UsageError for a bad option."""
        address.only(
            "seed",
            "model",
            "rate",
            "resolution",
            "noise",
            "untared",
            "listens",
            "arrangement",
            "speed",
        )
        super().__init__(address, now)
        profile = replace(profile_named(address.target), listens=_listens(address))
        self._brew = SimulatedBrew(
            plan if plan is not None else work_out(PlanRequest()).plan,
            profile,
            address.seed,
            _model(address),
            _arrangement(address),
        )

    @property
    def brew(self) -> SimulatedBrew:
        """What is simulated, with its truth."""
        return self._brew

    async def __aiter__(self) -> AsyncIterator[Reading | Link]:
        due: deque[Reading] = deque()
        moved_s = 0.0
        while True:
            now_s = min(self._now(), moved_s + STRIDE_S)
            moved_s = now_s
            due.extend(self._brew.advance_to(now_s + AHEAD_S))
            while due and due[0].t_s <= now_s:
                yield self._tared(due.popleft())
            wake_s = due[0].t_s if due else now_s + AHEAD_S
            await asyncio.sleep(max(wake_s - self._now(), 0.0) / self._speed)

    def hear(self, cue: Cue, t_s: Seconds) -> None:
        """Let the hand see and hear a cue in force at ``t_s``."""
        self._brew.hear(cue, t_s)


def _model(address: ScaleAddress) -> ScaleModel:
    model = model_named(address.options.get("model", "kitchen"))
    return replace(
        model,
        rate_hz=address.number("rate", model.rate_hz),
        resolution_g=address.number("resolution", model.resolution_g),
        noise_g=address.number("noise", model.noise_g),
        untared_g=address.number("untared", model.untared_g),
    )


def _listens(address: ScaleAddress) -> bool:
    word = address.options.get("listens", "no").lower()
    if word not in YES + NO:
        raise UsageError(f"listens={word} in {str(address)!r} is neither yes nor no")
    return word in YES


def _arrangement(address: ScaleAddress) -> Arrangement:
    word = address.options.get("arrangement", Arrangement.BREWER_ON_SCALE.value)
    try:
        return Arrangement(word)
    except ValueError:
        known = " or ".join(arrangement.value for arrangement in Arrangement)
        raise UsageError(
            f"arrangement={word} in {str(address)!r} is unknown", f"use {known}"
        ) from None
