"""A calibration's page says how sure it is, what is doubtful, and whether it was kept."""

from pourcoach.reports.scale.calibration_page import calibration_figures, calibration_lines
from pourcoach.weighing.calibration.calibration import fit_calibration
from pourcoach.weighing.loads.known_load import KnownLoad

GOOD = fit_calibration([KnownLoad(g, -8000 + 2000 * g, 40.0, 160) for g in (0.0, 200.0, 500.0)])
ONE_WEIGHT = fit_calibration([KnownLoad(0, -8000.0), KnownLoad(500, 992_000.0)])


def test_a_good_one_is_shown_with_its_error_and_where_it_is_kept() -> None:
    page = "\n".join(calibration_lines("serial:COM3", GOOD, None, kept=True))
    assert "2000 counts a gram (±0.00%), -8000 when empty." in page
    assert "Doubtful" not in page
    assert "Kept for serial:COM3; 'pourcoach calibrate --undo' goes back." in page


def test_one_weight_has_no_error_to_show() -> None:
    page = "\n".join(calibration_lines("serial:COM3", ONE_WEIGHT, None, kept=False))
    assert "±" not in page
    assert "with one weight there is nothing to compare" in page
    assert "Doubtful: one weight always fits" in page
    assert "Not kept, since it is doubtful" in page
    figures = calibration_figures(ONE_WEIGHT, None, kept=False)
    assert figures["span_error"] is None
    assert len(figures["doubts"]) == 1
