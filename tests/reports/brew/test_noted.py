"""Flags listed by kind."""

from dataclasses import replace

from pourcoach.domain.advice import FlagKind
from pourcoach.reports.brew.noted import noted
from tests.reports.made_brew import KNOCK, STALL, START_S


def test_a_kind_is_listed_once_with_all_its_findings_in_order() -> None:
    sooner = replace(STALL, start_s=START_S + 40.0, stage="pour 1", confidence=0.6)
    (stalls,) = noted((STALL, sooner), START_S)
    assert stalls.title == "Stalled pour"
    assert [finding.head for finding in stalls.findings] == [
        "0:40 pour 1, 60 % sure",
        "1:40 pour 2, 96 % sure",
    ]
    assert "1.5 s in pour 2" in stalls.findings[1].measured
    assert stalls.what_of_it.count("suggests a risk of channeling") == 1


def test_what_the_hand_did_comes_before_what_befell_the_scale() -> None:
    kinds = [kind.kind for kind in noted((KNOCK, STALL), START_S)]
    assert kinds == [FlagKind.STALL, FlagKind.DISTURBED]
