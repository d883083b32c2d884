"""Things done by a press in a real browser: each is done once, seen on the page, and kept."""

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from registry.actions.judge_tests import judge_tests
from registry.actions.work_on_import import work_on_import
from registry.models import ImportBatch, InfiltrationTest, Membership, PrintedSheet, Seat
from registry.models.choices import Role
from tests.browser.conftest import DESK, PHONE
from tests.browser.test_people import PASSWORD
from tests.exchange.folders import folder, pavement, run
from tests.factories import (
    InfiltrationTestFactory,
    InvitationFactory,
    MembershipFactory,
    OrganisationFactory,
    SeatFactory,
    SpotFactory,
)

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def member():
    return MembershipFactory()


def send(page, files):
    page.goto(reverse("import_page"))
    page.get_by_label("files").set_input_files([str(p) for p in sorted(files.iterdir())])
    page.get_by_role("button", name="Have it read").click()
    expect(page.get_by_text("It waits for its turn.")).to_be_visible()
    work_on_import(ImportBatch.objects.latest("pk").pk)


def store(page):
    page.get_by_role("button", name="Store all of it").click(timeout=15_000)
    expect(page.get_by_role("button", name="Store all of it")).to_have_count(0)
    work_on_import(ImportBatch.objects.latest("pk").pk)


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_import_is_taken_back_by_a_press(open_page, member, tmp_path, size):
    files = folder(tmp_path / "in", pavements=(pavement(),), runs=(run(),))
    page = open_page(reverse("import_page"), member.person, size=size)
    send(page, files)
    store(page)
    page.get_by_label("because").fill("wrong folder", timeout=15_000)
    page.get_by_role("button", name="Take it back").click()
    expect(page.get_by_role("button", name="Take it back")).to_have_count(0)
    work_on_import(ImportBatch.objects.get().pk)
    expect(page.locator("main")).to_contain_text("taken back", timeout=15_000)
    assert InfiltrationTest.objects.standing().count() == 0


def test_same_files_twice_change_nothing_and_say_so(open_page, member, tmp_path):
    files = folder(tmp_path / "in", pavements=(pavement(),), runs=(run(),))
    page = open_page(reverse("import_page"), member.person)
    send(page, files)
    store(page)
    expect(page.get_by_role("heading", name="Take back")).to_be_visible(timeout=15_000)
    page.goto(reverse("import_page"))
    page.get_by_label("files").set_input_files([str(p) for p in sorted(files.iterdir())])
    page.get_by_role("button", name="Have it read").click()
    expect(page.locator("main")).to_contain_text("The same spreadsheet came in")
    expect(page.locator("main")).to_contain_text("Nothing was changed.")
    assert ImportBatch.objects.count() == 1
    assert InfiltrationTest.objects.count() == 1


def test_doubt_is_answered_by_a_press(open_page, member):
    seat = SeatFactory(organisation=member.organisation, role=Role.MANAGER)
    row = InfiltrationTestFactory(
        pavement=seat.pavement,
        entered_for=member.organisation,
        rain_within_24_h="yes",
        prewet_seconds=60.0,
        water=3.63,
    )
    judge_tests([seat.pavement_id])
    row.refresh_from_db()
    assert row.has_open_doubts
    page = open_page(reverse("infiltration_test_page", args=[row.pk]), member.person, size=PHONE)
    page.locator("summary", has_text="Answer it").first.click()
    page.get_by_label("who answered, and what").first.fill("R. Vane: written in kg by slip")
    page.get_by_role("button", name="Keep the answer").first.click()
    expect(page.locator("main")).to_contain_text("R. Vane: written in kg by slip")
    row.refresh_from_db()
    assert len(row.answers) == 1


def test_tester_is_appointed_by_a_press(open_page, member):
    seat = SeatFactory(organisation=member.organisation, role=Role.OWNER)
    OrganisationFactory(name="Ringwork Testing")
    page = open_page(reverse("seat_add", args=[seat.pavement_id]), member.person, size=PHONE)
    page.get_by_label("Seat", exact=False).first.select_option(Role.TESTER)
    page.get_by_label("Organisation", exact=False).first.fill("Ringwork Testing")
    page.locator("main form button:not([type=button])").last.click()
    expect(page.get_by_text("Ringwork Testing").first).to_be_visible()
    assert Seat.objects.get(role=Role.TESTER).organisation.name == "Ringwork Testing"


def test_new_person_takes_up_an_invitation(open_page):
    invitation = InvitationFactory(token="t", email="new@example.org")
    page = open_page(reverse("invitation_accept", args=["t"]), size=PHONE)
    page.get_by_label("Your name").fill("New Person")
    page.get_by_label("Password", exact=False).first.fill(PASSWORD)
    page.get_by_label("The same password again").fill(PASSWORD)
    page.locator("main form button:not([type=button])").last.click()
    page.wait_for_url(lambda url: "/t/" not in url)
    taken = Membership.objects.get(organisation=invitation.organisation)
    assert taken.person.email == "new@example.org"
    page.goto(reverse("home"))
    expect(page.get_by_role("heading", level=1, name="What needs me now")).to_be_visible()


def test_blank_inspection_sheet_is_printed(open_page, member):
    seat = SeatFactory(organisation=member.organisation, role=Role.MANAGER)
    SpotFactory(pavement=seat.pavement, name="M")
    address = reverse("sheet_print", args=[seat.pavement_id])
    page = open_page(address, member.person, size=DESK)
    page.get_by_label("inspection sheet").check()
    page.get_by_label("blank", exact=False).first.check()
    fields = page.locator("main form").first.evaluate(
        "form => Object.fromEntries(new FormData(form))"
    )
    answer = page.context.request.post(page.url, form=fields, headers={"Referer": page.url})
    assert (answer.status, answer.body()[:5]) == (200, b"%PDF-")
    assert PrintedSheet.objects.get().pavement is None, "nothing of a pavement stands on it"
