"""What a scale can and cannot show of a pour, in words."""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum

from pourcoach.domain.limits import FlagLimits
from pourcoach.domain.units import Seconds
from pourcoach.weighing.check import ScaleCheck
from pourcoach.weighing.pour_sight import PourSight

NO_VERIFICATION = (
    "This is no legal verification: the limits of OIML R 76-1 serve as a yardstick only, and a "
    "scale that keeps to them here may still not be used to sell by weight."
)
# Two figures with the same standard error differ surely (95 %) beyond this many of it:
# 1.96 (normal distribution) times the root of 2.
APART_ERRORS = 2.77
# One figure lies surely (95 %) above a limit beyond this many standard errors: normal
# distribution, one side.
ABOVE_ERRORS = 1.645
# An error of evenness beyond this hides the difference between an even pour (about 0.08) and an
# uneven one (above 0.20). Common practice; no published source.
BLUNT_EVENNESS = 0.04
# Flow with which a delay is turned into grams: a usual pour. Common practice.
USUAL_FLOW_GPS = 6.0
# Late by more than a quick hand's own reaction, a scale cannot be poured by without lead.
LATE_S: Seconds = 0.15
# Surges are told from 0.7 s on: fewer than five readings in that time show no more than its mass.
SLOW_HZ = 7.0
# An even beat within this is as good as a cable's (2 ms and less measured); a radio's is not.
UNEVEN_BEAT_S: Seconds = 0.015


class Bearing(Enum):
    """Which way a sentence speaks."""

    CAN = "can"
    CANNOT = "cannot"
    DO = "do"
    """What would make it better."""


@dataclass(frozen=True, slots=True)
class Sentence:
    """One thing to know of the scale."""

    bearing: Bearing
    text: str


def verdict(
    check: ScaleCheck, sight: PourSight | None, limits: FlagLimits | None = None
) -> tuple[Sentence, ...]:
    """Sentences, the most useful first. ``sight`` is None where noise or rate are not known."""
    limits = limits or FlagLimits()
    return (
        *_totals(check, limits),
        *_evenness(sight, limits),
        *_timing(check),
        *_mending(check),
    )


def _can(text: str) -> Sentence:
    return Sentence(Bearing.CAN, text)


def _cannot(text: str) -> Sentence:
    return Sentence(Bearing.CANNOT, text)


def _do(text: str) -> Sentence:
    return Sentence(Bearing.DO, text)


def _totals(check: ScaleCheck, limits: FlagLimits) -> Iterator[Sentence]:
    worst_g = check.worst_error_g
    if worst_g is None:
        yield _cannot("say whether a total is right: no known load was weighed")
    elif worst_g <= limits.landing_g / 5:
        yield _can(
            f"tell a stage that lands {limits.landing_g:g} g off: it errs by {worst_g:.2f} g"
        )
    elif worst_g <= limits.landing_g:
        yield _can(
            f"tell a stage that lands well off its mark, but errs by {worst_g:.1f} g itself, "
            f"while {limits.landing_g:g} g off is flagged"
        )
    else:
        yield _cannot(f"tell whether a stage has landed: it errs by {worst_g:.1f} g itself")
    if check.repeatability is not None and not check.repeatability.within:
        yield _cannot(
            f"show the same load alike: it spread over {check.repeatability.spread_g:.2f} g"
        )
    if check.eccentricity is not None and not check.eccentricity.within:
        yield _cannot(
            f"weigh alike everywhere: {check.eccentricity.spread_g:.2f} g between places; "
            "put the server in the same place each time, tare, then pour"
        )


def _evenness(sight: PourSight | None, limits: FlagLimits) -> Iterator[Sentence]:
    if sight is None:
        yield _cannot("say how even a pour it can judge: it was not watched at rest")
        return
    error = sight.evenness_error
    if error > BLUNT_EVENNESS:
        yield _cannot(
            f"judge evenness: a pour's unevenness is known to ±{error:.2f} only, where an even "
            f"hand has about 0.08 and above {limits.uneven_cv:.2f} is uneven"
        )
        return
    yield _can(
        f"tell an uneven pour surely from {limits.uneven_cv + ABOVE_ERRORS * error:.2f} on (the "
        f"limit is {limits.uneven_cv:.2f}, its error ±{error:.3f} for a pour of about "
        f"{sight.pour_s:.0f} s, from {sight.pours} simulated ones)"
    )
    yield _can(f"tell two pours apart that differ by {APART_ERRORS * error:.2f} in unevenness")


def _timing(check: ScaleCheck) -> Iterator[Sentence]:
    late_s = check.delay.delay_s if check.delay is not None else None
    if late_s is not None and check.delay is not None and late_s > LATE_S:
        yield _cannot(
            f"be followed at once: readings come {late_s * 1000:.0f} ms late (±"
            f"{check.delay.error_s * 1000:.0f} ms), {late_s * USUAL_FLOW_GPS:.1f} g at "
            f"{USUAL_FLOW_GPS:g} g/s"
        )
        yield _do(
            f"set the delay of the scale to {late_s:.2f} s, so that cues come that much sooner"
        )
    elif late_s is not None and check.delay is not None:
        yield _can(
            f"be poured by: readings come {max(late_s, 0.0) * 1000:.0f} ms late (±"
            f"{check.delay.error_s * 1000:.0f} ms)"
        )
    if check.pace is None:
        return
    if check.pace.rate_hz < SLOW_HZ:
        yield _cannot(
            f"show short surges and stalls: {check.pace.rate_hz:.1f} readings a second are few"
        )
    if check.pace.jitter_s > UNEVEN_BEAT_S and not check.pace.stamped:
        yield _cannot(
            f"say when it weighed: readings come {check.pace.jitter_s * 1000:.0f} ms off their "
            "beat, without a stamp of their own; flow is worked out more roughly for it"
        )
    if check.pace.missed:
        yield _cannot(f"be relied on for each reading: {check.pace.missed} were lost on the way")


def _mending(check: ScaleCheck) -> Iterator[Sentence]:
    line = check.linearity
    if line is not None and not line.within:
        limit_g = line.worst.limit_g
        if line.bend_g <= limit_g:
            yield _do(f"calibrate it: its span is off by {line.span_error * 100:+.2f} %")
        else:
            yield _do(
                f"look for what touches the platform: loads lie up to {line.bend_g:.2f} g off a "
                "straight line, which calibrating does not mend"
            )
    if check.creep is not None and not check.creep.within:
        yield _do(
            f"tare before each brew: a load left standing moved {check.creep.change_g:+.2f} g in "
            f"{check.creep.span_s / 60:.0f} min"
        )
    if check.zero_return is not None and not check.zero_return.within:
        yield _do(f"tare between brews: zero came back {check.zero_return.change_g:+.2f} g off")
    if check.rest is not None and check.rest.likeness > 0.8:
        yield _do(
            "turn off the scale's own smoothing if you can: neighbouring readings are nearly "
            "alike, so what it shows is an average of some time past"
        )
    if check.coarse_loads:
        worst = check.coarse_loads[0]
        yield _do(
            f"use better weights: {worst.true_g:g} g is known to {worst.known_to_g or 0:.3g} g "
            "only, more than a third of what is allowed"
        )
