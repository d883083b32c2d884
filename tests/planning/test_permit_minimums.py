"""How often a permit year was cleaned: what counts, by rows, and the day of the next."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.planning.faults import PlanningError
from registry.planning.permit_minimums import Minimum, Visit, permit_count
from registry.planning.seasons import YearDay

# The permit year of the invented town ends on 30 June.
TWICE = Minimum(2, YearDay(7, 1), "permit")
ROWS = frozenset({"A", "B", "C"})
AS_OF = date(2026, 5, 1)


def count(*visits: Visit, rows: frozenset[str] = ROWS, as_of: date = AS_OF):
    return permit_count(TWICE, visits, rows, as_of)


def test_the_permit_year_holds_the_day():
    assert TWICE.year_of(date(2026, 6, 30)) == (date(2025, 7, 1), date(2026, 6, 30))
    assert TWICE.year_of(date(2026, 7, 1)) == (date(2026, 7, 1), date(2027, 6, 30))


def test_c_11_turned_away_counts_as_nothing():
    found = count(Visit(date(2025, 9, 1), "turned_away"), Visit(date(2025, 10, 1), "called_off"))
    assert found.done == 0
    assert [words for _, words in found.not_counted] == [
        "turned away: no cleaning",
        "called off: no cleaning",
    ]


def test_done_in_part_counts_by_its_rows():
    part = Visit(date(2025, 9, 1), "in_part", frozenset({"A", "B"}))
    assert (count(part).done, count(part).missing_rows) == (0, (("C", 0),))
    rest = Visit(date(2025, 9, 4), "in_part", frozenset({"C"}))
    assert (count(part, rest).done, count(part, rest).missing_rows) == (1, ())


def test_in_part_without_rows_is_not_counted():
    found = count(Visit(date(2025, 9, 1), "in_part"))
    assert (found.done, found.not_counted[0][1]) == (0, "done in part, rows not written")


def test_two_a_few_days_apart_are_one():
    first = Visit(date(2025, 9, 1), "done")
    assert count(first, Visit(date(2025, 9, 20), "done")).done == 1
    assert count(first, Visit(date(2025, 10, 1), "done")).done == 2


def test_the_next_is_due_so_that_all_fit_in():
    assert count().next_by == date(2026, 5, 31)
    one = count(Visit(date(2025, 9, 1), "done"))
    assert (one.next_by, one.is_late) == (date(2026, 6, 30), False)
    both = count(Visit(date(2025, 9, 1), "done"), Visit(date(2026, 4, 1), "done"))
    assert both.next_by == date(2027, 5, 31)


def test_late_is_said():
    assert count(as_of=date(2026, 6, 5)).is_late


def test_other_years_and_later_days_do_not_count():
    assert count(Visit(date(2025, 6, 30), "done"), Visit(date(2026, 5, 2), "done")).done == 0


def test_a_pavement_without_rows_counts_as_one():
    assert count(Visit(date(2025, 9, 1), "done"), rows=frozenset()).done == 1


def test_more_than_fits_into_a_year_is_refused():
    with pytest.raises(PlanningError):
        Minimum(13, YearDay(7, 1), "permit")


VISITS = st.lists(
    st.builds(
        Visit,
        st.integers(0, 300).map(lambda n: date(2025, 7, 1) + timedelta(days=n)),
        st.sampled_from(["done", "in_part", "turned_away", "called_off"]),
        st.none() | st.frozensets(st.sampled_from("ABC")),
    ),
    max_size=6,
)


@given(VISITS)
def test_one_visit_more_never_brings_the_next_day_forward(visits):
    before = count(*visits[:-1])
    after = count(*visits)
    assert after.next_by >= before.next_by or after.done < before.done


@given(VISITS, st.randoms(use_true_random=False))
def test_the_order_of_visits_does_not_matter(visits, random):
    mixed = list(visits)
    random.shuffle(mixed)
    assert count(*mixed).done == count(*visits).done
