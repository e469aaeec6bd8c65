"""What a scale can and cannot show of a pour, in words."""

from collections.abc import Iterator

from pourcoach.domain.limits import FlagLimits
from pourcoach.weighing.check.check import ScaleCheck
from pourcoach.weighing.check.judging_accuracy import JudgingAccuracy
from pourcoach.weighing.figures.finding import Sentence, can, cannot, do

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


def abilities(
    check: ScaleCheck, accuracy: JudgingAccuracy | None, limits: FlagLimits | None = None
) -> tuple[Sentence, ...]:
    """Sentences, the most useful first. ``accuracy`` is None where noise or rate are not known."""
    limits = limits or FlagLimits()
    return (
        *_totals(check, limits),
        *_evenness(accuracy, limits),
        *(sentence for result in check.results for sentence in result.sentences()),
        *_weights(check),
    )


def _totals(check: ScaleCheck, limits: FlagLimits) -> Iterator[Sentence]:
    worst_g = check.worst_error_g
    if worst_g is None:
        yield cannot("say whether a total is right: no known load was weighed")
    elif worst_g <= limits.landing_g / 5:
        yield can(f"tell a stage that lands {limits.landing_g:g} g off: it errs by {worst_g:.2f} g")
    elif worst_g <= limits.landing_g:
        yield can(
            f"tell a stage that lands well off its mark, but errs by {worst_g:.1f} g itself, "
            f"while {limits.landing_g:g} g off is flagged"
        )
    else:
        yield cannot(f"tell whether a stage has landed: it errs by {worst_g:.1f} g itself")


def _evenness(accuracy: JudgingAccuracy | None, limits: FlagLimits) -> Iterator[Sentence]:
    if accuracy is None:
        yield cannot("say how even a pour it can judge: it was not watched at rest")
        return
    error = accuracy.evenness_error
    if error > BLUNT_EVENNESS:
        yield cannot(
            f"judge evenness: a pour's unevenness is known to ±{error:.2f} only, where an even "
            f"hand has about 0.08 and above {limits.uneven_cv:.2f} is uneven"
        )
        return
    yield can(
        f"tell an uneven pour surely from {limits.uneven_cv + ABOVE_ERRORS * error:.2f} on (the "
        f"limit is {limits.uneven_cv:.2f}, its error ±{error:.3f} for a pour of about "
        f"{accuracy.pour_s:.0f} s, from {accuracy.pours} simulated ones)"
    )
    yield can(f"tell two pours apart that differ by {APART_ERRORS * error:.2f} in unevenness")


def _weights(check: ScaleCheck) -> Iterator[Sentence]:
    if check.coarse_loads:
        worst = check.coarse_loads[0]
        yield do(
            f"use better weights: {worst.true_g:g} g is known to {worst.known_to_g or 0:.3g} g "
            "only, more than a third of what is allowed"
        )
