"""Every page, in a real browser: WCAG 2.2 AA, nothing sideways, no error.

The pages are the rows of the access table, so a new page is looked at here without another line.
"""

from http import HTTPStatus

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.test import Client
from django.urls import reverse

from tests.browser.conftest import DESK, PHONE
from tests.browser.test_people import small_targets
from tests.views.cast import World, world
from tests.views.test_access_table import ROWS

__all__ = ["world"]  # a fixture is found by its name here

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
AXE = {
    "resultTypes": ["violations"],
    "runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
}
SIDEWAYS = "document.documentElement.scrollWidth - document.documentElement.clientWidth"


LOOKING = ("manager", "contractor in warranty", "sweeper", "municipality")
"""Each looks at the pages that nobody named before may open."""
OUT = "account_logout"


def addresses_of(world: World, name: str) -> set[str]:
    rows = [row for row in ROWS if row["method"] == "GET" and row[name] == str(HTTPStatus.OK.value)]
    return {
        reverse(row["url_name"], args=world.subjects[row["about"]])
        for row in rows
        if row["url_name"] != OUT  # pressing is what signs out
    }


def pages_of(world: World, name: str) -> list[str]:
    """Return the addresses that answer one of the cast with a page; files and data are no pages."""
    client = Client()
    client.force_login(world.people[name])
    before = (addresses_of(world, one) for one in LOOKING[: LOOKING.index(name)])
    addresses = addresses_of(world, name).difference(*before)
    pages = [path for path in sorted(addresses) if is_page(client, path)]
    return [*pages, reverse(OUT)] if name == LOOKING[0] else pages


def is_page(client: Client, path: str) -> bool:
    response = client.get(path)
    response.close()
    return response.headers["Content-Type"].startswith("text/html")


def faults_of(page, size) -> list[str]:
    page.wait_for_load_state()
    found = [
        f"{v['id']}: {node['html'][:120]}"
        for v in Axe().run(page, options=AXE).response["violations"]
        for node in v["nodes"]
    ]
    if (sideways := page.evaluate(SIDEWAYS)) > 0:
        found.append(f"{sideways} px sideways")
    if size == PHONE:
        found += [f"too low to press: {html}" for html in small_targets(page)]
    return found


@pytest.mark.parametrize("name", LOOKING)
def test_every_page_is_accessible_and_fits(open_page, world, name):
    """Each page is fetched once, on a phone, and then made as wide as a desk."""
    paths = pages_of(world, name)
    assert paths
    page = open_page(paths[0], person=world.people[name], size=PHONE)
    faults = {}
    for path in paths:
        page.set_viewport_size(PHONE)
        assert page.goto(path).ok, path
        found = faults_of(page, PHONE)
        page.set_viewport_size(DESK)
        if found := [*found, *faults_of(page, DESK)]:
            faults[path] = found
    assert faults == {}
