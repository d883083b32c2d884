"""The load sheet printed from its day, and copied in again through its page."""

import pytest
from django.urls import reverse

from registry.models import Load, PrintedSheet, SheetCopy, Spread
from tests import factories
from tests.placing_factories import HandOverFactory, LoadFactory, PlacingDayFactory
from tests.views.record import manager_of

ROW = {
    "number": "7", "ticket": "T-88137", "batched_at": "08:40", "arrived_at": "09:03",
    "discharge_from_at": "0920", "discharge_to_at": "09:34", "site_water_l": "2",
    "site_water_by": "foreman", "look": "even", "density_kg_m3": "118,9", "lane": "c",
    "from_m": "51", "to_m": "81.5", "cover_first_at": "09:54", "cover_last_at": "10:11",
}  # fmt: skip


@pytest.fixture
def day(db, client):
    pavement, person = manager_of(role="contractor")
    client.force_login(person)
    own = pavement.seats.get().organisation
    return PlacingDayFactory(pavement=pavement, entered_for=own)


@pytest.fixture
def sheet(client, day):
    answer = client.post(
        reverse("placing_sheet", args=[day.pk]),
        {"kind": "load", "paper": "letter", "system": "inch_pound"},
    )
    assert answer["Content-Type"] == "application/pdf" and answer.content[:5] == b"%PDF-"
    return PrintedSheet.objects.get()


def typed(*rows, **head):
    sent = {"system": "inch_pound", "rows": str(max(len(rows), 6)), **head}
    for nth, row in enumerate(rows, start=1):
        sent |= {f"row{nth}-{name}": value for name, value in row.items()}
    return sent


def copy_in(client, sheet, *rows, **head):
    return client.post(reverse("load_copy_in", args=[sheet.number]), typed(*rows, **head))


def troubles(answer):
    copying = answer.context["copying"]
    rows = {row.nth: {**row.load.errors, **row.lane.errors} for row in copying.filled}
    return {**copying.head.errors, **{n: found for n, found in rows.items() if found}}


def test_sheet_has_its_number_and_its_day(client, day, sheet):
    assert sheet.number == "LOD-0001" and sheet.content["placing_day"] == day.pk
    page = client.get(reverse("sheet_page", args=[sheet.number])).content.decode()
    assert reverse("load_copy_in", args=[sheet.number]) in page
    client.post(
        reverse("placing_sheet", args=[day.pk]), {"kind": "cover", "paper": "a4", "system": "si"}
    )
    assert PrintedSheet.objects.filter(number="COV-0001", kind="cover").exists()


def test_rows_become_loads_as_the_forms_store_them(client, day, sheet):
    answer = copy_in(client, sheet, ROW, plant="Mill Lane", mix="PC-610", volume_m3="7 yd3")
    assert answer.status_code == 302, troubles(answer)
    load = Load.objects.get()
    assert (load.number, load.ticket, load.plant, load.state) == (
        "7", "T-88137", "Mill Lane", "arrived",
    )  # fmt: skip
    assert load.volume_m3 == pytest.approx(7 * 0.9144**3)
    assert load.density_kg_m3 == pytest.approx(118.9 * 0.45359237 / 0.3048**3)
    assert load.site_water_l == pytest.approx(2 * 3.785411784)
    assert (load.source, load.sheet_number) == ("paper", sheet.number)
    assert load.written("density_kg_m3") == "118,9" and load.system == "inch_pound"
    assert [move.to_state for move in load.moves.all()] == ["ordered", "arrived"]
    spread = Spread.objects.get()
    assert (spread.lane, spread.load) == ("C", load)
    assert (spread.from_m, spread.to_m) == pytest.approx((51 * 0.3048, 81.5 * 0.3048))
    assert SheetCopy.objects.get().placing_day == day


def test_a_load_in_two_lanes_takes_two_rows(client, day, sheet):
    further = {"number": "7", "lane": "D", "from_m": "0", "to_m": "10"}
    assert copy_in(client, sheet, ROW, further).status_code == 302
    assert list(Load.objects.values_list("number", flat=True)) == ["7"]
    assert sorted(Spread.objects.values_list("lane", flat=True)) == ["C", "D"]


@pytest.mark.parametrize(
    ("rows", "place", "words"),
    [
        ((), "__all__", "Nothing was typed"),
        (({**ROW, "number": ""},), 1, "required"),
        ((ROW, {**ROW, "lane": "D"}), 2, "stands above already"),
        (({**ROW, "to_m": "50"},), 1, "lies beyond"),
        (({**ROW, "discharge_from_at": "08:30"},), 1, "comes before"),
        (({**ROW, "density_kg_m3": "about 120"},), 1, "not a number"),
        (({**ROW, "lane": ""},), 1, "required"),
    ],
    ids=["blank", "no number", "twice", "feet", "clocks", "density", "feet without a lane"],
)
def test_what_cannot_be_read_is_named_at_its_row_and_nothing_is_stored(
    client, sheet, rows, place, words
):
    answer = copy_in(client, sheet, *rows)
    assert answer.status_code == 200 and words in str(troubles(answer)[place])
    assert not Load.objects.exists() and not SheetCopy.objects.exists()
    if rows:
        assert b"T-88137" in answer.content  # what was typed is still there


def test_volume_that_cannot_be_read_is_named_at_the_head(client, sheet):
    answer = copy_in(client, sheet, ROW, volume_m3="seven")
    assert "not a number" in str(troubles(answer)["volume_m3"]) and not Load.objects.exists()


def test_load_that_is_on_the_record_already_is_refused_by_its_number(client, day, sheet):
    LoadFactory(placing_day=day, number="7")
    answer = copy_in(client, sheet, ROW)
    assert "written down already" in str(troubles(answer)[1]) and Load.objects.count() == 1


def test_second_copy_is_a_double_with_its_differences(client, day, sheet):
    copy_in(client, sheet, ROW)
    answer = copy_in(client, sheet, {**ROW, "cover_last_at": "10:17"})
    double = SheetCopy.objects.get(is_double=True)
    assert answer.url == reverse("sheet_copy_page", args=[sheet.number, double.pk])
    assert double.differences == [["Row 1: last foot covered", "10:11", "10:17"]]
    assert Load.objects.count() == 1 and Spread.objects.count() == 1
    page = client.get(answer.url).content.decode()
    assert "10:17" in page and "10:11" in page
    assert reverse("placing_day_page", args=[day.pk]) in page


def test_unreadable_second_copy_is_held_too(client, sheet):
    copy_in(client, sheet, ROW)
    copy_in(client, sheet, {**ROW, "batched_at": "quarter to nine"})
    assert SheetCopy.objects.filter(is_double=True).count() == 1


def test_first_copy_whose_loads_are_void_makes_room(client, day, sheet):
    copy_in(client, sheet, ROW)
    Load.objects.update(void_at="2024-01-01T00:00Z", void_why="wrong day")
    assert copy_in(client, sheet, ROW).url == reverse("placing_day_page", args=[day.pk])
    assert Load.objects.standing().count() == 1
    assert SheetCopy.objects.filter(is_double=False).count() == 1


def test_six_more_rows_keep_what_was_typed(client, sheet):
    answer = copy_in(client, sheet, ROW, more_rows="1")
    assert len(answer.context["copying"].rows) == 12 and b"T-88137" in answer.content
    assert not Load.objects.exists()


def test_blank_sheet_asks_which_day(client, day):
    client.post(reverse("sheet_blank"), {"kind": "load", "paper": "letter", "system": "inch_pound"})
    blank = PrintedSheet.objects.get()
    address = reverse("load_copy_in", args=[blank.number])
    assert f"?day={day.pk}" in client.get(address).content.decode()
    answer = client.post(f"{address}?day={day.pk}", typed(ROW))
    assert answer.status_code == 302 and Load.objects.get().placing_day == day


def test_sheet_of_another_kind_leads_back_to_its_page(client, day):
    other = PrintedSheet.objects.create(
        number="INF-0007", kind="infiltration", pavement=day.pavement, system="si", paper="a4"
    )
    answer = client.get(reverse("load_copy_in", args=[other.number]), follow=True)
    assert "no load sheet" in answer.content.decode()


def test_after_the_hand_over_nothing_is_added_from_paper(client, day, sheet):
    HandOverFactory(pavement=day.pavement, giver=day.entered_for, is_first=True, state="in_effect")
    assert copy_in(client, sheet, ROW).status_code == 403
    page = client.get(reverse("sheet_page", args=[sheet.number])).content.decode()
    assert reverse("load_copy_in", args=[sheet.number]) not in page


def test_another_contractor_neither_prints_nor_copies(client, day, sheet):
    other = factories.MembershipFactory(organisation__usual_role="contractor")
    factories.SeatFactory(organisation=other.organisation, role="contractor", pavement=day.pavement)
    client.force_login(other.person)
    assert client.get(reverse("placing_sheet", args=[day.pk])).status_code == 404
    assert client.get(reverse("load_copy_in", args=[sheet.number])).status_code == 404
