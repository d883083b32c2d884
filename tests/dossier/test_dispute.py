"""Every figure of the dispute, worked out from its tables alone and held to them as printed.

Source: tables 1A to 1M of the invented town under `fixtures/demo`.
"""

import pytest

from registry.dossier import Book, add_every_figure, blank, words
from tests.dossier.books import dispute_book, dispute_worked_out, table_of


@pytest.fixture(scope="module")
def book() -> Book:
    return dispute_worked_out()


def test_the_four_taus_as_printed(book):
    shown = {code: book.shown(f"tau-b of {code}") for code in ("lag", "wait", "evaporation")}
    assert shown == {"lag": "0.69", "wait": "0.48", "evaporation": "0.60"}
    assert book.shown("tau-b of water") == "0.02"
    assert book.shown("p of tau-b of lag") == "p under 0.001"
    assert book.not_given["factors tried"].startswith("6 factors tried")


def test_heat_lag_and_drying_are_said_not_to_be_told_apart(book):
    assert "cannot tell them apart" in book.figures["lag and evaporation move together"].says
    assert book.has("lag and air move together", "evaporation and air move together")


def test_late_loads_against_the_rest(book):
    assert book.shown("loads covered late, mean") == "30.0 %"
    assert book.figures["loads covered late, mean"].says.endswith("7, 8, 9")
    assert book.shown("other loads, mean") == "1.2 %"


def test_winter_zone_against_the_other_panels(book):
    assert book.shown("panels in the winter zone, mean change") == "15.1 points"
    assert book.shown("other panels, mean change") == "0.9 points"


@pytest.mark.parametrize("row", table_of("1E_by_load"), ids=lambda row: row["load"])
def test_each_load_as_the_table_has_it(book, row):
    load = row["load"]
    assert book.shown(f"load {load} lag") == f"{row['longest min discharge to cover']} min"
    assert book.shown(f"load {load} wait") == f"{row['min batch to discharge']} min"
    assert book.shown(f"load {load} w/cm") == row["w/cm"]
    assert book.shown(f"load {load} evaporation") == f"{row['evaporation lb/ft²/h']} lb/ft²/h"
    assert book.shown(f"load {load} raveled 2023-10-03 tape") == f"{row['raveled % at 6 weeks']} %"
    change = book.value(f"load {load} change 2023-10-03 to 2024-04-18 tape")
    assert f"{100 * change:+.1f}" == row["change over first winter, points"]
    assert book.value(f"load {load} area") / 0.3048**2 == pytest.approx(int(row["area ft²"]))


@pytest.mark.parametrize("test", ["1B_acceptance_tests", "1M_after_repair_tests"])
def test_each_rate_as_the_table_has_it(book, test):
    for row in table_of(test):
        if row["job"] == "H-2306":
            value = book.value(f"test {row['test']} rate")
            assert abs(value - float(row["rate in/h"])) < 0.6, row["test"]


def test_time_under_cover_by_utc_with_and_without_the_break(book):
    assert book.shown("lanes A and C covered") == "6 d 20 h 27 min"
    assert book.shown("lanes A and C covered short") == "3 h 33 min"
    assert book.shown("lanes A and C covered less breaks") == "6 d 19 h 57 min"
    assert book.shown("lanes B and D covered") == "7 d 0 h 49 min"
    assert book.shown("lanes B and D covered short") == "0 min"


def test_the_van_stood_there_twelve_days_after_placing(book):
    assert book.value("delivery van on D11 age") / 24 == pytest.approx(12.2, abs=0.1)


def test_every_clock_of_the_dispute(book):
    assert book.shown("last day of the warranty") == "2025-09-14"
    assert book.shown("last day of the replaced panels") == "2026-06-05"
    assert book.shown("notice by") == "2024-05-18"
    assert book.shown("counted received") == "2024-04-29"
    assert book.shown("notice in time") == "yes"
    due = {
        "acknowledged": "2024-05-06",
        "visit": "2024-05-20",
        "finding": "2024-06-13",
        "reply": "2024-07-16",
        "evaluator": "2024-07-30",
        "remedy": "2025-06-30",
    }
    assert {step: book.shown(f"{step} due") for step in due} == due
    assert book.shown("finding over") == "4 days late"
    assert "2024-12-31" in book.figures["remedy due"].says
    late = [step for step in due if book.value(f"{step} over") > 0]
    assert late == ["finding"]


def test_the_settlement_to_the_cent(book):
    for row in table_of("1L_settlement"):
        panels = row["panels"]
        assert float(book.value(f"settlement {panels} cost")) == float(row["cost $"])
        assert float(book.value(f"settlement {panels} contractor")) == float(row["contractor $"])
        assert float(book.value(f"settlement {panels} owner")) == float(row["owner $"])
    assert book.shown("settlement sum cost") == "41184.00"
    assert book.shown("settlement sum contractor") == "29952.00"
    assert book.shown("settlement sum owner") == "11232.00"


def test_cores_against_plan_and_approved_density(book):
    assert book.shown("core K3 length") == "-0.1 in"
    assert book.shown("core K6 density") == "4.4 % of the approved density"


def test_a_book_without_rows_gives_reasons_instead_of_figures():
    empty = Book()

    add_every_figure(empty)
    assert empty.figures == {}
    assert empty.not_given["load limits"].startswith("No load limits")


def test_a_missing_cover_time_takes_its_figure_and_no_other():
    book = dispute_book()

    book.rows["loads"]["9"] = {**book.rows["loads"]["9"], "cover_last": blank("not known")}
    add_every_figure(book)
    assert "missing" in book.not_given["load 9 lag"]
    assert book.has("load 9 wait", "load 9 w/cm")
    assert book.figures["tau-b of lag"].says.endswith("17 loads")


def test_without_a_holiday_list_calendar_days_are_counted_and_working_days_are_not():
    book = dispute_book()
    del book.rows["holidays"]
    add_every_figure(book)
    assert book.shown("finding due") == "2024-06-13"
    for figure in ("counted received", "reply due"):
        assert "holiday list is not on the record" in book.not_given[figure]


def test_a_clock_counted_through_a_year_without_listed_holidays_says_so():
    book = dispute_book()
    reply = book.rows["clocks"]["reply"]
    book.rows["clocks"]["reply"] = {**reply, "after_on": words("2025-06-17")}
    add_every_figure(book)
    assert "The holiday list names no day of 2025:" in book.figures["reply due"].says
    assert "names no day" not in book.figures["visit due"].says
