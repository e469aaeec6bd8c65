import pytest

from pourcoach.cli.options.known_weight import known_weight_reader, read_known_weight
from pourcoach.domain.errors import UsageError

# Density of water at one atmosphere (Kell 1975): 998.20 kg/m3 at 20 °C, 971.8 at 80 °C; less the
# lift of air of 1.2 kg/m3, against weights of 8000 kg/m3: 1.05 in a thousand at 20 °C.
TYPED = [
    ("200", 200.0, None),
    (" 200 g ", 200.0, None),
    ("0,15", 0.15, None),
    ("200 g M1", 200.0, 0.010),
    ("500 m2", 500.0, 0.080),
    ("123 M1", 123.0, None),
    ("250 ml", 249.29, None),
    ("250 ml 20 c", 249.29, None),
    ("100ml at 80°C", 97.075, None),
]


@pytest.mark.parametrize(("text", "grams", "known_to_g"), TYPED)
def test_what_is_typed_becomes_a_load(text, grams, known_to_g):
    load = read_known_weight(text)
    assert load.true_g == pytest.approx(grams, abs=0.005)
    assert load.known_to_g == known_to_g


def test_a_class_holds_for_weights_typed_without_one():
    read = known_weight_reader("M1")
    assert read("100").known_to_g == 0.005
    assert read("100 M3").known_to_g == 0.050
    assert read("123").known_to_g is None


@pytest.mark.parametrize("text", ["", "heavy", "-5", "0", "200 kg", "99999", "250 ml 120 c"])
def test_what_is_no_load_is_refused(text):
    with pytest.raises(UsageError):
        read_known_weight(text)
