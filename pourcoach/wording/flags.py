"""Flags in words: what was measured, what it suggests, what to try, what a scale cannot know."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from pourcoach.domain.advice import Flag, FlagKind
from pourcoach.domain.brew_clock import clock
from pourcoach.wording.figures import grams, percent, seconds
from pourcoach.wording.flag_words import FlagWords, the_stage, where
from pourcoach.wording.scale_flags import disturbed, gap, lifted


@dataclass(frozen=True, slots=True)
class KindRecord:
    """All that is said of one kind of flag."""

    title: str
    words: Callable[[Flag], FlagWords]
    headline: str
    """A few capitals, where the review leads with it; empty where it never does, since it is not
    the hand's."""
    gravity: float
    """What helps the cup most leads: whether all of the bed gives its share, then whether the water
    comes out right, then when. 0 where it never leads. Common practice; no published source."""


_NOT_PROOF = "A scale sees how much is poured, not where it goes in the bed: look at the bed."
_ON_MARK = "Ease the flow over the last few grams and stop on the word."


def flag_title(kind: FlagKind) -> str:
    """A few words for a heading."""
    return RECORDS[kind].title


def flag_sentence(flag: Flag) -> str:
    """The whole flag in plain sentences. It never claims that channeling is proven."""
    return str(flag_words(flag))


def flag_words(flag: Flag) -> FlagWords:
    """The flag in its four parts."""
    return RECORDS[flag.kind].words(flag)


def _subject(flag: Flag) -> str:
    name = the_stage(flag.stage)
    return name[:1].upper() + name[1:]


def _uneven(flag: Flag) -> FlagWords:
    return FlagWords(
        f"The flow wandered by {percent(flag.evidence['flow_cv'])} of its mean{where(flag)}"
        f" (up to {percent(flag.evidence['allowed_cv'])} is steady).",
        "A flow that swells and fades can wet the bed unevenly and suggests a risk of channeling.",
        "Hold the kettle closer, pour thinner, and keep one pace around the bed.",
        _NOT_PROOF,
    )


def _stall(flag: Flag) -> FlagWords:
    lasted = seconds(flag.evidence["lasted_s"])
    stopped = f"The water all but stopped for {lasted}{where(flag)}"
    if not flag.refined:
        stopped = f"The water has all but stopped for {lasted} now{where(flag)}"
    return FlagWords(
        f"{stopped} and then went on." if flag.refined else f"{stopped}.",
        "A broken pour lets part of the bed drain before the rest is wet, which suggests a risk"
        " of channeling.",
        "Fill the kettle enough for the whole stage and keep a thin stream going.",
        _NOT_PROOF,
    )


def _surge(flag: Flag) -> FlagWords:
    return FlagWords(
        f"The flow jumped to {flag.evidence['highest_gps']:.1f} g/s for"
        f" {seconds(flag.evidence['lasted_s'])}{where(flag)},"
        f" against {flag.evidence['usual_gps']:.1f} g/s before.",
        "A gush digs into the bed and suggests a risk of channeling.",
        "Tilt the kettle slowly, and rest the elbow when it grows heavy.",
        _NOT_PROOF,
    )


def _overshoot(flag: Flag) -> FlagWords:
    ended = "ended" if flag.refined else "is"
    return FlagWords(
        f"{_subject(flag)} {ended} {grams(flag.evidence['off_g'])} beyond its mark of"
        f" {flag.evidence['mark_g']:.0f} g.",
        "More water than planned makes a thinner cup unless the pours that follow take less.",
        _ON_MARK,
        "",
    )


def _short(flag: Flag) -> FlagWords:
    return FlagWords(
        f"{_subject(flag)} ended {grams(-flag.evidence['off_g'])} below its mark of"
        f" {flag.evidence['mark_g']:.0f} g.",
        "Less water than planned makes a stronger cup with less drawn from the coffee.",
        "Pour on until the word STOP.",
        "",
    )


def _fast_pour(flag: Flag) -> FlagWords:
    return FlagWords(
        _pace(flag),
        "A fast stream digs into the bed and raises the water in it, so that more of it runs past"
        " the coffee.",
        "Tilt the kettle less, or use a finer spout, and answer SLOW once.",
        "",
    )


def _slow_pour(flag: Flag) -> FlagWords:
    return FlagWords(
        _pace(flag),
        "A slow stream wets the bed late and lets it cool, and stirs it little.",
        "Tilt the kettle a little more from the beginning, and answer MORE once.",
        "",
    )


def _pace(flag: Flag) -> str:
    evidence = flag.evidence
    return (
        f"{_subject(flag)} was poured at {evidence['flow_gps']:.1f} g/s, planned were"
        f" {evidence['planned_gps']:.1f} g/s."
    )


def _bloom_light(flag: Flag) -> FlagWords:
    return FlagWords(
        f"The bloom got {grams(flag.evidence['reached_g'])} of {grams(flag.evidence['mark_g'])}.",
        "Too little water may leave coffee dry, so that gas stays in and later water goes around"
        " it.",
        "Wet all of the coffee first, then wait.",
        "Whether any coffee stayed dry the scale cannot see: look for light patches.",
    )


def _bloom_heavy(flag: Flag) -> FlagWords:
    return FlagWords(
        f"The bloom got {grams(flag.evidence['reached_g'])} of {grams(flag.evidence['mark_g'])}.",
        "Water beyond what the coffee takes up runs through early and draws little.",
        "Pour the bloom thinner and " + _ON_MARK[0].lower() + _ON_MARK[1:],
        "How much ran through at once the scale under the brewer cannot tell.",
    )


def _bloom_short(flag: Flag) -> FlagWords:
    return FlagWords(
        f"{_subject(flag)} began {clock(flag.evidence['begun_s'])} after the first water,"
        f" planned was {clock(flag.evidence['planned_s'])}.",
        "Gas that has not yet left pushes water away from the coffee.",
        "Wait for the countdown, or for the bed to stop bubbling.",
        "How much gas was left the scale cannot know: fresh coffee needs longer.",
    )


def _bloom_long(flag: Flag) -> FlagWords:
    return FlagWords(
        f"{_subject(flag)} began {clock(flag.evidence['begun_s'])} after the first water,"
        f" planned was {clock(flag.evidence['planned_s'])}.",
        "A bed that waits long cools and begins to dry at the top.",
        "Have the kettle in hand when the countdown ends.",
        "",
    )


def _early(flag: Flag) -> FlagWords:
    return FlagWords(
        f"{_subject(flag)} began {seconds(-flag.evidence['off_s'])} before its time.",
        "Water on a bed that has not drained stands higher and runs faster.",
        "Wait for the countdown.",
        "",
    )


def _late(flag: Flag) -> FlagWords:
    return FlagWords(
        f"{_subject(flag)} began {seconds(flag.evidence['off_s'])} after its time.",
        "A bed that drains dry between pours cools, and the water that follows may open cracks.",
        "Have the kettle in hand when the countdown ends.",
        "",
    )


def _slow_drain(flag: Flag) -> FlagWords:
    return FlagWords(
        f"The bed took {clock(flag.evidence['brew_s'])} to drain, planned was"
        f" {clock(flag.evidence['planned_s'])}.",
        "Fine grounds may have closed the filter, or the grind is too fine for this dose.",
        "Grind a little coarser, or pour more gently.",
        "The scale cannot see what holds the water back.",
    )


RECORDS: Mapping[FlagKind, KindRecord] = {
    FlagKind.STALL: KindRecord("Stalled pour", _stall, "KEEP POURING", 5.0),
    FlagKind.SURGE: KindRecord("Surge", _surge, "NO GUSHES", 4.5),
    FlagKind.UNEVEN: KindRecord("Uneven pour", _uneven, "STEADIER", 4.5),
    FlagKind.OVERSHOOT: KindRecord("Beyond the mark", _overshoot, "STOP SOONER", 4.0),
    FlagKind.SHORT: KindRecord("Short of the mark", _short, "POUR IT ALL", 4.0),
    FlagKind.BLOOM_LIGHT: KindRecord("Light bloom", _bloom_light, "MORE BLOOM", 4.0),
    FlagKind.BLOOM_SHORT: KindRecord("Short bloom", _bloom_short, "LET IT BLOOM", 3.5),
    FlagKind.FAST_POUR: KindRecord("Fast pour", _fast_pour, "POUR SLOWER", 3.0),
    FlagKind.SLOW_POUR: KindRecord("Slow pour", _slow_pour, "POUR FASTER", 3.0),
    FlagKind.SLOW_DRAIN: KindRecord("Slow drain", _slow_drain, "COARSER", 3.0),
    FlagKind.BLOOM_HEAVY: KindRecord("Heavy bloom", _bloom_heavy, "LESS BLOOM", 2.5),
    FlagKind.LATE: KindRecord("Late pour", _late, "BE ON TIME", 2.0),
    FlagKind.EARLY: KindRecord("Early pour", _early, "WAIT FOR IT", 2.0),
    FlagKind.BLOOM_LONG: KindRecord("Long bloom", _bloom_long, "BE ON TIME", 1.5),
    FlagKind.LIFTED: KindRecord("Brewer lifted", lifted, "", 0.0),
    FlagKind.DISTURBED: KindRecord("Scale disturbed", disturbed, "", 0.0),
    FlagKind.GAP: KindRecord("No readings", gap, "", 0.0),
}
"""The one table of kinds: a test fails for a kind that is not in it."""
