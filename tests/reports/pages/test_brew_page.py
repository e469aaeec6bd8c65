"""The page of a brew, as text."""

from pathlib import Path

from pourcoach.domain.afterwards import Fact, FactKind, Remark, RemarkKind
from pourcoach.recordings.afterword_lines import at_end, encode_afterword
from pourcoach.recordings.appending import append_lines
from pourcoach.recordings.shipped import find_recording
from pourcoach.reports.brew.brew_report import read_brew
from pourcoach.reports.pages.brew_page import brew_page
from tests.reports.made_brew import USUAL_RUBRIC

AT = "2026-01-15T09:40:00+00:00"


def test_what_was_said_of_the_bed_stands_beside_the_risk(tmp_path: Path) -> None:
    tape = tmp_path / "steady.jsonl"
    tape.write_bytes(find_recording("steady", ()).read_bytes())
    words = [Remark(RemarkKind.BED, "hole", AT), Fact(FactKind.TITLE, "after <lunch>", AT)]
    append_lines(tape, [at_end(encode_afterword(word), 300.0) for word in words])
    page = brew_page(read_brew(tape, USUAL_RUBRIC, lambda header: header))
    assert "<h1>after &lt;lunch&gt;</h1>" in page
    bed = page[page.index("<h2>The bed</h2>") :]
    assert "The bed: hole; risk from the pour: low." in bed
    assert "Recording: steady.jsonl." in bed


def test_what_dripped_has_no_ratio_of_water_poured() -> None:
    poured, dripped = (
        brew_page(read_brew(find_recording(name, ()), USUAL_RUBRIC, lambda header: header))
        for name in ("steady", "slow-drain")
    )
    assert "Ratio" in poured
    assert "Ratio" not in dripped
    assert "320 g planned to be poured" in dripped
