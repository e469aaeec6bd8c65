"""A plan's target curve as a few lines of text."""

from pourcoach.domain.brew_clock import clock
from pourcoach.domain.plan import Plan

_EIGHTHS = " ▁▂▃▄▅▆▇█"
_ASCII = " .:#"


def picture(plan: Plan, width: int = 60, height: int = 8, *, ascii_only: bool = False) -> list[str]:
    """``height`` lines of the curve, filled, and a time axis; grams on the left."""
    levels = _ASCII if ascii_only else _EIGHTHS
    steps = len(levels) - 1
    end_s = max(plan.finish_s, plan.stage_end_s(len(plan.stages) - 1))
    heights = [
        round(plan.target_g(end_s * column / (width - 1)) / plan.water_g * height * steps)
        for column in range(width)
    ]
    side = "|" if ascii_only else "│"
    lines = []
    for row in range(height, 0, -1):
        cells = "".join(levels[min(max(h - (row - 1) * steps, 0), steps)] for h in heights)
        label = f"{plan.water_g * row / height:.0f}" if row in (height, height // 2) else ""
        lines.append(f"{label:>6} {side}{cells}".rstrip())
    corner, dash = ("+", "-") if ascii_only else ("└", "─")
    lines.append(f"{'':>6} {corner}{dash * width}")
    lines.append(_time_labels(end_s, width))
    return lines


def _time_labels(end_s: float, width: int) -> str:
    """A label each half minute, or each minute where they would touch."""
    step_s = 30.0 if end_s <= 30.0 * width / 6 else 60.0
    cells = [" "] * (width + 8)
    tick_s = 0.0
    while tick_s <= end_s:
        label = clock(tick_s)
        at = round(tick_s / end_s * (width - 1))
        cells[at : at + len(label)] = label
        tick_s += step_s
    return (" " * 8 + "".join(cells)).rstrip()
