"""The cover walk card printed from its day, and copied in again through its page."""

from datetime import UTC, date, datetime

import pytest
from django.urls import reverse

from registry.models import (
    Cover,
    CoverBreak,
    CoverWalk,
    EarlyLoad,
    JournalLine,
    PlacingDay,
    PrintedSheet,
    SheetCopy,
    Uncover,
)
from tests import factories
from tests.placing_factories import CoverFactory, HandOverFactory, PlacingDayFactory
from tests.views.record import manager_of

ON = "2023-08-22"
LINES = {
    "s1-sheet": "6", "s1-laps": "taped", "s1-edges": "lumber",
    "s1-walk1-on": ON, "s1-walk1-clock": "12:30", "s1-walk1-by": "R. Voss",
    "s1-walk1-all_lies": "yes",
    "s1-walk2-on": '"', "s1-walk2-clock": "13:40", "s1-walk2-by": "R. Voss",
    "s1-walk2-panels": "C8-C9 the gust", "s1-walk2-bare_from": "13:40",
    "s1-walk2-bare_to": "14:10", "s1-walk2-cause": "wind", "s1-walk2-relaid": "misted, weighted",
    "s1-uncovered1-on": "2023-08-29", "s1-uncovered1-clock": "08:00",
    "s1-uncovered1-panels": "lanes A and C", "s1-uncovered1-by": "J. Hollin",
    "s1-onitearly1-what": "truck", "s1-onitearly1-panels": "D11", "s1-onitearly1-on": "2023-09-05",
    "s1-onitearly1-clock": "16:05", "s1-onitearly1-by": "J. Hollin",
}  # fmt: skip
"""Table 1F of the demonstration on a card; no panels are drawn, so names of them are words."""


@pytest.fixture
def day(db, client):
    site = factories.SiteFactory(time_zone="America/New_York")
    pavement, person = manager_of(factories.PavementFactory(site=site), role="contractor")
    client.force_login(person)
    own = pavement.seats.get().organisation
    return PlacingDayFactory(pavement=pavement, entered_for=own, placed_on=ON)


@pytest.fixture
def strip(day):
    return CoverFactory(
        placing_day=day, panels=[], panels_text="lanes A and C", laps="wide",
        last_at=datetime(2023, 8, 22, 15, 33, tzinfo=UTC), entered_for=day.entered_for,
    )  # fmt: skip


def printed(client, day):
    sent = {"kind": "cover", "paper": "letter", "system": "inch_pound"}
    client.post(reverse("placing_sheet", args=[day.pk]), sent)
    return PrintedSheet.objects.get()


def copy_in(client, sheet, lines, **more):
    sent = {"system": "inch_pound", **lines, **more}
    return client.post(reverse("cover_copy_in", args=[sheet.number]), sent)


def troubles(answer):
    copying = answer.context["copying"]
    return {**copying.head.errors, **{line.name: line.form.errors for line in copying.wrong}}


def local(row, name="at"):
    return f"{getattr(row, name):%Y-%m-%d %H:%M}"


def test_page_has_the_strips_and_the_lines_of_the_card(client, day, strip):
    sheet = printed(client, day)
    assert sheet.content["covers"] == [strip.pk]
    page = client.get(reverse("sheet_page", args=[sheet.number])).content.decode()
    address = reverse("cover_copy_in", args=[sheet.number])
    assert address in page
    page = client.get(address).content.decode()
    assert "Strip 1: lanes A and C" in page and "Strip 1, walk 15 (day 7)" in page
    assert page.index("walk 1 (+1 h)") < page.index("uncovered 1") < page.index("on it early 3")


def test_lines_become_the_entries_that_the_forms_store(client, day, strip):
    """Clocks at the place are four hours behind UTC (summer time)."""
    sheet = printed(client, day)
    answer = copy_in(client, sheet, LINES, released_on="2023-09-07")
    assert answer.status_code == 302, troubles(answer)
    walks = list(CoverWalk.objects.order_by("at"))
    assert [(local(w), w.walked_by, w.found) for w in walks] == [
        ("2023-08-22 16:30", "R. Voss", "all lies"),
        ("2023-08-22 17:40", "R. Voss", "bare: C8-C9 the gust"),
    ]
    assert {w.panels_text for w in walks} == {"lanes A and C"}
    bare = CoverBreak.objects.get()
    assert (local(bare, "from_at"), local(bare, "to_at"), bare.cause) == (
        "2023-08-22 17:40", "2023-08-22 18:10", "wind",
    )  # fmt: skip
    assert local(Uncover.objects.get()) == "2023-08-29 12:00"
    early = EarlyLoad.objects.get()
    assert (early.what, early.panels_text, local(early)) == ("truck", "D11", "2023-09-05 20:05")
    for row in (*walks, bare, early):
        assert (row.source, row.sheet_number) == ("paper", sheet.number)
    day.refresh_from_db()
    assert day.released_on == date(2023, 9, 7) and SheetCopy.objects.get().placing_day == day


def test_pen_corrects_the_strip_on_the_record_by_a_line_and_blanks_change_nothing(
    client, day, strip
):
    copy_in(client, printed(client, day), LINES)
    strip.refresh_from_db()
    assert strip.laps == "taped" and strip.edges == "lumber" and strip.misted_before == ""
    assert strip.sheet_mm == pytest.approx(6 * 0.0254)
    assert local(strip, "last_at") == "2023-08-22 15:33" and Cover.objects.count() == 1
    line = JournalLine.objects.get(subject_kind="cover", verb="corrected")
    assert "laps" in line.changes and "copied in from COV-0001" in line.why


def test_strip_written_by_pen_becomes_a_cover(client, day):
    sheet = printed(client, day)
    head = {"s1-panels": "lane A", "s1-last_on": ON, "s1-last_clock": "11:33"}
    assert copy_in(client, sheet, {**LINES, **head}).status_code == 302
    cover = Cover.objects.get()
    assert (cover.panels_text, local(cover, "last_at"), cover.laps) == (
        "lane A", "2023-08-22 15:33", "taped",
    )  # fmt: skip
    assert CoverWalk.objects.filter(panels_text="lane A").count() == 2


@pytest.mark.parametrize(
    ("lines", "place", "words"),
    [
        ({}, "__all__", "Nothing was typed"),
        ({"s1-walk1-on": "", "s1-walk1-clock": "12:30"}, "walk 1 (+1 h)", "Write the day too"),
        ({"s1-walk1-clock": "noonish"}, "walk 1 (+1 h)", "is no clock time"),
        ({"s1-walk1-by": ""}, "walk 1 (+1 h)", "required"),
        ({"s1-walk2-panels": ""}, "walk 2 (+2 h)", "required"),
        ({"s1-walk2-bare_to": "13:20"}, "walk 2 (+2 h)", "after it came off"),
        ({"s1-sheet": "thick"}, "Strip 1", "not a number"),
        ({"s1-onitearly1-what": ""}, "on it early 1", "required"),
        ({"released_on": "soon"}, "released_on", ""),
    ],
    ids=["blank", "no day", "clock", "by", "panels", "backwards", "sheet", "what", "released"],
)
def test_what_cannot_be_read_is_named_at_its_line_and_nothing_is_stored(
    client, day, strip, lines, place, words
):
    sheet = printed(client, day)
    answer = copy_in(client, sheet, {**LINES, **lines} if lines else {})
    assert answer.status_code == 200
    found = troubles(answer)
    told = next(text for name, text in found.items() if name.endswith(place))
    assert words in str(told)
    assert not CoverWalk.objects.exists() and not SheetCopy.objects.exists()
    if lines:
        assert b"misted, weighted" in answer.content  # what was typed is still there


def test_second_copy_is_a_double_with_its_differences(client, day, strip):
    sheet = printed(client, day)
    copy_in(client, sheet, LINES)
    answer = copy_in(client, sheet, {**LINES, "s1-walk2-bare_to": "quarter past two"})
    double = SheetCopy.objects.get(is_double=True)
    assert answer.url == reverse("sheet_copy_page", args=[sheet.number, double.pk])
    assert double.differences == [["Strip 1, walk 2 (+2 h): to", "14:10", "quarter past two"]]
    assert CoverWalk.objects.count() == 2 and CoverBreak.objects.count() == 1
    page = client.get(answer.url).content.decode()
    assert "quarter past two" in page and reverse("placing_day_page", args=[day.pk]) in page


def test_first_copy_of_which_all_is_void_makes_room(client, day):
    sheet = printed(client, day)
    walk = {k: v for k, v in LINES.items() if k.startswith("s1-walk1")}
    copy_in(client, sheet, walk)
    CoverWalk.objects.update(void_at="2024-01-01T00:00Z", void_why="wrong day")
    assert copy_in(client, sheet, walk).url == reverse("placing_day_page", args=[day.pk])
    assert CoverWalk.objects.standing().count() == 1


def test_blank_card_asks_which_day_and_a_strip_on_the_record_is_not_made_twice(client, day):
    client.post(
        reverse("sheet_blank"), {"kind": "cover", "paper": "letter", "system": "inch_pound"}
    )
    blank = PrintedSheet.objects.get()
    address = reverse("cover_copy_in", args=[blank.number])
    assert f"{address}?day={day.pk}" in client.get(address).content.decode()
    plan = factories.PlanFactory(pavement=day.pavement)
    factories.PanelFactory(pavement=day.pavement, plan=plan, name="A1")
    CoverFactory(placing_day=day, entered_for=day.entered_for)
    walk = {k: v for k, v in LINES.items() if k.startswith("s1-walk1")}
    sent = {"system": "inch_pound", **walk, "s1-panels": "A1"}
    answer = client.post(f"{address}?day={day.pk}", sent)
    assert "written down already" in answer.content.decode() and not CoverWalk.objects.exists()
    answer = client.post(f"{address}?day={day.pk}", {"system": "inch_pound", **walk})
    assert answer.status_code == 302 and Cover.objects.count() == 1
    assert CoverWalk.objects.get().placing_day == day


def test_sheet_of_another_kind_leads_back_to_its_page(client, day):
    other = PrintedSheet.objects.create(
        number="LOD-0007", kind="load", pavement=day.pavement, system="si", paper="a4",
        content={"placing_day": day.pk},
    )  # fmt: skip
    answer = client.get(reverse("cover_copy_in", args=[other.number]), follow=True)
    assert "no cover walk card" in answer.content.decode()


def test_after_the_hand_over_nothing_is_added_from_paper(client, day):
    sheet = printed(client, day)
    HandOverFactory(pavement=day.pavement, giver=day.entered_for, is_first=True, state="in_effect")
    assert copy_in(client, sheet, LINES).status_code == 403
    page = client.get(reverse("sheet_page", args=[sheet.number])).content.decode()
    assert reverse("cover_copy_in", args=[sheet.number]) not in page
    assert PlacingDay.objects.get().released_on is None
