"""What the notes state in numbers follows from the definitions they give."""

import importlib.util
import re
from pathlib import Path

import pytest

from pourcoach.brewing.temperature.water_properties import mass_g, weighed_g

NOTES = Path(__file__).parents[2] / "firmware_notes"
# Of the serial console or of USB itself on the usual boards; from memory.
TAKEN_PINS = {0, 1, 3, 18, 19, 20, 21, 43, 44}


def table(name: str) -> dict[str, tuple[float, float]]:
    """The rows of two figures, at 3.3 V and at 5 V, by what they are of."""
    rows = {}
    for line in (NOTES / name).read_text(encoding="utf-8").splitlines():
        cells = [cell.strip() for cell in line.strip("|").split("|")]
        numbers = [re.search(r"\d+(?:\.\d+)?", cell) for cell in cells[1:]]
        if len(cells) == 3 and all(numbers):
            low, high = (float(number[0]) for number in numbers if number)
            rows[cells[0]] = (low, high)
    return rows


@pytest.mark.parametrize(("column", "volts"), [(0, 3.3), (1, 5.0)])
def test_counts_and_noise_follow_from_the_voltage_that_is_wired(column: int, volts: float) -> None:
    """A 1 kg, 1 mV/V cell; a converter whose range at gain 128 is 4 mV either way for a volt."""
    rows = {row: figures[column] for row, figures in table("parts-and-wiring.md").items()}
    count_v = 2 * 4e-3 * volts / 2**24
    gram_v = volts * 1e-3 / 1000
    assert rows["range"] == pytest.approx(4 * volts)
    assert rows["one count"] == pytest.approx(count_v * 1e9, abs=0.005)
    assert rows["one gram"] == pytest.approx(gram_v * 1e6)
    assert rows["counts a gram"] == pytest.approx(gram_v / count_v, abs=0.5)
    noises = {row: grams for row, grams in rows.items() if row.startswith("noise of")}
    assert len(noises) == 2
    for row, grams in noises.items():
        nanovolts = float(row.split()[2])
        assert grams == pytest.approx(nanovolts * 1e-9 / gram_v, abs=0.0005)


def test_filtering_quotes_the_noise_of_the_voltage_that_is_wired() -> None:
    text = (NOTES / "filtering.md").read_text(encoding="utf-8")
    quoted = re.search(r"([0-9.]+) g against ([0-9.]+) g for a 1 kg cell on 3.3 V", text)
    noises = [f[0] for row, f in table("parts-and-wiring.md").items() if row.startswith("noise")]
    assert quoted is not None
    assert [float(quoted[2]), float(quoted[1])] == noises


def test_the_pins_are_not_those_of_the_usb_serial_port() -> None:
    spec = importlib.util.spec_from_file_location("settings", NOTES / "firmware" / "settings.py")
    assert spec is not None
    assert spec.loader is not None
    settings = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(settings)
    pins = {settings.CLOCK_PIN, *settings.DATA_PINS}
    assert len(pins) == 1 + len(settings.DATA_PINS)
    assert pins.isdisjoint(TAKEN_PINS)
    wiring = (NOTES / "parts-and-wiring.md").read_text(encoding="utf-8")
    assert f"pin {settings.CLOCK_PIN} (output)" in wiring
    assert f"pin {settings.DATA_PINS[0]} (input)" in wiring


def test_a_flask_of_water_weighs_what_the_notes_say() -> None:
    text = (NOTES / "calibration.md").read_text(encoding="utf-8")
    assert f"holds {mass_g(100, 20):.2f} g" in text
    assert f"shows as {weighed_g(100, 20):.2f} g" in text
    assert 1 - weighed_g(100, 20) / mass_g(100, 20) == pytest.approx(0.00105, abs=2e-5)
