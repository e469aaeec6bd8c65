"""What is known of a scale while it is listened to fits a line, and what is not yet is a dash."""

from typing import Any

from pourcoach.reports.scale.live_line import live_line

FIGURES: dict[str, Any] = {
    "grams_g": 12.345,
    "rate_hz": None,
    "noise_g": 0.0213,
    "longest_gap_s": 0.1004,
    "dropped": None,
    "missed": None,
}


def test_what_cannot_be_said_yet_is_a_dash() -> None:
    assert live_line(FIGURES) == "    12.35 g       – Hz  noise 0.021 g  gap 100 ms"


def test_losses_are_counted_where_there_are_any() -> None:
    lossy = FIGURES | {"rate_hz": 10.0, "dropped": {"unit": 2, "checksum": 1}, "missed": 4}
    assert live_line(lossy).endswith("gap 100 ms  dropped 3  missed 4")
