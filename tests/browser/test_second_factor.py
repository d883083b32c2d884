"""The pages behind the password: each is accessible and fits, on a phone and on a desk."""

import pytest
from allauth.mfa.totp.internal import auth as totp
from django.urls import reverse

from tests.browser.conftest import DESK, PHONE
from tests.browser.test_every_page import faults_of
from tests.factories import PersonFactory

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
PASSWORD = "rain on the stone"


def faults_at_both(page) -> list[str]:
    found = []
    for size in (PHONE, DESK):
        page.set_viewport_size(size)
        found += [f"{page.url}: {fault}" for fault in faults_of(page, size)]
    return found


def sign_in(page, root: str) -> None:
    page.goto(root + reverse("mfa_index"))
    page.get_by_label("E-mail address").fill("ann@example.org")
    page.get_by_label("Password").fill(PASSWORD)
    page.keyboard.press("Enter")


def code_of(secret: str, steps: int = 0) -> str:
    counter = next(iter(totp.yield_hotp_counters_from_time())) + steps
    return totp.format_hotp_value(totp.hotp_value(secret, counter))


def test_pages_of_the_second_factor_are_accessible_and_fit(open_page):
    PersonFactory(email="ann@example.org", password=PASSWORD)
    page = open_page(reverse("account_login"), size=PHONE)
    root = page.url.removesuffix(reverse("account_login"))
    sign_in(page, root)
    page.get_by_role("link", name="Turn it on").click()
    faults = faults_at_both(page)  # asks for the password anew
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Go on").click()
    faults += faults_at_both(page)
    secret = page.locator("code").inner_text()
    page.get_by_label("code", exact=False).last.fill(code_of(secret))
    page.get_by_role("button", name="Turn it on").click()
    page.get_by_role("heading", name="Recovery codes").wait_for()
    faults += faults_at_both(page)
    for name in ("mfa_index", "mfa_generate_recovery_codes", "mfa_deactivate_totp"):
        page.goto(root + reverse(name))
        faults += faults_at_both(page)
    page.context.clear_cookies()
    sign_in(page, root)
    page.wait_for_url(f"**{reverse('mfa_authenticate')}**")
    faults += faults_at_both(page)
    assert faults == []
