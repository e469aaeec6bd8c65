"""A recording whose every text tries to be more than text."""

import json
from pathlib import Path

MARKUP = (
    '"><script>alert(1)</script><img src=x onerror=alert(1)>',
    "</title></desc></svg><svg onload=alert(2)>{{ 7 * 7 }}{% raw %}&lt;b&gt;",
)
"""For a browser or a template."""
FORMULAS = (
    '=HYPERLINK("http://x.invalid")',
    "+1+1",
    "-2+3",
    "@SUM(A1:A9)",
    "\tindented",
    "\rreturned",
)
"""For a spreadsheet."""
OTHERS = (
    "\x1b]0;owned\x07\x1b[2J",
    "\u202egnp.exe",
    "../../etc/passwd",
    "[bold red]markup[/]",
    'a\nb,"c";d',
    "\ud800",
    "x" * 5000,
)
"""For a terminal, a file system, a screen, a reader of CSV, an encoder, a page."""
HOSTILE = (*MARKUP, *FORMULAS, *OTHERS)


def hostile_recording(folder: Path, text: str) -> Path:
    """Two pours by somebody of that name, with that name for a stage and in a note."""
    plan = {
        "dose_g": 10, "ratio": 10, "water_g": 100, "bloom_s": 20, "finish_s": 60,
        "stages": [
            {"name": text, "start_s": 0, "to_g": 40, "flow_gps": 5},
            {"name": "pour", "start_s": 20, "to_g": 100, "flow_gps": 5},
        ],
    }  # fmt: skip
    lines: list[object] = [
        {"pourcoach": 1, "recorded_at": text, "by": text, "plan": plan, "scale": {"address": text}}
    ]
    for tick in range(600):
        t_s = tick / 10
        first_g = min(40.0, max(0.0, 5.0 * (t_s - 3.0)))
        grams = first_g + min(60.0, max(0.0, 5.0 * (t_s - 23.0)))
        lines.append([t_s, round(grams, 1)])
    lines += [{"t": 60.0, "note": text}, {"end": 61.0}]
    at = "2026-01-15T09:40:00+00:00"
    lines.append({"t": 61.0, "input": "after", "about": "note", "at": at, "text": text})
    path = folder / "hostile.jsonl"
    path.write_text("".join(json.dumps(line) + "\n" for line in lines), encoding="utf-8")
    return path
