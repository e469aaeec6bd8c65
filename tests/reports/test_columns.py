from pourcoach.reports.columns import in_columns


def test_columns_are_as_wide_as_their_widest_text_and_lines_end_at_their_ink() -> None:
    rows = [("a", "g", "note"), ("bloom", "40.2", "")]
    assert in_columns(rows, right=frozenset({1})) == ["a         g  note", "bloom  40.2"]
