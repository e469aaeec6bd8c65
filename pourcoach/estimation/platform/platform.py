"""The state of the platform: owner of the zero, of the beam, and of what has happened."""

from collections.abc import Iterator
from typing import NamedTuple

from pourcoach.domain.estimate import EventKind, PlatformEvent
from pourcoach.domain.units import Grams, Seconds
from pourcoach.estimation.filter.filter_state import FilterState
from pourcoach.estimation.filter.wobble_model import TICKS_PER_S
from pourcoach.estimation.hindsight import Hindsight
from pourcoach.estimation.platform.account import account
from pourcoach.estimation.platform.beam import SURE, Beam
from pourcoach.estimation.platform.events import EventLog
from pourcoach.estimation.platform.hypothesis import Hypothesis, Turn, TurnKind
from pourcoach.estimation.platform.left_nothing import LeftNothing
from pourcoach.estimation.platform.repeats import Weighed
from pourcoach.estimation.platform.scene import Away, SceneKeeper
from pourcoach.estimation.platform.spikes import SpikeWatch, side_of
from pourcoach.estimation.platform.tares import LEAST_TARE_G
from pourcoach.estimation.platform.zero import Zero

# A smaller touch is slosh, or an uneven flow (common practice).
KNOCK_G = 1.5
KNOCK_SIGMAS = 8.0
# How much a flow that stops, resumes or surges suddenly brings since the weight was last seen.
KNOCK_GPS = 12.0
# Water that came unseen in less time counts as seen.
UNSEEN_S = 0.3
# A touch is reported once it has lasted this long and this many readings.
KNOCK_S = 0.04
KNOCK_READINGS = 2
# After this long an unseen flow is as likely as not to be another (common practice).
FLOW_LASTS_S = 1.0
# No tare is more certain than this.
LEAST_DOUBT = 0.005
# After a tare the readings are nearer to zero than this, including what ran or swung meanwhile.
ABOUT_ZERO_G = 2.0
# A slower fall is a hand that leans.
LEAN_S = 1.0


class SettledReading(NamedTuple):
    """One reading of a stretch that has been settled."""

    weighed: Weighed
    turn: Turn | None
    """The change of state with it, if there was one."""
    off: bool
    """Whether it says nothing about the weight."""
    since_ticks: int
    """When the weight was last seen before a turn."""
    trails: bool
    """Whether it may show the last of what moved the level."""


class Platform:
    """Holds readings that neither rest nor water explains until it is clear what they were."""

    __slots__ = (
        *("_beam", "_held", "_hindsight", "_scene", "_suspected"),
        *("best", "commanded_s", "events", "left_nothing", "spikes", "unsure", "zero"),
    )

    def __init__(
        self, first_s: Seconds, first_g: Grams, zero: Zero, hindsight: Hindsight | None = None
    ) -> None:
        """``hindsight``: what is known already where the record is gone through again."""
        self.zero = zero
        self.events = EventLog()
        self._scene = SceneKeeper(first_g)
        self.best: Hypothesis | None = None
        """The most likely account of the readings held; None while all is clear."""
        self._beam: Beam | None = None
        self._held: list[Weighed] = []
        self._hindsight = hindsight
        self.spikes = SpikeWatch(first_s, hindsight.spikes_per_s if hindsight else None)
        self.left_nothing = LeftNothing()
        self.commanded_s: list[Seconds] = []
        """When vessels came or went while the scale was commanded to tare."""
        self.unsure = False
        """Whether any path was taken while another was not ruled out, or a touch was reported by a
        converter whose spikes showed only later."""
        self._suspected = False

    def variances(self, ticks: int) -> tuple[float, float]:
        """Of the unbroken weight, g², and of the flow, (g/s)², while it is not clear what the
        readings are: the accounts differ, and while none shows the weight the flow may change or
        stop. Not to be called while all is clear."""
        assert self._beam is not None
        best = self._beam.best
        mass_var, flow_var = (
            seen + apart for seen, apart in zip(best.variances(), self._beam.spread(), strict=True)
        )
        if best.off:
            lasts_s, flow_gps = best.lasted_s(ticks), best.expected(ticks)[1]
            changed_gps = flow_gps * min(lasts_s / FLOW_LASTS_S, 1.0)
            mass_var += (changed_gps * lasts_s) ** 2
            flow_var += changed_gps**2
        return mass_var, flow_var

    @property
    def settled(self) -> bool:
        """Whether it is clear what the readings held were."""
        return self._beam is not None and self._beam.settled

    @property
    def touched(self) -> bool:
        """Whether something touches the platform now, as far as is known."""
        best, beam = self.best, self._beam
        if best is None or beam is None or len(self._held) < KNOCK_READINGS or beam.led_anew:
            return False  # What the newest reading alone shows, the next one bears out or not.
        if not best.off:
            if not best.has_jumped(KNOCK_G):
                return False
            if best.origin is None:
                return True
            # What it has come to may as well be another spike or two.
            best = best.origin
        off = [one for one in self._held if one.ticks >= best.since_ticks]
        if len(off) < KNOCK_READINGS or off[-1].ticks - off[0].ticks < KNOCK_S * TICKS_PER_S:
            return False
        before_g, by_g = best.expected(best.state.ticks)[0], best.shift_g
        offs = [_off(one.grams + by_g, before_g, best.expected(one.ticks)[0]) for one in off]
        sides = [
            side_of(off_g, KNOCK_G + KNOCK_GPS * best.lasted_s(one.ticks))
            for one, off_g in zip(off, offs, strict=True)
        ]
        if not any(sides):
            return False
        if not self.spikes.any_known and best.state.pour_probability < 0.5:
            # A later reading less far off may be water by now, but shows that no hand let go.
            first = next(place for place, side in enumerate(sides) if side)
            sides[first:] = [side_of(off_g, KNOCK_G) for off_g in offs[first:]]
        return beam.tared < 0.5 and not self.spikes.explain([one.t_s for one in off], sides)

    def shows_tare(self, weighed: Weighed, before: FilterState) -> bool:
        """Whether the scale has been commanded to tare and a reading may show it, that of the
        filter as it was ``before`` may as well be the noise of water that begins."""
        expected = self.zero.expects_tare(weighed.t_s)
        return expected and before.mass_g - weighed.grams - self.zero.shift_g > LEAST_TARE_G

    def rested(self, t_s: Seconds, level_g: Grams) -> None:
        """The platform is quiet, and the unbroken weight is this."""
        zero = self.zero
        self._scene.rested(t_s, level_g, zero.shift_g)
        self.left_nothing.rested(t_s, level_g, zero.shift_g, zero.tares_g)

    def open(self, t_s: Seconds, state: FilterState, *, unseen: bool = False) -> None:
        """The readings from ``t_s`` on must be looked at; ``unseen``: none came for a while."""
        zero = self.zero
        self.left_nothing.disturbed()
        pouring = state.pour_probability > 0.5
        scene = self._scene.now(t_s, state.mass_g, zero.shift_g, pouring=pouring)
        self._beam = Beam(state, zero.shift_g, zero.tares_g, scene, unseen=unseen)
        self.best = self._beam.best
        self._held = []

    def weigh(self, weighed: Weighed, noise_var: float) -> None:
        """Take the next reading."""
        assert self._beam is not None
        self._held.append(weighed)
        commanded = self.zero.expects_tare(weighed.t_s)
        self._beam.take(weighed.ticks, weighed.grams, noise_var, commanded_tare=commanded)
        self.best = self._beam.best

    def settle(self, noise_g: Grams) -> Iterator[SettledReading]:
        """Go through the readings held once more, along the most likely path; the zero and the
        events follow it step by step."""
        beam, self._beam, self.best = self._beam, None, None
        assert beam is not None
        held, self._held = self._held, []
        best = beam.best
        self.unsure = self.unsure or beam.posterior < SURE
        turns = account(best)
        origin_s = held[0].t_s - held[0].ticks / TICKS_PER_S
        off, since_ticks = False, held[0].ticks
        if turns and turns[0].ticks < held[0].ticks:
            since_ticks, off = turns[0].ticks, True
            end_s = held[0].t_s
            start_s = origin_s + since_ticks / TICKS_PER_S
            hindsight = self._hindsight
            hand = hindsight is not None and hindsight.left_nothing(start_s, end_s)
            kind = EventKind.LEAN if hand else EventKind.OUTAGE
            self.events.add(PlatformEvent(kind, start_s, end_s))
            turns = turns[1:]
        passed: list[Weighed] = []
        before_g = turns[0].level_g if turns else 0.0
        seen_ticks = since_ticks
        last: Turn | None = None
        for weighed in held:
            turn = None
            if turns and turns[0].ticks == weighed.ticks:
                turn = last = turns[0]
                turns = turns[1:]
                if turn.kind is TurnKind.OFF:
                    since_ticks, passed, before_g = weighed.ticks, [], turn.level_g
                else:
                    start_s = origin_s + since_ticks / TICKS_PER_S
                    p = beam.tared if turn.kind is TurnKind.TARE else beam.posterior
                    self._book(turn, start_s, weighed.t_s, p)
                    if turn.kind is TurnKind.BACK and passed:
                        least_g = max(KNOCK_G, KNOCK_SIGMAS * noise_g)
                        shift_g, to_g = self.zero.shift_g, turn.level_g
                        offs = [_off(one.grams + shift_g, before_g, to_g) for one in passed]
                        times_s = [one.t_s for one in passed]
                        self._touch(start_s, weighed.t_s, times_s, offs, least_g)
                    passed = []
                off = turn.kind is TurnKind.OFF or turn.hides
            if off:
                passed.append(weighed)
            unbroken_g = weighed.grams + self.zero.shift_g
            trails = last is not None and last.trails(weighed.ticks, unbroken_g)
            yield SettledReading(weighed, turn, off, seen_ticks, trails)
            if not off:
                seen_ticks = weighed.ticks

    def _touch(
        self,
        start_s: Seconds,
        end_s: Seconds,
        times_s: list[Seconds],
        offs: list[Grams],
        far_g: Grams,
    ) -> None:
        """A touch has passed that left nothing behind; its readings were off by so much."""
        sides = [side_of(off_g, far_g) for off_g in offs]
        if not any(sides):
            return
        kind = EventKind.KNOCK
        if self.spikes.explain(times_s, sides):
            kind = EventKind.SPIKE
            self.spikes.learn(times_s, sides)
            self.unsure = self.unsure or self._suspected
            self._suspected = False
        elif end_s - start_s > LEAN_S:
            kind = EventKind.LEAN
        elif not self.spikes.any_known:
            self._suspected = True
        self.events.add(PlatformEvent(kind, start_s, end_s))

    def _was_tare(self, turn: Turn, start_s: Seconds) -> bool:
        """Whether this lift has turned out to be a tare."""
        hindsight = self._hindsight
        return hindsight is not None and turn.change_g < 0.0 and hindsight.was_tare(start_s)

    def _book(self, turn: Turn, start_s: Seconds, end_s: Seconds, probability: float) -> None:
        """Let the zero and the events follow a turn of this probability: of a tare, of any."""
        zero, events, change_g = self.zero, self.events, turn.change_g
        before_g = zero.shift_g
        if turn.kind is TurnKind.VESSEL and self._was_tare(turn, start_s):
            turn = turn._replace(kind=TurnKind.TARE, tares_g=turn.tares_g - change_g)
        if turn.let_go or turn.kind is TurnKind.FALL:
            self._scene.fell(end_s, -change_g)
        match turn.kind:
            case TurnKind.TARE:
                doubt = max(1.0 - probability, LEAST_DOUBT)
                away = Away(before_g, change_g, start_s, turn.level_g, probability=doubt)
                self._scene.tare(away._replace(loose=turn.hides))
                events.add(
                    PlatformEvent(EventKind.SCALE_TARE, start_s, end_s, change_g, 0.3, probability)
                )
            case TurnKind.VESSEL:
                if zero.expects_tare(start_s):
                    probability *= 0.5  # The scale may have tared itself meanwhile.
                    self.commanded_s.append(start_s)
                level_g = turn.level_g if turn.held_g is None else turn.held_g
                away = Away(before_g, change_g, start_s, level_g, turn.pouring)
                self._scene.vessel(away._replace(carried_g=turn.carried_g))
                kind = EventKind.PLACED if change_g > 0.0 else EventKind.LIFTED
                to_zero = change_g < 0.0 and abs(turn.level_g - turn.shift_g) < ABOUT_ZERO_G
                events.add(PlatformEvent(kind, start_s, end_s, change_g, 0.3, probability, to_zero))
            case TurnKind.RETURN:
                near_g = turn.near_g if turn.let_go else None
                left_g = before_g if turn.keeps_level else None
                rested_s = self._scene.rested_s(near_g, turn.shift_g, left_g)
                self._scene.returned(turn.shift_g, before_g)
                if events.let_go(rested_s, start_s, end_s, probability):
                    self.left_nothing.let_go(events.pressed_s(end_s))
                elif abs(change_g) > KNOCK_G:
                    events.returned(start_s, end_s, change_g, probability, before_g - turn.shift_g)
            case TurnKind.WATER if end_s - start_s < UNSEEN_S:
                pass
            case TurnKind.WATER:
                kind = EventKind.UNSEEN_WATER
                events.add(PlatformEvent(kind, start_s, end_s, change_g, 0.5, probability))
            case TurnKind.FALL:
                if change_g < -KNOCK_G:
                    lean = EventKind.LEAN
                    events.add(PlatformEvent(lean, start_s, end_s, change_g, 0.5, probability))
            case _:
                return
        zero.moved(end_s, turn.shift_g, turn.tares_g)


def _off(grams: Grams, from_g: Grams, to_g: Grams) -> Grams:
    """How far a weight lies above the range between two others; negative below it."""
    low_g, high_g = (from_g, to_g) if from_g < to_g else (to_g, from_g)
    return grams - low_g if grams < low_g else grams - high_g if grams > high_g else 0.0
