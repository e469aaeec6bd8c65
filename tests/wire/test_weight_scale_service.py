"""The Weight Measurement characteristic, byte for byte."""

import pytest

from pourcoach.domain.inputs import Reading
from pourcoach.wire.decoder import DropReason
from pourcoach.wire.weight_scale_service import WeightScaleDecoder


@pytest.mark.parametrize(
    ("data", "grams"),
    [
        ("00 4000", 320.0),  # 64 steps of 5 g
        ("0e 4000 ea0701010000000102", 320.0),  # time stamp, user and BMI behind it are passed over
        ("01 6400", 453.59237),  # 100 steps of 0.01 lb
        ("00 0000", 0.0),
    ],
)
def test_weights(data: str, grams: float) -> None:
    readings = WeightScaleDecoder().feed(bytes.fromhex(data), 2.0)
    assert readings == [Reading(2.0, pytest.approx(grams))]


@pytest.mark.parametrize(
    ("data", "reason"), [("00 ffff", DropReason.OUT_OF_RANGE), ("00 40", DropReason.CUT)]
)
def test_what_is_no_weight(data: str, reason: DropReason) -> None:
    decoder = WeightScaleDecoder()
    assert decoder.feed(bytes.fromhex(data), 2.0) == []
    assert decoder.dropped == {reason: 1}
