import pytest

from pourcoach.cli.options.known_weight import read_known_weight
from pourcoach.session.weighing.bench import WeighingBench
from pourcoach.session.weighing.checking import PRESSES, CheckPlan, run_check
from pourcoach.weighing.check.check import judge_scale
from pourcoach.weighing.check.check_record import CheckRecord
from pourcoach.weighing.figures.eccentricity import PLACES
from tests.session.fake_bench import FakeBenchScale, FakePerson

PLAN = CheckPlan("fake", "2026-01-15T09:30:00+00:00", 0.1, 1000.0, 30.0, read_known_weight)

WHOLE = [
    ("everything off", 0.0, ""),
    ("known weight", 200.0, "200 M1"),
    ("known weight", 500.0, "500 M1"),
    ("known weight", None, ""),
    *[(f"({number} of 3)", 500.0, "") for number in (1, 2, 3)],
    *[(("in the middle" if place == "centre" else place), 500.0, "") for place in PLACES],
    ("about 100 g", 100.0, ""),
    ("how much", 100.15, "0.15"),
    ("in a brew", 500.0, ""),
    ("off again", 0.0, ""),
    *[
        step
        for number in (1, 2, 3)
        for step in [(f"({number} of 3)", 150.0, ""), ("NOW: lift", 0.0, "")]
    ],
    ("very same moment", 0.0, ""),
    *[(f"({number} of {PRESSES})", 300.0 * number, "") for number in range(1, PRESSES + 1)],
]


async def checked(scale: FakeBenchScale, script) -> tuple[CheckRecord, FakePerson]:
    person = FakePerson(scale, script)
    async with WeighingBench(scale) as bench:
        return await run_check(bench, person, PLAN, scale.now), person


async def test_a_whole_check_of_a_good_scale():
    record, _ = await checked(FakeBenchScale(hz=20), WHOLE)
    assert CheckRecord.from_dict(record.as_dict()) == record
    check = judge_scale(record)
    assert check.faults == ()
    assert check.linearity.within
    assert check.repeatability.within
    assert check.eccentricity.within
    assert check.discrimination.within
    assert check.zero_return.within
    assert check.creep.span_s == pytest.approx(30, abs=0.2)
    assert check.rest.noise == pytest.approx(0.02, rel=0.2)
    assert check.pace.rate_hz == pytest.approx(20)
    assert [step.size_g for step in check.steps.steps] == pytest.approx([-150] * 3, abs=0.1)
    # The load is there with the very next reading; half of it lies half a reading before that.
    assert check.delay.delay_s == pytest.approx(0.0, abs=0.05)
    assert not check.unknown_loads


async def test_a_scale_that_shows_too_much_is_outside():
    record, _ = await checked(FakeBenchScale(hz=20, shown=lambda grams: 1.002 * grams), WHOLE)
    check = judge_scale(record)
    assert not check.linearity.within
    assert check.linearity.span_error == pytest.approx(0.002, rel=0.02)


async def test_every_step_can_be_left_out():
    record, person = await checked(
        FakeBenchScale(),
        [
            ("everything off", 0.0, "s"),
            ("about 100 g", None, "S"),
            ("in a brew", None, "s"),
            ("(1 of 3)", None, "s"),
            ("very same moment", None, "s"),
        ],
    )
    assert record == CheckRecord("fake", PLAN.made_at, 0.1, 1000.0)
    assert len(person.asked) == 5


async def test_what_was_mistyped_is_asked_again():
    record, person = await checked(
        FakeBenchScale(),
        [
            ("everything off", 0.0, ""),
            ("known weight", None, "two hundred"),
            ("known weight", 249.51, "250 ml 21 c"),
            ("known weight", None, ""),
            ("(1 of 3)", None, "s"),
            ("in the middle", None, "s"),
            ("about 100 g", None, "s"),
            ("in a brew", None, "s"),
            ("(1 of 3)", None, "s"),
            ("very same moment", None, "s"),
        ],
    )
    assert any("no known load" in line for line in person.messages)
    # Density of water at 21 °C: 997.99 kg/m3 (Kell 1975).
    assert record.loads[1].true_g == pytest.approx(249.24, abs=0.01)
    assert record.loads[1].known_to_g is None
