"""The spring visit of the demonstration's north lot: on a 360 px screen, then from its sheet.

The town is loaded twice, each time as it comes, and both ways must leave the same record of it,
field by field: answers, new defects with what they are to known ones, states, moves, panels, the
well, water, dirt, photos. Only source, sheet number and the times of entry differ.
"""

import re
from datetime import date

import pytest
from django.core.management import call_command
from django.urls import reverse
from playwright.sync_api import Page, expect

from registry.actions.add_entry import add_entry
from registry.actions.print_sheet import print_sheet
from registry.models import ObservationWell, Pavement, Person, Photo, PrintedSheet, Visit
from registry.models.choices import Role, Source
from registry.sheets.gathered import content_of
from registry.sheets.printing import draw_sheet, kept_of
from tests.browser.conftest import DESK, PHONE
from tests.browser.test_every_page import faults_of
from tests.factories import DefectFactory, MembershipFactory, SeatFactory
from tests.imaging import photos
from tests.imaging.exif_bytes import taken
from tests.sheets.rows_of_lot import lot_of
from tests.visit_rows import defect_at

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

MANAGER = "ines.marlow@brindlecourt.example"
DAY, PRINTED_ON = "2026-05-28", date(2026, 5, 20)
LEVELLED, IN_THE_JOINT, KNOWN_LIP, CLOGGED = 2, 5, 31, 32
"""D-102 and D-118, which the town has open on that day, and two more that are added to it."""
RAVELED, LIP = "C4 R 2-5 U 2-4", "B5|C5 U 2-8"
APART = {
    "id", "pavement", "visit", "defect", "panel", "section", "well", "source", "sheet_number",
    "written_at", "entered_at", "entered_by", "entered_for", "closed_at", "at", "by",
    "by_organisation", "import_batch", "double_of", "source_note",
}  # fmt: skip
"""What two records of one walk do not share: whose rows they are, and how they came in."""


def loaded_lot() -> Pavement:
    """The north lot of a town just loaded, a well and two more defects in it."""
    call_command("flush", interactive=False, verbosity=0)
    call_command("load_demo", verbosity=0)
    lot = Pavement.objects.get(numbers__number="BC-01")
    manager = Person.objects.get(email=MANAGER)
    organisation = manager.memberships.get().organisation
    well = ObservationWell(pavement=lot, name="1", depth_mm=914.4)
    add_entry(well, by=manager, organisation=organisation)
    add_known(lot, KNOWN_LIP, "B2|A2 U 1-10", "lip", on_accessible_route="yes", lip_m=0.005)
    add_known(lot, CLOGGED, "D3 · 2-9 R · 1-8 U", "clogged", area_m2=2.0, water_minutes=15)
    return lot


def add_known(lot: Pavement, number: int, place: str, kind: str, **fields: object) -> None:
    """A defect seen a year before."""
    route = fields.pop("on_accessible_route", "")
    given = {"first_seen_on": date(2025, 6, 2), "on_accessible_route": route}
    row = defect_at(lot, place, kind, look=fields, **given)
    lot.defects.filter(pk=row.pk).update(number=number)


def of(lot: Pavement, number: int):
    return lot.defects.get(number=number)


def walk(page: Page, lot: Pavement) -> None:
    """Walk the lot from its page to the signature; every page of it fits and can be pressed."""
    page.get_by_role("link", name="Begin a visit").click()
    page.locator("[name=done_on]").fill(DAY)
    sound(page)
    page.locator("[name=started_clock]").fill("8:05")
    page.locator("[name=walked_by]").fill("Tom Fenwright")
    page.get_by_label("spring", exact=True).check()
    page.get_by_text("With whom, weather, light").click()
    page.locator("[name=walked_with]").fill("I. Marlow")
    page.locator("[name=weather]").fill("clear after showers")
    page.locator("[name=air_c]").fill("61")
    page.locator("[name=surface]").select_option("damp")
    page.get_by_role("button", name="Begin the walk").click()
    expect(page.get_by_text("0 of 4 answered.")).to_be_visible()
    sound(page)
    press(page, lot, LEVELLED, "found", extent="8", severity="low")
    press(page, lot, IN_THE_JOINT, "could not look", why_not="car on it")
    press(page, lot, KNOWN_LIP, "found", extent="3/8")
    expect(page.locator(".message.is-wrong").first).to_contain_text("over 1/4 in")
    press(page, lot, CLOGGED, "not found", good_light="yes")
    note_part_of_known(page, lot)
    note_lip(page)
    part(page, "panels", "Store the panels", fill_panels)
    part(page, "water", "Store this part", fill_water)
    page.get_by_role("link", name="Read 1").click()
    page.locator("[name=to_water]").fill("31")
    page.locator("[name=clock]").fill("8:40")
    page.get_by_role("button", name="Store").click()
    part(page, "dirt", "Store this part", fill_dirt)
    part(page, "ground", "Store this part", fill_ground)
    page.get_by_role("link", name="Add photos").click()
    send_photo(page)
    expect(page.get_by_text("4 of 4 answered.")).to_be_visible()
    sound(page)
    page.locator("#close [name=ended_clock]").fill("9:50")
    page.locator("#close [name=next_due_on]").fill("2026-10")
    page.get_by_role("button", name="Sign and close").click()
    expect(page.get_by_text("The visit is closed")).to_be_visible()


def sound(page: Page) -> None:
    assert faults_of(page, PHONE if page.viewport_size == PHONE else DESK) == []


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


def part(page: Page, name: str, button: str, fill) -> None:
    page.wait_for_load_state()
    block = page.locator(f"#{name}")
    if block.get_attribute("open") is None:
        block.locator("summary").first.click()
    fill(block)
    block.get_by_role("button", name=button).click()
    expect(page.get_by_text("Stored.")).to_be_visible()


def note_part_of_known(page: Page, lot: Pavement) -> None:
    """Raveling within a known one: asked whether it is known, a person says what it is."""
    fill_new(page, "raveling, area", place=RAVELED, area_m2="3")
    page.locator("[name=severity]").select_option("moderate")
    page.get_by_role("button", name="Store").click()
    expect(page.get_by_role("heading", name="Is it known already?")).to_be_visible()
    sound(page)
    page.locator(f"input[value=part_of-{of(lot, LEVELLED).pk}]").check()
    page.get_by_role("button", name="Store").click()
    expect(page.locator("#new")).to_contain_text("C4 · 2-5 R · 2-4 U")


def note_lip(page: Page) -> None:
    """A lip over 1/4 in on an accessible route asks to be made safe the same day."""
    fill_new(page, "lip at a joint, root lift", place=LIP, lip_m="3/8")
    page.locator("[name=on_accessible_route]").select_option("yes")
    page.get_by_role("button", name="Store").click()
    expect(page.locator("#new .message.is-wrong")).to_contain_text("Make it safe today.")


def fill_new(page: Page, kind: str, **fields: str) -> None:
    page.get_by_role("link", name="Note a new defect").click()
    page.get_by_role("link", name=kind).first.click()
    sound(page)
    for name, text in fields.items():
        page.locator(f"[name={name}]").fill(text)


def fill_panels(block) -> None:
    block.get_by_label("all other panels were walked").check()
    block.get_by_text("all but these").click()
    block.get_by_label("A1", exact=True).check()
    block.get_by_label("B8", exact=True).check()
    block.locator("[name=why]").fill("cars")


def fill_water(block) -> None:
    block.locator("[name=water_stands]").select_option("yes")
    block.locator("[name=water_place]").fill("D1")
    block.locator("[name=water_depth_m]").fill("1/4")
    block.locator("[name=water_minutes]").fill("30")
    block.locator("[name=ran_off]").select_option("yes")
    block.locator("[name=ran_off_place]").fill("over the curb at A1")
    block.locator("[name=rain_mm]").fill("0.8")
    block.locator("[name=rain_hours]").fill("2")


def fill_dirt(block) -> None:
    block.locator("[name=dirt_from]").fill("aisle along D")
    block.locator("[name=new_kind]").select_option("bed")
    block.locator("[name=new_detail]").fill("beside D3")


def fill_ground(block) -> None:
    block.locator("[name=drains]").select_option("clear")
    block.locator("[name=made_safe]").fill("cone and tape at C5")
    block.locator("[name=winter_damage]").fill("none seen")


def send_photo(page: Page) -> None:
    """Send a photo of the lip, as the telephone stored it, from the walk or for the sheet."""
    data = photos.jpeg(photos.quarters(320, 240), exif=taken("2026:05:28 08:31:00"))
    file = {"name": "IMG_0417.jpg", "mimeType": "image/jpeg", "buffer": data}
    page.get_by_label("photos").set_input_files([file])
    page.locator("[name=subject]").select_option("defect")
    page.locator("[name=defect]").select_option(label=option_of(page, "lip"))
    page.get_by_role("button", name="Send").click()


def option_of(page: Page, word: str) -> str:
    """The defect noted last of those called so."""
    options = page.locator("[name=defect] option", has_text=word)
    expect(options).to_have_count(2)
    return options.last.inner_text().strip()


def sheet_of(lot: Pavement) -> PrintedSheet:
    """The inspection sheet as the manager prints it a week before."""
    manager = Person.objects.get(email=MANAGER)
    organisation = manager.memberships.get().organisation
    content = content_of(
        "inspection", lot, system="inch_pound", printed_on=PRINTED_ON, organisation=organisation
    )
    return print_sheet(
        kind="inspection",
        draw=lambda number: draw_sheet(
            content, number=number, public_url="http://x", paper="letter"
        ),
        content=kept_of(content),
        system="inch_pound",
        paper="letter",
        pavement=lot,
        by=manager,
        organisation=organisation,
    ).row


def copy_in(page: Page, lot: Pavement) -> None:
    """Type the same walk from its sheet, top to bottom, and answer what is asked of a new one."""
    known, joint = (of(lot, number).pk for number in (LEVELLED, IN_THE_JOINT))
    lip, clogged = (of(lot, number).pk for number in (KNOWN_LIP, CLOGGED))
    well = lot.wells.get().pk
    write = {
        "done_on": DAY, "started_clock": "8:05", "ended_clock": "9:50",
        "walked_by": "Tom Fenwright", "walked_with": "I. Marlow",
        "weather": "clear after showers", "air_c": "61", "unseen": "A1 B8: cars",
        "n0-first": "C4", "n0-second": "2-5", "n0-third": "2-4", "n0-extent": "3",
        "n1-first": "B5|C5", "n1-third": "2-8", "n1-extent": "3/8",
        "water_place": "D1", "water_depth_m": "1/4", "water_minutes": "30",
        "ran_off_place": "over the curb at A1", "rain_mm": "0.8", "rain_hours": "2",
        "dirt_from": "aisle along D", "new_detail": "beside D3",
        "made_safe": "cone and tape at C5", "winter_damage": "none seen",
        "signed_by": "Tom Fenwright", "next_due_on": "2026-10",
        f"d{known}-extent": "8", f"d{joint}-why_not": "car on it",
        f"d{lip}-extent": "3/8", f"w{well}-to_water": "31", f"w{well}-clock": "8:40",
    }  # fmt: skip
    choose = {
        "surface": "damp", "water_stands": "yes", "ran_off": "yes", "new_kind": "bed",
        "drains": "clear",
        "n0-kind": "raveling", "n0-severity": "moderate",
        "n1-kind": "lip", "n1-route": "yes",
        f"d{known}-found": "found", f"d{known}-severity": "low",
        f"d{joint}-found": "could_not_look", f"d{lip}-found": "found",
        f"d{clogged}-found": "not_found", f"d{clogged}-good_light": "yes",
    }  # fmt: skip
    for name, text in write.items():
        page.locator(f"[name='{name}']").fill(text)
    for name, value in choose.items():
        page.locator(f"[name='{name}']").select_option(value)
    page.get_by_label("spring", exact=True).check()
    page.get_by_label("all other panels were walked").check()
    page.get_by_role("button", name="Store the copy").click()
    page.locator(f"input[value=part_of-{known}]").check()
    sound(page)
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


def whole_record(lot: Pavement) -> dict[str, object]:
    """The record of the one visit, with links and photos, told without whose rows they are."""
    apart = {"file", "site", "other", "observation"}
    shown = Photo.objects.filter(visit__pavement=lot).select_related("defect", "panel", "file")
    return record_of(lot) | {
        "links": sorted(
            (link.defect.number, link.relation, link.other.number, link.on)
            for row in lot.defects.all()
            for link in row.links.all()
        ),
        "photos": [
            {name: value for name, value in told(row).items() if name not in apart}
            | {"of": row.defect.number, "bytes": row.file.sha256}
            for row in shown
        ],
    }


@pytest.mark.slow
def test_north_lot_walked_on_a_phone_and_copied_from_paper_is_one_and_the_same_record(open_page):
    lot = loaded_lot()
    manager = Person.objects.get(email=MANAGER)
    page = open_page(reverse("pavement_page", args=[lot.pk]), manager, PHONE)
    walk(page, lot)
    expect(page.locator("#photos")).to_be_visible()
    sound(page)
    phone = whole_record(lot)

    lot = loaded_lot()
    sheet = sheet_of(lot)
    manager = Person.objects.get(email=MANAGER)
    page = open_page(reverse("sheet_copy_in", args=[sheet.number]), manager, DESK)
    copy_in(page, lot)
    visit = lot.visits.get()
    page.goto(f"{reverse('photo_add', args=[lot.pk])}?visit={visit.pk}")
    send_photo(page)
    expect(page.get_by_text(re.compile("2026:05:28 08:31:00"))).to_be_visible()
    paper = whole_record(lot)

    assert len(paper["answers"]) == 6 and len(paper["panels"]) == 44
    assert len(paper["photos"]) == len(paper["wells"]) == len(paper["dirt"]) == 1
    for part_of in phone:
        assert phone[part_of] == paper[part_of], part_of
    assert visit.source == Source.PAPER and visit.next_due_on == date(2026, 10, 1)
    assert of(lot, CLOGGED).state == "not_found_once"


def test_the_walk_holds_sixty_known_defects_without_a_script(open_page):
    manager = MembershipFactory(person__shown_system="inch_pound")
    lot = lot_of()
    SeatFactory(pavement=lot, organisation=manager.organisation, role=Role.MANAGER)
    defect_at(lot, "C4 whole", "raveling", look={"area_m2": 0.65})
    for nth in range(59):
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
