"""The live figures of a scale as one line."""

from typing import Any


def live_line(figures: dict[str, Any]) -> str:
    """One line of figures; what cannot be said yet is a dash."""

    def figure(value: float | None, digits: int) -> str:
        return "–" if value is None else f"{value:.{digits}f}"

    gap_s = figures["longest_gap_s"]
    line = (
        f"{figures['grams_g']:9.2f} g  {figure(figures['rate_hz'], 1):>6} Hz"
        f"  noise {figure(figures['noise_g'], 3)} g"
        f"  gap {figure(None if gap_s is None else gap_s * 1000, 0)} ms"
    )
    dropped = sum((figures["dropped"] or {}).values())
    return (
        line
        + (f"  dropped {dropped}" if dropped else "")
        + (f"  missed {figures['missed']}" if figures["missed"] else "")
    )
