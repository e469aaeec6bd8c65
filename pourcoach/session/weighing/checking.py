"""A guided check of a scale: what to put where, and what was seen."""

from collections.abc import Callable
from dataclasses import dataclass, field

from pourcoach.domain.errors import UsageError
from pourcoach.domain.inputs import Reading
from pourcoach.domain.number import read_number
from pourcoach.domain.units import Grams, Seconds
from pourcoach.scales.scale import Now
from pourcoach.session.weighing.asker import Asker
from pourcoach.session.weighing.bench import WeighingBench
from pourcoach.weighing.check.check_record import CheckRecord
from pourcoach.weighing.figures.discrimination import ADDED_INTERVALS
from pourcoach.weighing.figures.eccentricity import PLACES, SHARE_OF_CAPACITY
from pourcoach.weighing.loads.known_load import KnownLoad

# Enough for each figure and not more than a person has patience for: common practice. The noise is
# known to a tenth from 200 readings of 20 s at 10 Hz (the error of a standard deviation, 1/sqrt(2n)
# for white noise, doubled for real one), and eight presses give a delay to a third of one's spread.
STILL_S: Seconds = 20.0
REPEATS = 3
LIFTS = 3
PRESSES = 8
# A brew's length: creep beyond it never meets a pour.
USUAL_HOLD_S: Seconds = 240.0
# What follows a press of the key is listened to for so long.
AFTER_PRESS_S: Seconds = 1.0
LIFT_S: Seconds = 1.5
SKIP = "s"


@dataclass(frozen=True, slots=True)
class CheckPlan:
    """What the check is to hold the scale against."""

    scale: str
    made_at: str
    interval_g: Grams
    capacity_g: Grams
    hold_s: Seconds = USUAL_HOLD_S
    read: Callable[[str], KnownLoad] = field(default=lambda text: KnownLoad(read_number(text), 0.0))
    """A load, not yet weighed, from what was typed; raises UsageError for what is none."""


async def run_check(bench: WeighingBench, asker: Asker, plan: CheckPlan, now: Now) -> CheckRecord:
    """Ask for each step in turn; "s" skips one. Raises WorkError where the scale fails."""
    check = _Check(bench, asker, plan, now)
    await bench.begin()
    asker.say("Each step can be left out with 's' and Enter.")
    still, zero = await check.still()
    loads = await check.loads(zero)
    heaviest = loads[-1] if loads else None
    repeats = await check.repeats(heaviest)
    places = await check.places(heaviest)
    small = await check.small()
    held, zero_after = await check.held()
    lifted = await check.lifted()
    pressed, presses_s = await check.pressed()
    return CheckRecord(
        plan.scale,
        plan.made_at,
        plan.interval_g,
        plan.capacity_g,
        still=still,
        loads=(zero, *loads) if zero is not None and loads else loads,
        repeats=repeats,
        places=places,
        small=small,
        held=held,
        zero_before=zero if zero_after is not None else None,
        zero_after=zero_after,
        lifted=lifted,
        pressed=pressed,
        presses_s=presses_s,
    )


class _Check:
    """One guided check; each method is a step of it."""

    def __init__(self, bench: WeighingBench, asker: Asker, plan: CheckPlan, now: Now) -> None:
        self._bench = bench
        self._asker = asker
        self._plan = plan
        self._now = now

    async def _skips(self, text: str) -> bool:
        return (await self._asker.ask(text)).strip().lower() == SKIP

    async def _weighed(self, load: KnownLoad) -> KnownLoad:
        rest = await self._bench.rest(self._plan.interval_g / 2)
        return KnownLoad(load.true_g, rest.mean, rest.noise, rest.readings, load.known_to_g)

    async def still(self) -> tuple[tuple[Reading, ...], KnownLoad | None]:
        if await self._skips("Take everything off the scale and let it be, then press Enter."):
            return (), None
        zero = await self._weighed(KnownLoad(0.0, 0.0, known_to_g=0.0))
        self._asker.say(f"Listening to the empty scale for {STILL_S:g} s…")
        return tuple(await self._bench.listen(STILL_S)), zero

    async def loads(self, zero: KnownLoad | None) -> tuple[KnownLoad, ...]:
        if zero is None:
            return ()
        loads: list[KnownLoad] = []
        while True:
            answer = await self._asker.ask(
                "Put a known weight in the middle and type its grams (or water, as in "
                "'250 ml 21 c'); Enter alone when you have no other:"
            )
            if answer.strip().lower() in ("", SKIP):
                return tuple(sorted(loads, key=lambda load: load.true_g))
            load = self._typed(answer)
            if load is not None:
                loads.append(await self._weighed(load))

    def _typed(self, answer: str) -> KnownLoad | None:
        try:
            return self._plan.read(answer)
        except UsageError as error:
            self._asker.say(str(error))
            return None

    async def repeats(self, load: KnownLoad | None) -> tuple[KnownLoad, ...]:
        if load is None:
            return ()
        weighed = []
        for number in range(1, REPEATS + 1):
            if await self._skips(
                f"Take it off, put {load.true_g:g} g in the middle again, then press Enter "
                f"({number} of {REPEATS})."
            ):
                return ()
            weighed.append(await self._weighed(load))
        return tuple(weighed)

    async def places(self, load: KnownLoad | None) -> dict[str, KnownLoad]:
        if load is None:
            return {}
        best_g = self._plan.capacity_g * SHARE_OF_CAPACITY
        weighed = {}
        for place in PLACES:
            where = "in the middle" if place == PLACES[0] else f"half-way out to the {place}"
            hint = f" (best about {best_g:.0f} g)" if place == PLACES[0] else ""
            if await self._skips(f"Put {load.true_g:g} g {where}{hint}, then press Enter."):
                return {}
            weighed[place] = await self._weighed(load)
        return weighed

    async def small(self) -> tuple[KnownLoad, KnownLoad] | None:
        least_g = ADDED_INTERVALS * self._plan.interval_g
        if await self._skips("Leave something of about 100 g on, then press Enter."):
            return None
        before = await self._weighed(KnownLoad(100.0, 0.0))
        while True:
            answer = await self._asker.ask(
                f"Add {least_g:.2g} g or a little more (a drop of water is about 0.05 g) and type "
                "how much:"
            )
            if answer.strip().lower() == SKIP:
                return None
            added = self._typed(answer)
            if added is not None:
                after = KnownLoad(100.0 + added.true_g, 0.0)
                return before, await self._weighed(after)

    async def held(self) -> tuple[tuple[Reading, ...], KnownLoad | None]:
        if await self._skips(
            "Put on what stands there in a brew, about 500 g, then press Enter "
            f"(it takes {self._plan.hold_s / 60:g} min)."
        ):
            return (), None
        await self._bench.rest(self._plan.interval_g)
        held = tuple(await self._bench.listen(self._plan.hold_s))
        if await self._skips("Take everything off again, then press Enter."):
            return held, None
        return held, await self._weighed(KnownLoad(0.0, 0.0, known_to_g=0.0))

    async def lifted(self) -> tuple[tuple[Reading, ...], ...]:
        lifts: list[tuple[Reading, ...]] = []
        for number in range(1, LIFTS + 1):
            if await self._skips(
                f"Put 100 g or more on, and press Enter with it at rest ({number} of {LIFTS}); "
                "lift it straight off at the word NOW."
            ):
                return tuple(lifts)
            await self._bench.rest(self._plan.interval_g)
            begun_s = self._now()
            await self._bench.listen(LIFT_S)
            self._asker.say("NOW: lift it straight off.")
            await self._bench.listen(LIFT_S)
            await self._bench.rest(self._plan.interval_g)
            lifts.append(tuple(self._bench.since(begun_s)))
        return tuple(lifts)

    async def pressed(self) -> tuple[tuple[Reading, ...], tuple[Seconds, ...]]:
        if await self._skips(
            f"Last, how late its readings are: {PRESSES} times, press the platform with one hand "
            "and Enter with the other at the very same moment. Enter when you are ready."
        ):
            return (), ()
        await self._bench.rest(self._plan.interval_g)
        begun_s = self._now()
        keys_s: list[Seconds] = []
        for number in range(1, PRESSES + 1):
            if await self._skips(f"Press both ({number} of {PRESSES}):"):
                break
            keys_s.append(self._now())
            await self._bench.listen(AFTER_PRESS_S)
        return tuple(self._bench.since(begun_s)), tuple(keys_s)
