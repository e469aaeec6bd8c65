import pytest

from pourcoach.cli.options.known_weight import read_known_weight
from pourcoach.domain.errors import WorkError
from pourcoach.domain.inputs import Link
from pourcoach.session.weighing import bench as weighing_bench
from pourcoach.session.weighing.bench import WeighingBench
from pourcoach.session.weighing.calibrating import SILENT, let_sit, weigh_known_loads
from pourcoach.weighing.calibration.calibration import fit_calibration
from tests.session.fake_bench import FakeBenchScale, FakePerson


def counting_scale(**kwargs) -> FakeBenchScale:
    return FakeBenchScale(noise=40.0, shown=lambda grams: -8000 + 2097.0 * grams, **kwargs)


async def test_known_loads_are_weighed_at_rest_and_give_the_calibration():
    scale = counting_scale()
    person = FakePerson(
        scale,
        [
            ("Take everything off", 0.0, ""),
            ("type its grams", None, ""),  # one load is not enough to end with
            ("type its grams", 200.0, "200 g"),
            ("type its grams", None, "heavy"),
            ("Enter alone", 500.0, "500"),
            ("Enter alone", None, ""),
        ],
    )
    async with WeighingBench(scale) as bench:
        loads = await weigh_known_loads(bench, person, [], read_known_weight)
    assert [load.true_g for load in loads] == [0.0, 200.0, 500.0]
    assert any("no known load" in line for line in person.messages)
    fit = fit_calibration(loads)
    assert fit.calibration.counts_per_g == pytest.approx(2097.0, rel=2e-4)
    assert fit.calibration.empty_counts == pytest.approx(-8000, abs=60)
    assert scale.left


async def test_weights_given_beforehand_are_only_put_on():
    scale = counting_scale()
    person = FakePerson(scale, [("Take", 0.0, ""), ("Put 100 g", 100.0, ""), ("500 g", 500.0, "")])
    async with WeighingBench(scale) as bench:
        loads = await weigh_known_loads(bench, person, [100.0, 500.0], read_known_weight)
    assert [load.true_g for load in loads] == [0.0, 100.0, 500.0]


async def test_a_scale_without_counts_is_recognised(monkeypatch):
    monkeypatch.setattr(weighing_bench, "FIRST_WITHIN_S", 0.05)

    class Quiet(FakeBenchScale):
        async def __aiter__(self):
            import asyncio

            await asyncio.Event().wait()
            yield

    with pytest.raises(WorkError, match="takes 'counts on'"):
        async with WeighingBench(Quiet(), silent=SILENT) as bench:
            await bench.begin()


async def test_why_the_scale_is_lost_is_what_is_reported(monkeypatch):
    monkeypatch.setattr(weighing_bench, "FIRST_WITHIN_S", 0.05)
    scale = FakeBenchScale(mute=True)
    with pytest.raises(WorkError, match="FAKE sends nothing"):
        async with WeighingBench(scale) as bench:
            await bench.begin()
    assert scale.left


async def test_a_weight_that_never_rests_is_reported(monkeypatch):
    monkeypatch.setattr(weighing_bench, "PATIENCE_S", 0.3)
    scale = FakeBenchScale(noise=0.0)
    scale._shown = lambda grams: 5.0 * scale.t_s
    with pytest.raises(WorkError, match="does not come to rest"):
        async with WeighingBench(scale) as bench:
            await bench.rest()


async def test_sitting_gives_the_readings_of_that_time():
    scale = counting_scale()
    async with WeighingBench(scale) as bench:
        sat = await let_sit(bench, FakePerson(scale, []), 60.0)
    assert sat[-1].t_s - sat[0].t_s == pytest.approx(60.0, abs=0.11)


async def test_a_scale_that_is_lost_meanwhile_is_reported_and_waited_for():
    scale = FakeBenchScale()
    messages = []
    async with WeighingBench(scale, messages.append) as bench:
        await bench.begin()
        scale.say(Link(scale.t_s, up=False, why="the cable is out"))
        scale.say(Link(scale.t_s, up=True))
        heard = await bench.listen(5.0)
    assert messages == ["the cable is out", "The scale is back."]
    assert heard[-1].t_s - heard[0].t_s >= 5.0


async def test_what_is_to_be_known_of_a_scale_is_reported_and_is_no_return():
    messages: list[str] = []
    scale = FakeBenchScale()
    scale.say(Link(0.0, up=True, why="the readings are calibrated here"))
    async with WeighingBench(scale, messages.append) as bench:
        await bench.rest()
    assert messages == ["the readings are calibrated here"]
