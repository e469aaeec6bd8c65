"""The frames that a brew screen is driven by, and how long it takes to draw one."""

from collections.abc import Callable

from pourcoach.domain.frame import Frame

# More than the time between two draws of all, so that the newest frame is on the screen.
DRAWN_S = 0.3

MakeFrame = Callable[..., Frame]

Frames = list[Frame]
