"""Two temperature scales, and the published brewing bands, each as it was published."""

from pourcoach.domain.units import Celsius

# SCAA Golden Cup Standard, revised 2015: "200 °F ± 5 (93.0 °C ± 3)". The two are not exact
# conversions of each other (200 °F is 93.33 °C), so each is kept as its own statement.
CONTACT_BAND_C = (90.0, 96.0)
CONTACT_BAND_F = (195.0, 205.0)
# Certified brewers must bring the water to this (Batali, Ristenpart & Guinard 2020).
CERTIFICATION_FLOOR_C = 92.0
# At fixed strength and extraction, 87, 90 and 93 °C made no appreciable sensory difference
# (Batali, Ristenpart & Guinard 2020); from there to 96 °C is common practice. Heat still moves what
# is extracted: the band only says that no brew is wrong by its temperature alone.
NO_FAULT_BAND_C = (87.0, 96.0)


def celsius(fahrenheit: float) -> Celsius:
    """Converts between °C and °F; exact by definition."""
    return (fahrenheit - 32.0) / 1.8


def fahrenheit(celsius: Celsius) -> float:
    """Converts between °C and °F; exact by definition."""
    return celsius * 1.8 + 32.0
