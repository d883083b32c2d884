"""A spreadsheet on the page in a real browser: chosen, watched while it is read, stored."""

from collections.abc import Callable
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.urls import reverse
from playwright.sync_api import Page, expect

from registry.actions.work_on_import import work_on_import
from registry.models import ImportBatch, InfiltrationTest
from tests.browser.conftest import DESK, PHONE
from tests.exchange.folders import folder, pavement, run
from tests.factories import MembershipFactory

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


def assert_accessible(page: Page) -> None:
    page.wait_for_load_state()
    found = Axe().run(page)
    assert found.violations_count == 0, found.generate_report()


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_a_spreadsheet_is_watched_and_stored(
    open_page: Callable[..., Page], tmp_path: Path, size: object
):
    member = MembershipFactory()
    wet = run(point="T2", rain_within_24_h="yes")
    files = folder(tmp_path / "in", pavements=(pavement(),), runs=(run(), wet))
    page = open_page(reverse("import_page"), person=member.person, size=size)
    assert_accessible(page)
    page.get_by_label("files").set_input_files([str(p) for p in sorted(files.iterdir())])
    page.get_by_role("button", name="Have it read").click()
    expect(page.get_by_text("It waits for its turn.")).to_be_visible()
    assert_accessible(page)
    work_on_import(ImportBatch.objects.get().pk)
    store = page.get_by_role("button", name="Store all of it")
    expect(store).to_be_visible(timeout=10_000)  # the page renews itself
    assert_accessible(page)
    width = page.evaluate("document.documentElement.scrollWidth - window.innerWidth")
    assert width <= 0
    page.screenshot(path=str(tmp_path / "found.png"), full_page=True)
    store.click()
    expect(store).to_have_count(0)
    work_on_import(ImportBatch.objects.get().pk)
    expect(page.get_by_role("heading", name="Take back")).to_be_visible(timeout=10_000)
    assert_accessible(page)
    assert InfiltrationTest.objects.count() == 2


def test_taking_out_is_a_link_that_loads(open_page: Callable[..., Page]):
    page = open_page(reverse("export_page"), person=MembershipFactory().person)
    assert_accessible(page)
