"""Drills, schedules, tests and what was learnt from them; all seeded, no clock, no I/O."""
