"""What was poured, as a drill counts it: by rests, whatever the plan made of it."""

from dataclasses import dataclass
from math import hypot

from pourcoach.domain.frame import Frame
from pourcoach.domain.plan import Plan
from pourcoach.domain.pour import Pour
from pourcoach.domain.units import Grams, GramsPerSecond, Seconds

REST_S: Seconds = 2.5
"""Water that stops for less goes on in the same pour: a hand that pauses on purpose rests longer.
A pour is refined 1.5 s after its end, so that one whose rest was as long is as sure as it gets."""


@dataclass(frozen=True, slots=True)
class MadePour:
    """One pour with the short stops in it."""

    parts: tuple[Pour, ...]

    @property
    def start_s(self) -> Seconds:
        return self.parts[0].start_s

    @property
    def start_g(self) -> Grams:
        return self.parts[0].start_g

    @property
    def end_s(self) -> Seconds | None:
        """None while water runs."""
        return self.parts[-1].end_s

    @property
    def end_g(self) -> Grams | None:
        return self.parts[-1].end_g

    @property
    def mass_g(self) -> Grams | None:
        end_g = self.end_g
        return None if end_g is None else end_g - self.start_g

    @property
    def lasts_s(self) -> Seconds | None:
        end_s = self.end_s
        return None if end_s is None else end_s - self.start_s

    @property
    def flow_gps(self) -> GramsPerSecond | None:
        """Stops count as time: a stream that broke off was slower."""
        mass_g, lasts_s = self.mass_g, self.lasts_s
        return mass_g / lasts_s if mass_g is not None and lasts_s else None

    @property
    def flow_cv(self) -> float | None:
        """None where it was not judged, and of a stream that broke off."""
        return self.parts[0].flow_cv if len(self.parts) == 1 else None

    @property
    def mass_error_g(self) -> Grams:
        """One standard error, as far as it is known."""
        return hypot(*(part.mass_error_g or 0.0 for part in self.parts))


def made_pours(frame: Frame) -> tuple[MadePour, ...]:
    """Oldest first; the last may still run."""
    pours = sorted(
        (pour for stage in frame.pour.stages for pour in stage.pours),
        key=lambda pour: pour.start_s,
    )
    made: list[list[Pour]] = []
    for pour in pours:
        before_s = made[-1][-1].end_s if made else None
        if before_s is not None and pour.start_s - before_s < REST_S:
            made[-1].append(pour)
        else:
            made.append([pour])
    return tuple(MadePour(tuple(parts)) for parts in made)


def streams(plan: Plan) -> tuple[tuple[int, ...], ...]:
    """The plan's stages by place, those together that are to be poured in one stream."""
    found: list[list[int]] = []
    for index, stage in enumerate(plan.stages):
        if found and stage.start_s - plan.stage_end_s(index - 1) < REST_S:
            found[-1].append(index)
        else:
            found.append([index])
    return tuple(map(tuple, found))
