"""A claim on a replaced panel rests on the concrete that lay there at the notice, on no other."""

import json
from datetime import UTC, date, datetime

import pytest
from django.urls import reverse

from registry.actions.replace_panel import replace_panel
from registry.dossier import record_json
from registry.exchange import recheck
from registry.gathering.dossier_book import book_of, whole_record
from registry.models import RaveledShare
from registry.sheets.dossier_front import front_of
from tests.claim_rows import NOBODY, notice, terms
from tests.factories import MembershipFactory, SeatFactory
from tests.placing_factories import (
    CoreFactory,
    LoadFactory,
    PlacingDayFactory,
    RaveledShareFactory,
    RepairFactory,
    SpreadFactory,
    WinterEntryFactory,
)
from tests.placing_rows import SIDE_M, north_lot

pytestmark = pytest.mark.django_db
NEW_ON, NOTICE = date(2025, 5, 14), datetime(2026, 5, 29, 14, tzinfo=UTC)
MISSING = "no placing record of this concrete"


@pytest.fixture
def warranty():
    return terms(pavement=north_lot())


def claim(warranty, *panels):
    """Return a claim of 2026 on panels of which C8 was replaced in 2025, with looks at each."""
    lot = warranty.pavement
    old = lot.panels.get(name="C8")
    replace_panel(old, placed_on=NEW_ON, why="settled", **NOBODY)
    RaveledShareFactory(pavement=lot, panel="C8", looked_on=date(2026, 5, 19), share=0.07)
    WinterEntryFactory(pavement=lot, done_on=date(2024, 1, 8), panels=["C8"], deicer="sodium")
    repair = RepairFactory(pavement=lot, panels=["C8"], number="CB-5/1", in_on=NEW_ON)
    row = notice(warranty, number="CB-8", panels=list(panels), received_at=NOTICE)
    CoreFactory(callback=row, pavement=lot, panel="C8", taken_on=date(2024, 8, 1))
    return row, repair


def pour_again(repair, number="R1"):
    """Store the placing day of the new panel, the whole of it one load."""
    day = PlacingDayFactory(pavement=repair.pavement, repair=repair, placed_on=NEW_ON)
    load = LoadFactory(placing_day=day, number=number, state="placed")
    SpreadFactory(load=load, lane="C", from_m=7 * SIDE_M, to_m=8 * SIDE_M)


def page_of(client, row):
    seat = SeatFactory(pavement=row.pavement, role="owner")
    client.force_login(MembershipFactory(organisation=seat.organisation).person)
    type(row.pavement.repairs.get()).objects.update(state="accepted")
    answer = client.get(reverse("callback_panels", args=[row.pk]))
    return {file.panel: file for file in answer.context["files"]}, answer.content.decode()


def test_evidence_of_a_replaced_panel_is_that_of_its_own_pour(client, warranty):
    row, repair = claim(warranty, "C8")
    pour_again(repair)
    files, page = page_of(client, row)
    file = files["C8"]
    assert file.loads == "R1 (100%)"
    assert [(look.on, look.raveled) for look in file.looks] == [(date(2026, 5, 19), 0.07)]
    signs = {one.code: one for one in file.filled}
    assert signs["at_entrance"].found is None  # the salt of 2024 lay on the old concrete
    assert "No core was taken here" in signs["core_density_low"].why
    assert "new concrete of repair CB-5/1, placed 2025-05-14" in page


def test_where_the_new_concrete_has_no_placing_record_the_page_says_so(client, warranty):
    row, _ = claim(warranty, "C8")
    files, page = page_of(client, row)
    assert files["C8"].loads == files["C8"].lags == ""
    assert "No placing record of this concrete" in page
    assert [look.on for look in files["C8"].looks] == [date(2026, 5, 19)]


def test_each_panel_of_a_claim_on_two_pours_rests_on_its_own(client, warranty):
    row, repair = claim(warranty, "C8", "C9")
    pour_again(repair, number="8")
    files, _ = page_of(client, row)
    assert list(files) == ["C8", "C9"]
    assert (files["C8"].loads, files["C8"].lags) == ("8 (100%)", "not known")
    assert (files["C9"].loads, files["C9"].lags) == ("8 (100%)", "49 min")  # another load 8
    assert len(files["C9"].looks) == 3


def test_dossier_of_a_replaced_panel_holds_the_new_pour_alone(warranty):
    row, repair = claim(warranty, "C8")
    pour_again(repair)
    book = book_of(row, whole_record(row), {}, system="inch_pound", prepared="")
    assert list(book.of("panels")) == ["C8"] and list(book.of("loads")) == ["R1"]
    assert [book.read("looks", one, "on") for one in book.of("looks")] == ["2026-05-19"]
    front = front_of(book)
    assert front.findings[0][4] == "R1"
    assert "new concrete of repair CB-5/1" in dict(front.facts)["panels claimed"]
    record = json.loads(record_json(book, {}))
    told = {"rows": record["rows"], "figures": {}}
    for name, figure in record["figures"].items():
        assert not recheck.judge_figure(told, figure), name
        told["figures"][name] = figure


def test_dossier_says_that_the_new_concrete_has_no_placing_record(warranty):
    row, _ = claim(warranty, "C8")
    book = book_of(row, whole_record(row), {}, system="inch_pound", prepared="")
    assert not book.of("loads") and not book.of("placing_days")
    front = front_of(book)
    assert front.findings[0][4] == MISSING
    assert MISSING in front.numbers[0].lower()


def test_dossier_of_two_pours_is_of_most_panels_and_names_the_others(warranty):
    row, repair = claim(warranty, "C8", "C9", "C10")
    pour_again(repair)
    book = book_of(row, whole_record(row), {}, system="inch_pound", prepared="")
    assert "C8" not in book.of("panels") and "R1" not in book.of("loads")
    assert "new concrete of repair CB-5/1" in book.not_given["panel C8 placing"]
    findings = {one[0]: one for one in front_of(book).findings}
    assert findings["C8"][1:5] == ("", "", "", "other concrete, annex I")
    assert findings["C9"][4]
    assert "gone before the notice" in book.not_given["yield"]


def test_looks_at_the_new_concrete_are_none_at_loads_of_the_first(client, warranty):
    row, _ = claim(warranty, "C8")
    page_of(client, row)
    looks = client.get(reverse("load_panels", args=[row.pavement_id])).context["looks"]
    assert date(2026, 5, 19) not in {look.on for look in looks}
    assert RaveledShare.objects.filter(looked_on="2026-05-19").exists()
