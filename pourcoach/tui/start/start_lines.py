"""What the start screen says of what is picked."""

from pourcoach.domain.plan import Arrangement
from pourcoach.session.glance import RecordingGlance
from pourcoach.tui.start.start_offers import RecordingOffer


def main_line(
    scale: str, replayed: RecordingOffer | None, by: str | None, arrangement: Arrangement
) -> str:
    """What the main action does. ``replayed``: the recording where one is picked."""
    if replayed is not None:
        return f"Enter replays: {replayed.title}"
    who = "" if by is None else f"{by}: "
    under = ", the server alone on it" if arrangement is Arrangement.SERVER_ON_SCALE else ""
    return f"{who}Enter brews on {scale}{under}"


def recording_line(offer: RecordingOffer, seen: RecordingGlance | None) -> str:
    """What to see in a recording, who made it and when, and what came of it once it was read."""
    who = offer.who_and_when
    result = "" if seen is None else f"{seen.result} {seen.headline}".rstrip()
    parts = (offer.see, f"Recorded {who}." if who else "", result)
    return " ".join(part for part in parts if part)
