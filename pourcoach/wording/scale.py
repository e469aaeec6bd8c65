"""What keeps a scale from being gone by, in a sentence."""

from pourcoach.domain.estimate import ScaleTraits, ScaleTrouble


def trouble_sentence(traits: ScaleTraits) -> str | None:
    """For the brewer; None for a scale that has shown no trouble."""
    match traits.trouble:
        case ScaleTrouble.TOO_SLOW:
            rate = "" if traits.rate_hz is None else f"only {traits.rate_hz:.1f} times a second, "
            return (
                f"the scale weighs {rate}too seldom to follow a pour: set it to 5 a second or "
                "more, or use another scale"
            )
        case ScaleTrouble.CLOCK:
            return (
                "the scale's own clock does not run forward, so its readings are timed by when "
                "they arrive"
            )
        case None:
            return None
