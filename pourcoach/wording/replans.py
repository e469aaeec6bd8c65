"""Why the plan was worked out again on the way, and through whom."""

from pourcoach.domain.brew_clock import clock
from pourcoach.domain.pour import Replan
from pourcoach.domain.units import Seconds
from pourcoach.wording.figures import grams, seconds


def replan_sentence(replan: Replan, brew_start_s: Seconds | None) -> str:
    """What the brewer did, and what the program made of it."""
    at = clock(replan.at_s - (brew_start_s or 0.0))
    name = replan.stage[:1].upper() + replan.stage[1:]
    if replan.off_g is not None:
        side = "beyond" if replan.off_g > 0.0 else "short of"
        cause = f"{name} ended {grams(abs(replan.off_g))} {side} its mark"
        return f"{cause}, so at {at} the program shared out the rest of the water anew."
    off_s = replan.off_s or 0.0
    side = "late" if off_s > 0.0 else "early"
    moved = "later" if off_s > 0.0 else "earlier"
    cause = f"{name} came {seconds(abs(off_s))} {side}"
    return f"{cause}, so at {at} the program moved the rest by as much, {moved}."
