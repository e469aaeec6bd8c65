"""What spotting came to, in sentences."""

from pourcoach.practice.spotting.trial import SpotKind, Trial, TrialPress, Window, score
from pourcoach.wording.spotting import score_sentences

SEEN = Trial((Window(0.0, 5.0), Window(5.0, 8.0, SpotKind.STALL)), (TrialPress(7.0),))


def test_one_of_a_kind_is_no_plural() -> None:
    first, reaction, _ = score_sentences(score([SEEN]), None)
    assert first == (
        "1 recording: 1 seen, 0 missed, 0 false alarms in 1 quiet stretch; 0 of 1 named rightly."
    )
    assert reaction == "Median time from a fault to the press: 2.0 s."
