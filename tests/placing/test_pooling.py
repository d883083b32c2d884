"""Which jobs stand together for one pattern by load, and which look counts."""

from dataclasses import replace
from datetime import date

import pytest

from registry.placing.faults import NotGiven
from registry.placing.pooling import JobLoads, first_look, pool

ONE = JobLoads("one", 9, "outline by tape", "inch_pound", ("P-610",))


@pytest.mark.parametrize(
    ("other", "why"),
    [
        ({"graded_by": "by eye"}, "Graded by eye, and not outline by tape."),
        ({"units": "si"}, "differ by about 5 %"),
        ({"mixes": ("P-500",)}, "Another mix: P-500."),
        ({"mixes": ()}, "mix of each load is not written down"),
    ],
    ids=["way", "units", "mix", "no mix"],
)
def test_job_that_may_not_stand_with_the_largest_says_why(other, why):
    small = replace(ONE, job="two", loads=8, **other)
    found = pool([small, ONE])
    assert found.jobs == ("one",)
    ((job, said),) = found.apart
    assert job == "two" and why in said


def test_jobs_alike_stand_together_whatever_the_spelling_of_the_mix():
    found = pool([ONE, replace(ONE, job="two", mixes=("p-610  ",)), replace(ONE, job="three")])
    assert found.jobs == ("one", "two", "three") and not found.apart
    assert pool([]).jobs == ()


def test_two_jobs_without_a_written_mix_do_not_stand_together():
    found = pool([replace(ONE, mixes=()), replace(ONE, job="two", mixes=())])
    assert found.jobs == ("one",) and len(found.apart) == 1


@pytest.mark.parametrize(
    ("placed", "looks", "counts"),
    [
        (date(2023, 5, 1), [date(2023, 5, 28), date(2023, 5, 29)], date(2023, 5, 29)),
        (date(2023, 5, 1), [date(2023, 8, 31)], date(2023, 8, 31)),
        (date(2023, 5, 1), [date(2023, 9, 1)], None),
        (date(2023, 10, 20), [date(2023, 11, 30)], date(2023, 11, 30)),
        (date(2023, 10, 20), [date(2023, 12, 1)], None),
        (date(2023, 5, 1), [], None),
    ],
    ids=["28 days", "122 days", "123 days", "in autumn", "in December", "none"],
)
def test_first_look_counts_from_four_weeks_to_four_months_and_before_winter(placed, looks, counts):
    found = first_look(placed, looks)
    assert found == counts if counts else isinstance(found, NotGiven)
