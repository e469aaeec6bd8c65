"""A weighing of a known load, from a file and back."""

import pytest

from pourcoach.domain.errors import UsageError
from pourcoach.weighing.loads.known_load import KnownLoad


def test_what_is_left_out_is_as_usual() -> None:
    load = KnownLoad.from_dict({"true_g": 100, "shown": 100.1})
    assert (load.noise, load.readings, load.known_to_g) == (0.0, 1, None)
    assert load.error == pytest.approx(0.1)


@pytest.mark.parametrize("known_to_g", [None, 0.01])
def test_it_comes_back_as_it_was_written(known_to_g: float | None) -> None:
    load = KnownLoad(200.0, 200.02, 0.03, 160, known_to_g)
    assert KnownLoad.from_dict(load.as_dict()) == load


@pytest.mark.parametrize(
    ("data", "why"),
    [
        ({"shown": 1}, "a weighing, true_g is missing"),
        ({"true_g": 1, "shown": 1, "noise": -0.1}, "a weighing, noise is -0.1"),
        ({"true_g": 1, "shown": 1, "known_to_g": "x"}, "a weighing, known_to_g is 'x'"),
        ({"true_g": True, "shown": 1}, "a weighing, true_g is True"),
    ],
)
def test_what_is_no_weighing_is_refused_by_its_key(data: dict[str, object], why: str) -> None:
    with pytest.raises(UsageError, match=why):
        KnownLoad.from_dict(data)
