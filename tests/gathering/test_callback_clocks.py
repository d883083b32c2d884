"""The clocks of the demonstration's dispute, from rows: each due day and what became of it."""

from datetime import date, datetime
from pathlib import Path

import pytest

from registry.actions.move_signed import move_signed
from registry.actions.refresh_callback import refresh_callbacks_of
from registry.gathering.callback_clocks import NO_PANEL, clocks_of, notice_of
from registry.gathering.callback_rows import callback_rows
from registry.gathering.warranty_terms import parts_of
from registry.models import AnswerLimit, Repair, WarrantyPart
from registry.placing.faults import NotGiven
from registry.placing.warranty import NoticeTime
from tests.claim_rows import NEW_YORK, NOBODY, lived_through, notice, settled_later, terms
from tests.placing_factories import AgreedDateFactory, WarrantyPartFactory

pytestmark = pytest.mark.django_db
TABLE = Path(__file__).parents[2] / "fixtures" / "demo" / "1J_dispute_timeline.csv"


def clocks(row, today=date(2026, 10, 15)):
    rows = callback_rows(row, notes=row.notes.all(), repairs=Repair.objects.all())
    found = clocks_of(row, rows, today=today)
    return {one.step: one.clock for one in found}


def due_days(row):
    return {step: str(one.due.on) for step, one in clocks(row).items()}


def test_notice_after_hours_on_a_friday_counts_from_monday():
    row = notice(terms())
    assert row.counted_on == date(2024, 4, 29)
    assert "after 17:00" in row.counted_why and "Friday 2024-04-26 17:42" in row.counted_why
    assert [move.to_state for move in row.moves.all()] == ["received"]


def test_notice_is_in_time_by_eleven_days_and_within_the_period():
    row = notice(terms())
    ((part, panels, found),) = notice_of(row, parts_of(row.warranty, []))
    assert isinstance(found, NoticeTime)
    assert (found.days_used, found.notice_by) == (11, date(2024, 5, 18))
    assert found.in_time is True and part.last_day == date(2025, 9, 14)
    assert len(panels) == 14


def test_every_clock_of_the_dispute_is_due_on_the_day_of_its_table():
    row = lived_through(notice(terms()))
    assert due_days(row) == {
        "acknowledge": "2024-05-06",
        "visit": "2024-05-20",
        "finding": "2024-06-13",
        "reply": "2024-07-16",
        "evaluator": "2024-07-30",
        "remedy": "2024-12-31",
    }
    table = TABLE.read_text(encoding="utf-8")
    for day in ("2024-05-06", "2024-05-20", "2024-06-13", "2024-07-16", "2024-07-30", "2024-12-31"):
        assert f"by {day}" in table


def test_every_clock_of_the_dispute_comes_out_as_its_table_says():
    row = lived_through(notice(terms()))
    assert {step: one.words for step, one in clocks(row).items()} == {
        "acknowledge": "in time",
        "visit": "in time",
        "finding": "4 days late",
        "reply": "in time",
        "evaluator": "in time",
        "remedy": "134 days late",
    }


def test_new_date_that_both_signed_takes_the_place_of_the_counted_one_and_both_are_seen():
    row = lived_through(notice(terms()))
    settled_later(row)
    remedy = clocks(row)["remedy"]
    assert remedy.words == "in time"
    assert (remedy.due.counted_on, remedy.due.on) == (date(2024, 12, 31), date(2025, 6, 30))


def test_replaced_panels_have_a_last_day_of_their_own_and_the_rest_keeps_its_own():
    row = notice(terms())
    settled_later(row)
    days = {one.part.name: one.last_day for one in parts_of(row.warranty, row.warranty.parts.all())}
    assert days == {"the rest": date(2025, 9, 14), "replaced panels": date(2026, 6, 5)}


def test_claim_over_renewed_and_old_panels_is_split():
    row = notice(terms())
    settled_later(row)
    again = notice(
        row.warranty,
        number="CB-9",
        received_at=datetime(2026, 5, 29, 10, tzinfo=NEW_YORK),
        discovered_on=date(2026, 5, 29),
        panels=["C8", "B8"],
    )
    found = notice_of(again, parts_of(row.warranty, row.warranty.parts.all()))
    said = {panels: time.in_time for _, panels, time in found}
    assert said == {("C8",): True, ("B8",): False}


def test_clock_that_nobody_answered_is_overdue_on_the_day_after():
    row = notice(terms())
    assert clocks(row, today=date(2024, 5, 6))["acknowledge"].words == "due today"
    assert clocks(row, today=date(2024, 5, 7))["acknowledge"].words == "overdue by 1 day"


def test_clock_waits_while_its_event_has_no_date():
    row = notice(terms())
    visit = clocks(row, today=date(2024, 5, 6))["finding"]
    assert visit.words == "Counts from the visit, which has no date yet."


def test_without_a_holiday_list_no_working_day_is_counted():
    warranty = terms()
    warranty.holiday_list = None
    row = notice(warranty)
    assert row.counted_on is None and "holiday list" in row.counted_why
    assert isinstance(clocks(row)["acknowledge"].due, NotGiven)


def test_move_back_takes_the_day_of_its_step_back():
    row = lived_through(notice(terms()), until="visited")
    row.moves.create(
        from_state="visited",
        to_state="visit_set",
        is_back=True,
        why="nobody came",
        on=date(2024, 5, 15),
    )
    assert clocks(row, today=date(2024, 5, 21))["visit"].words == "overdue by 1 day"


def test_limits_stand_once_a_step():
    assert AnswerLimit.objects.filter(warranty=terms()).count() == 6


def test_day_agreed_for_a_step_without_a_limit_has_a_clock_and_is_due_next():
    warranty = terms()
    warranty.limits.all().delete()
    row = lived_through(notice(warranty), until="visit_set")
    agreed = AgreedDateFactory(
        callback=row, step="visit", due_on=date(2024, 5, 14), is_confirmed=True
    )
    refresh_callbacks_of(agreed)
    row.refresh_from_db()
    assert (row.next_step, row.next_side, row.next_due_on) == (
        "visit", "contractor", date(2024, 5, 14),
    )  # fmt: skip
    found = clocks(row, today=date(2024, 5, 16))["visit"]
    assert found.words == "overdue by 2 days" and "no limit for it" in found.due.why
    move_signed(row, to_state="visited", on=date(2024, 5, 14), **NOBODY)
    assert clocks(row)["visit"].words == "in time"


def test_claim_without_panels_stands_against_each_part_that_had_begun():
    """A path has no panels: whether it is of the repaired part a person says."""
    row = notice(terms(), panels=[])
    part = {"warranty": row.warranty, "panels": [], "panels_text": "0+30 to 0+40", "years": 1}
    repaired = WarrantyPartFactory(**part, name="repaired strip", start_on=date(2024, 4, 1))
    WarrantyPartFactory(**part, name="later strip", start_on=date(2026, 4, 1))
    found = notice_of(row, parts_of(row.warranty, row.warranty.parts.all()))
    assert [(part.name, str(time.last_day)) for part, _, time in found] == [
        ("the rest", "2025-09-14"),
        ("repaired strip", "2025-03-31"),
    ]
    assert {panels for _, panels, _ in found} == {(NO_PANEL,)}
    WarrantyPart.objects.exclude(pk=repaired.pk).update(void_at=row.entered_at, void_why="none")
    WarrantyPart.objects.filter(pk=repaired.pk).update(start_on=date(2024, 6, 1))
    ((whole, _, time),) = notice_of(row, parts_of(row.warranty, row.warranty.parts.all()))
    assert (whole.name, time.in_time) == ("the rest", True)


def test_clock_of_working_days_says_of_which_year_the_list_names_no_holiday():
    row = notice(terms(), received_at=datetime(2025, 2, 3, 9, tzinfo=NEW_YORK), discovered_on=None)
    why = clocks(row)["acknowledge"].due.why
    assert "The holiday list names no day of 2025" in why
    assert "names no day" not in clocks(notice(terms()))["acknowledge"].due.why
