"""A whole spring visit of the north lot: on a 360 px screen, then on paper and copied in.

Both give the same record: the same answers, new defects, states, moves, panels, water, wells and
dirt. Only source, sheet number and the times of entry differ.
"""

from datetime import date

import pytest
from django.urls import reverse
from playwright.sync_api import Page, expect

from registry.actions.print_sheet import print_sheet
from registry.models import ObservationWell, Pavement, PrintedSheet, Visit
from registry.models.choices import Role
from registry.sheets.gathered import content_of
from registry.sheets.printing import draw_sheet, kept_of
from tests.browser.conftest import PHONE
from tests.browser.test_every_page import faults_of
from tests.factories import DefectFactory, MembershipFactory, SeatFactory
from tests.sheets.rows_of_lot import lot_of
from tests.visit_rows import defect_at

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

APART = {
    "id", "pavement", "visit", "defect", "panel", "section", "well", "source", "sheet_number",
    "written_at", "entered_at", "entered_by", "entered_for", "closed_at", "at", "by",
    "by_organisation", "import_batch", "double_of", "source_note",
}  # fmt: skip
"""What two records of one walk do not share: whose rows they are, and how they came in."""


@pytest.fixture
def manager():
    return MembershipFactory(person__shown_system="inch_pound")


def lot_with_defects(manager) -> Pavement:
    """The north lot with four known defects; a lip stands on its accessible route."""
    lot = lot_of()
    SeatFactory(pavement=lot, organisation=manager.organisation, role=Role.MANAGER)
    ObservationWell.objects.create(pavement=lot, name="1", depth_mm=914.4)
    defect_at(lot, "A2 · 5.0 R · 7.5 U", "prints", look={"count": 8})
    defect_at(lot, "C4 whole", "raveling", look={"area_m2": 0.65})
    defect_at(lot, "C8|B8 U 1-10", "lip", on_accessible_route="yes", look={"lip_m": 0.005})
    defect_at(lot, "D7 · 2-9 R · 1-8 U", "clogged", look={"area_m2": 2.0, "water_minutes": 15})
    return lot


def of(lot: Pavement, number: int):
    return lot.defects.get(number=number)


def walk(page: Page, lot: Pavement) -> None:
    """Walk the lot with a thumb, from the pavement's page to the signature."""
    page.get_by_role("link", name="Begin a visit").click()
    page.locator("[name=done_on]").fill("20240418")
    page.locator("[name=started_clock]").fill("9:10")
    page.locator("[name=walked_by]").fill("M. Ferrand")
    page.get_by_label("spring", exact=True).check()
    page.get_by_text("With whom, weather, light").click()
    page.locator("[name=weather]").fill("sun after rain")
    page.locator("[name=air_c]").fill("52")
    page.locator("[name=surface]").select_option("damp")
    page.get_by_role("button", name="Begin the walk").click()
    expect(page.get_by_text("0 of 4 answered.")).to_be_visible()
    press(page, lot, 1, "found")
    press(page, lot, 2, "found", extent="9", severity="moderate")
    press(page, lot, 3, "found", extent="3/8")
    expect(page.locator(".message.is-wrong").first).to_contain_text("over 1/4 in")
    press(page, lot, 4, "not found", good_light="yes")
    note_new(page)
    part(page, "panels", "Store the panels", fill_panels)
    part(page, "water", "Store this part", fill_water)
    page.get_by_role("link", name="Read 1").click()
    page.locator("[name=to_water]").fill("28")
    page.locator("[name=clock]").fill("9:40")
    page.get_by_role("button", name="Store").click()
    part(page, "dirt", "Store this part", fill_dirt)
    part(page, "ground", "Store this part", fill_ground)
    page.locator("#close [name=ended_clock]").fill("10:40")
    page.locator("#close [name=next_due_on]").fill("2024-11")
    page.get_by_role("button", name="Sign and close").click()
    expect(page.get_by_text("The visit is closed: done in part.")).to_be_visible()


def press(page: Page, lot: Pavement, number: int, word: str, **more: str) -> None:
    defect = of(lot, number)
    card = page.locator(f"#d{defect.pk}")
    if more:
        card.locator("summary").click()
    for name, text in more.items():
        field = card.locator(f"[name=d{defect.pk}-{name}]")
        if name in ("severity", "good_light"):
            field.select_option(text)
        else:
            field.fill(text)
    card.get_by_role("button", name=word, exact=True).click()
    expect(page.locator(f"#d{defect.pk}.is-answered")).to_be_visible()


def note_new(page: Page) -> None:
    """Raveling that nobody knew of, from the walk and back to it."""
    page.get_by_role("link", name="Note a new defect").click()
    page.get_by_role("link", name="raveling, area").click()
    page.locator("[name=place]").fill("B3 R 2-4 U 5.0-7.5")
    page.locator("[name=area_m2]").fill("5")
    page.locator("[name=on_accessible_route]").select_option("no")
    page.locator("[name=severity]").select_option("low")
    page.get_by_role("button", name="Store").click()
    expect(page.locator("#new")).to_contain_text("B3 · 2-4 R · 5-7.5 U")


def part(page: Page, name: str, button: str, fill) -> None:
    block = page.locator(f"#{name}")
    if block.get_attribute("open") is None:
        block.locator("summary").first.click()
    fill(block)
    block.get_by_role("button", name=button).click()
    expect(page.get_by_text("Stored.")).to_be_visible()


def fill_panels(block) -> None:
    block.get_by_label("all other panels were walked").check()
    block.get_by_text("all but these").click()
    block.get_by_label("D1", exact=True).check()
    block.get_by_label("D2", exact=True).check()
    block.locator("[name=why]").fill("cars")


def fill_water(block) -> None:
    block.locator("[name=water_stands]").select_option("yes")
    block.locator("[name=water_place]").fill("D6")
    block.locator("[name=water_depth_m]").fill("1/2")
    block.locator("[name=water_minutes]").fill("40")


def fill_dirt(block) -> None:
    block.locator("[name=dirt_from]").fill("bed above D7")
    block.locator("[name=new_kind]").select_option("bed")
    block.locator("[name=new_detail]").fill("above D7")


def fill_ground(block) -> None:
    block.locator("[name=drains]").select_option("clear")
    block.locator("[name=made_safe]").fill("cone at C8")


def printed_for(lot: Pavement) -> PrintedSheet:
    content = content_of(
        "inspection", lot, system="inch_pound", printed_on=date(2024, 4, 10), organisation=None
    )
    return print_sheet(
        kind="inspection",
        draw=lambda number: draw_sheet(content, number=number, public_url="http://x", paper="a4"),
        content=kept_of(content),
        system="inch_pound",
        paper="a4",
        pavement=lot,
        by=None,
        organisation=None,
    ).row


def copy_in(page: Page, lot: Pavement) -> None:
    """Type the same walk from its sheet, top to bottom."""
    write = {
        "done_on": "2024-04-18", "started_clock": "9:10", "ended_clock": "10:40",
        "walked_by": "M. Ferrand", "weather": "sun after rain", "air_c": "52",
        "unseen": "D1 D2: cars", "n0-first": "B3", "n0-second": "2-4", "n0-third": "5.0-7.5",
        "n0-extent": "5", "water_place": "D6", "water_depth_m": "1/2", "water_minutes": "40",
        "dirt_from": "bed above D7", "new_detail": "above D7", "made_safe": "cone at C8",
        "signed_by": "M. Ferrand", "next_due_on": "2024-11",
        f"d{of(lot, 2).pk}-extent": "9", f"d{of(lot, 3).pk}-extent": "3/8",
        f"w{lot.wells.get().pk}-to_water": "28", f"w{lot.wells.get().pk}-clock": "9:40",
    }  # fmt: skip
    choose = {
        "surface": "damp", "n0-kind": "raveling", "n0-severity": "low", "n0-route": "no",
        "water_stands": "yes", "new_kind": "bed", "drains": "clear",
        **{f"d{of(lot, n).pk}-found": "found" for n in (1, 2, 3)},
        f"d{of(lot, 4).pk}-found": "not_found", f"d{of(lot, 4).pk}-good_light": "yes",
        f"d{of(lot, 2).pk}-severity": "moderate",
    }  # fmt: skip
    for name, text in write.items():
        page.locator(f"[name='{name}']").fill(text)
    for name, value in choose.items():
        page.locator(f"[name='{name}']").select_option(value)
    page.get_by_label("spring", exact=True).check()
    page.get_by_label("all other panels were walked").check()
    page.get_by_role("button", name="Store the copy").click()
    expect(page.get_by_text("is copied in.")).to_be_visible()


def told(row) -> dict[str, object]:
    """What a row holds, by column, but for what two records do not share."""
    names = [f.name for f in row._meta.concrete_fields if f.name not in APART]
    return {name: getattr(row, name) for name in names}


def record_of(lot: Pavement) -> dict[str, object]:
    visit = Visit.objects.get(pavement=lot)
    looks = visit.observations.standing().select_related("defect").order_by("defect__number")
    return {
        "visit": told(visit),
        "answers": [{**told(look), "of": look.defect.number} for look in looks],
        "defects": [
            {**told(row), "in": row.panel and row.panel.name}
            for row in lot.defects.order_by("number")
        ],
        "moves": [
            {**told(move), "of": row.number}
            for row in lot.defects.order_by("number")
            for move in row.moves.all()
        ],
        "panels": sorted((p.panel.name, p.is_unseen, p.why) for p in visit.panels.all()),
        "wells": [{**told(row), "of": row.well.name} for row in visit.well_readings.all()],
        "dirt": [told(row) for row in visit.dirt_sources.all()],
    }


def test_a_visit_walked_on_a_phone_and_one_copied_from_paper_give_the_same_record(
    open_page, manager
):
    walked, carried = (lot_with_defects(manager) for _ in range(2))
    page = open_page(reverse("pavement_page", args=[walked.pk]), manager.person, PHONE)
    walk(page, walked)
    sheet = printed_for(carried)
    page.goto(reverse("sheet_copy_in", args=[sheet.number]))
    copy_in(page, carried)
    phone, paper = record_of(walked), record_of(carried)
    assert len(paper["answers"]) == 5 and len(paper["panels"]) == 44
    for part_of in phone:
        assert phone[part_of] == paper[part_of], part_of
    assert Visit.objects.get(pavement=carried).source == "paper"
    assert of(carried, 4).state == "not_found_once"


def test_the_walk_holds_sixty_known_defects_without_a_script(open_page, manager):
    lot = lot_with_defects(manager)
    for nth in range(56):
        DefectFactory(pavement=lot, number=100 + nth, place=f"A{nth % 11 + 1}")
    visit = Visit.objects.create(
        pavement=lot, done_on=date(2024, 4, 18), walked_by="M. F.", entered_for=manager.organisation
    )
    page = open_page(reverse("visit_walk", args=[visit.pk]), manager.person, PHONE)
    page.context.route(
        "**/*.js", lambda route: route.fulfill(body="", content_type="text/javascript")
    )
    page.reload()
    assert faults_of(page, PHONE) == []
    expect(page.get_by_text("0 of 60 answered.")).to_be_visible()
    press(page, lot, 1, "found")
    expect(page.get_by_text("1 of 60 answered.")).to_be_visible()
