from pourcoach.reports.trade.targets_page import target_lines


def test_says_which_litre_a_dose_is_by() -> None:
    (dose,) = (line for line in target_lines() if line.startswith("  dose"))
    # 1000 / 55 and 963 / 55.
    assert "1:18.18 by cold water" in dose
    assert "1:17.51 by hot" in dose


def test_strengths_by_ratio_by_hand() -> None:
    # 20 / (18 - 2), 20 / (18 - 2 + 0.2) and 20 / (18 + 0.2).
    (row,) = (line for line in target_lines() if line.startswith("  1:18"))
    assert row.split() == ["1:18", "1.25", "%", "1.23", "%", "1.10", "%"]


def test_the_box_is_called_classic_and_not_best() -> None:
    text = "\n".join(target_lines())
    assert "classic box" in text
    assert "not the best" in text
