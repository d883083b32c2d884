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
NOT_LOOKED_AT = {
    "account_login": "leads on: each of the cast has signed in; it has a test of its own below",
    "account_set_password": "leads on: each of the cast has signed in",
    "dossier_file": "a file, and none is made of the dossier of the cast",
    "mfa_activate_totp": "asks for the password anew first: test_second_factor.py",
    "mfa_authenticate": "stands between password and code alone",
    "mfa_deactivate_totp": "is there with a second factor alone",
    "mfa_download_recovery_codes": "a file, and there with a second factor alone",
    "mfa_generate_recovery_codes": "is there with a second factor alone",
    "mfa_reauthenticate": "leads on where there is no second factor",
    "mfa_view_recovery_codes": "is there with a second factor alone",
    "photo_flat": "a picture, and none is kept of the photo of the cast",
    "sheet_open": "leads on to the pavement or the page of the sheet",
    "visit_close": "leads back to the walk; what it refuses is told there",
    "work_order_check": "is there once an order is done, and that of the cast is not",
}
"""Names of addresses that are read, and that nobody of LOOKING is answered with a page by; why."""


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


def test_pages_that_are_not_looked_at_are_those_named_here():
    read = [row for row in ROWS if row["method"] == "GET"]
    refused = str(HTTPStatus.METHOD_NOT_ALLOWED.value)
    pages = {row["url_name"] for row in read if all(row[one] != refused for one in LOOKING)}
    seen = {row["url_name"] for row in read for one in LOOKING if row[one] == "200"}
    assert pages - seen == set(NOT_LOOKED_AT)


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


@pytest.mark.parametrize("size", [PHONE, DESK])
def test_page_of_signing_in_is_accessible_and_fits(open_page, size):
    assert faults_of(open_page(reverse("account_login"), size=size), size) == []
