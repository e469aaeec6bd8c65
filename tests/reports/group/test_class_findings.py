"""Whose fault is whose: only where it is more than chance."""

from pourcoach.domain.advice import FlagKind
from pourcoach.reports.group.class_findings import class_findings
from tests.reports.group.made_group import TWELVE_BREWS, group_brew


def test_one_of_three_cuts_every_bloom_short() -> None:
    found = class_findings(TWELVE_BREWS)
    assert [student.name for student in found.students] == ["Ada", "Ben", "Cleo"]
    assert [[share.is_own for share in one.shares] for one in found.students] == [
        [False],
        [True],
        [False],
    ]
    assert found.sentences == ("Ben: short bloom in 4 of 4 brews, the others in 0 of 8.",)
    (share,) = found.students[1].own
    assert share.bounds_text == "40 to 100 %"


def test_once_is_not_a_habit() -> None:
    brews = [group_brew(by, hour / 24) for by in ("Ada", "Ben") for hour in range(4)]
    brews.append(group_brew("Ada", 1.0, ["stall"]))
    found = class_findings(brews)
    assert all(not one.own for one in found.students)
    assert found.sentences == ("No finding comes more with one person than chance explains.",)
    assert found.students[0].most is not None
    assert found.students[0].most.text == "1 of 5"
    assert found.students[1].most is None


def test_what_all_do_is_nobodys_own() -> None:
    brews = [group_brew(by, hour / 24, ["overshoot"]) for by in ("Ada", "Ben") for hour in range(5)]
    found = class_findings(brews)
    assert found.sentences == (
        "No finding comes more with one person than chance explains.",
        "Everybody has beyond the mark: 10 of 10 brews.",
    )


def test_the_platform_and_recordings_without_water_count_nowhere() -> None:
    brews = [group_brew("Ada", 0.0, ["disturbed", "gap"]), group_brew("Ada", poured=False)]
    found = class_findings(brews)
    assert (found.kinds, found.count, found.left_out) == ((), 1, 1)
    assert found.sentences == ("A comparison needs brews of two people or more.",)


def test_a_name_is_one_in_small_and_large_letters_and_nobody_has_one() -> None:
    brews = [group_brew("ada"), group_brew("Ada", 1.0), group_brew(None)]
    assert [(one.name, len(one.brews)) for one in class_findings(brews).students] == [
        ("Ada", 2),
        ("nobody named", 1),
    ]


def test_kinds_stand_by_how_often_they_come() -> None:
    brews = [
        group_brew("Ada", 0.0, ["stall", "late"]),
        group_brew("Ada", 1.0, ["late"]),
        group_brew("Ada", 2.0, ["surge"]),
    ]
    assert class_findings(brews).kinds == (FlagKind.LATE, FlagKind.STALL, FlagKind.SURGE)
