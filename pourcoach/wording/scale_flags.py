"""The flags of the scale in words: touches, lifts and gaps, which are no faults of the hand."""

from pourcoach.domain.advice import Flag
from pourcoach.wording.figures import grams, seconds
from pourcoach.wording.flag_words import FlagWords, where


def lifted(flag: Flag) -> FlagWords:
    return FlagWords(
        f"The brewer was lifted for {seconds(flag.evidence['lasted_s'])}{where(flag)}:"
        f" {grams(flag.evidence['down_g'])} went and came back.",
        "",
        "Swirl or look under it in a wait, not while water runs.",
        "What was poured meanwhile is not judged.",
    )


def disturbed(flag: Flag) -> FlagWords:
    missing_g = flag.evidence.get("missing_g")
    if missing_g is not None:
        within = seconds(flag.evidence["lasted_s"])
        return FlagWords(
            f"About {missing_g:.0f} g too little and as much too much came within {within}"
            f"{where(flag)}.",
            "Somebody may have leaned on the scale, or the flow stalled and was made up for.",
            "Keep hands and cables off the platform.",
            "What the hand poured meanwhile is not judged.",
        )
    if "unclear_s" in flag.evidence:
        return FlagWords(
            f"Too few readings show the flow for {seconds(flag.evidence['lasted_s'])}"
            f"{where(flag)}.",
            "It may have stalled or surged, or gone on as it was.",
            "",
            "What the hand poured meanwhile is not judged.",
        )
    pressed_g = flag.evidence.get("pressed_g")
    if pressed_g is not None:
        return FlagWords(
            f"A hand may have pressed{where(flag)}: {grams(pressed_g)} came in and went at once.",
            "Or it was water, and the scale tared itself: that is what it is counted as.",
            "Keep hands and cables off the platform.",
            "",
        )
    jump_g = flag.evidence["jump_g"]
    what = "Something touched the scale"
    if abs(jump_g) > 1.0:
        what = f"The weight jumped by {jump_g:+.0f} g"
    lasted = flag.evidence["lasted_s"]
    during = f" for {seconds(lasted)}" if lasted >= 0.5 else ""
    return FlagWords(
        f"{what}{during}{where(flag)}.",
        "",
        "Keep hands and cables off the platform.",
        "What the hand poured meanwhile is not judged.",
    )


def gap(flag: Flag) -> FlagWords:
    silent = f"No reading came for {seconds(flag.evidence['lasted_s'])}{where(flag)}"
    unseen_g = flag.evidence.get("unseen_g")
    if unseen_g is not None:
        silent = f"{silent}; {grams(unseen_g)} of water came in meanwhile and counts"
    return FlagWords(
        f"{silent}.",
        "",
        "Check the cable, or bring the scale nearer.",
        "What the hand did meanwhile is not known.",
    )
