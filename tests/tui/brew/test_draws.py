"""When a reading is drawn, on a loop whose time the test moves."""

import heapq
from collections.abc import Callable
from itertools import count
from typing import Any

import pytest

from pourcoach.tui.brew import draws
from pourcoach.tui.brew.draws import Draws


class FakeTimer:
    """As much of a TimerHandle as is used."""

    cancelled = False

    def cancel(self) -> None:
        self.cancelled = True


class FakeLoop:
    """Runs what is due up to a moment."""

    def __init__(self) -> None:
        self.now_s = 0.0
        self._number = count()
        self._due: list[tuple[float, int, Callable[..., None], tuple[Any, ...], FakeTimer]] = []

    def time(self) -> float:
        return self.now_s

    def call_at(self, at_s: float, act: Callable[..., None], *given: Any) -> FakeTimer:
        timer = FakeTimer()
        heapq.heappush(self._due, (at_s, next(self._number), act, given, timer))
        return timer

    def call_later(self, wait_s: float, act: Callable[..., None], *given: Any) -> FakeTimer:
        return self.call_at(self.now_s + wait_s, act, *given)

    def run_to(self, at_s: float) -> None:
        while self._due and self._due[0][0] <= at_s:
            self.now_s, _, act, given, timer = heapq.heappop(self._due)
            if not timer.cancelled:
                act(*given)
        self.now_s = at_s


def ages_ms(
    monkeypatch: pytest.MonkeyPatch, rate_hz: float, jitter_s: float
) -> tuple[list[float], float]:
    """How old each reading was when it, or a newer one, was drawn; and the draws a second."""
    loop = FakeLoop()
    monkeypatch.setattr(draws.asyncio, "get_running_loop", lambda: loop)
    waiting: list[float] = []
    ages: list[float] = []
    drawn = 0

    def draw() -> None:
        nonlocal drawn
        drawn += 1
        ages.extend(1000 * (loop.now_s - came_s) for came_s in waiting)
        waiting.clear()

    draw_when = Draws(draw, draw)
    seconds = 4
    for number in range(1, round(seconds * rate_hz)):
        loop.run_to(number / rate_hz + jitter_s * (number * 0.618 % 1.0))
        waiting.append(loop.now_s)
        draw_when.frame(new_word=False)
    return ages, drawn / seconds


@pytest.mark.parametrize("jitter_s", [0.0, 0.003])
@pytest.mark.parametrize("rate_hz", [5.0, 10.0, 20.0, 40.0, 50.0, 80.0, 100.0])
def test_a_reading_is_soon_drawn_and_not_with_each(
    monkeypatch: pytest.MonkeyPatch, rate_hz: float, jitter_s: float
) -> None:
    ages, draws_per_s = ages_ms(monkeypatch, rate_hz, jitter_s)
    assert max(ages) <= 1000 * draws.MOST_GAP_S
    assert draws_per_s <= 1 / draws.LEAST_GAP_S


def test_of_eighty_readings_a_second_each_third_is_drawn_as_it_comes(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A timer that drew shortly before it would leave it waiting for the next."""
    ages, draws_per_s = ages_ms(monkeypatch, 80.0, 0.003)
    assert min(ages) == 0.0
    assert max(ages) <= 28.1
    assert draws_per_s == pytest.approx(80.0 / 3, abs=0.5)


@pytest.mark.parametrize("wait_s", [0.05, 0.0, -0.0005], ids=["to come", "now", "just past"])
def test_stop_is_drawn_when_due_though_that_was_during_the_last_draw(
    monkeypatch: pytest.MonkeyPatch, wait_s: float
) -> None:
    loop = FakeLoop()
    monkeypatch.setattr(draws.asyncio, "get_running_loop", lambda: loop)
    drawn_s: list[float] = []
    draw_when = Draws(lambda: drawn_s.append(loop.now_s), lambda: None)
    draw_when.stop_in(wait_s)
    loop.run_to(0.1)
    assert drawn_s == [max(0.0, wait_s) + draws.STOP_AFTER_S]
