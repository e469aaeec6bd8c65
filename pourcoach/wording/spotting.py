"""Sentences of spotting faults."""

from pourcoach.practice.spotting.quest_plus import Threshold
from pourcoach.practice.spotting.trial import SURE, SpotScore, Trial, Window, times_limit
from pourcoach.wording.figures import how_many


def trial_sentence(trial: Trial) -> str:
    """What was wrong in a recording, and what the watcher made of it."""
    faults = [window for window in trial.windows if window.kind is not None]
    lines = [_fault_words(trial, window) for window in faults]
    if not faults:
        lines.append("Nothing was wrong.")
    false = sum(w.kind is None and trial.pressed_in(w) is not None for w in trial.windows)
    if false:
        lines.append(f"{how_many(false, 'false alarm')}.")
    elif not faults:
        lines.append("You let it pass.")
    return " ".join(lines)


def _fault_words(trial: Trial, window: Window) -> str:
    assert window.kind is not None
    size = "" if trial.level_db is None else f", {times_limit(trial.level_db):.1f} times the limit"
    press = trial.pressed_in(window)
    what = f"{window.kind.value} at {window.start_s:.0f} s{size}"
    if press is None:
        return f"Missed: {what}."
    late_s = (press.t_s - window.start_s) / trial.speed
    named = "not named" if press.named is None else f"named {press.named.value}"
    right = ", rightly" if press.named is window.kind else ""
    return f"Seen after {max(0.0, late_s):.1f} s: {what}; {named}{right}."


def score_sentences(found: SpotScore, threshold: Threshold | None) -> list[str]:
    """Hits, misses, false alarms; what they say of the watcher, with intervals."""
    quiet = found.false_alarms + found.quiet
    lines = [
        f"{how_many(found.trials, 'recording')}: {found.hits} seen, {found.misses} missed,"
        f" {how_many(found.false_alarms, 'false alarm')} in"
        f" {quiet} quiet {'stretch' if quiet == 1 else 'stretches'};"
        f" {found.named_right} of {found.hits} named rightly."
    ]
    if found.reaction_s is not None:
        lines.append(f"Median time from a fault to the press: {found.reaction_s:.1f} s.")
    seen = found.sensitivity
    if seen is None:
        lines.append("Too little yet to say how well you tell faults and good pours apart.")
    else:
        low, high = seen.interval
        c_low, c_high = seen.criterion_interval
        lines.append(
            f"Sensitivity d' {seen.d_prime:.2f} ({low:.2f} to {high:.2f}), criterion c"
            f" {seen.criterion:+.2f} ({c_low:+.2f} to {c_high:+.2f}): below 0, too ready to press."
        )
    if threshold is not None and threshold.trials:
        low, high = (times_limit(level) for level in threshold.interval)
        lines.append(
            f"You see faults from {times_limit(threshold.mean):.1f} times the program's limits on"
            f" ({low:.1f} to {high:.1f}, from {threshold.trials} faults)."
        )
    return lines


TRUTH_IS_KNOWN = "Simulated recordings: what is wrong in each is known."
TRUTH_IS_FOUND = (
    "Recordings of brews: held to what the program itself found with a confidence of"
    f" {SURE:g} or more."
)
"""How the truth of spotted faults is labelled."""
