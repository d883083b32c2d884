"""Signing in, the second factor and the pages of people, in a real browser at 360 px."""

import pytest
from allauth.mfa.totp.internal import auth as totp
from django.urls import reverse
from playwright.sync_api import expect

from registry.models.choices import Role
from tests.browser.conftest import PHONE
from tests.factories import (
    InvitationFactory,
    MembershipFactory,
    OrganisationFactory,
    PersonFactory,
    SeatFactory,
)

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
PASSWORD = "rain on the stone"
TARGET_PX = 44
PRESSED = "main :is(a, button, input:not([type=hidden]), select, textarea, summary)"
SMALL = """all => all
    .filter(e => e.offsetParent && !(e.matches('a') && e.closest('p:not(.press-row)')))
    .filter(e => Math.max(...[e, ...(e.labels || [])]
        .map(part => part.getBoundingClientRect().height)) < %d)
    .map(e => e.outerHTML.slice(0, 90))"""


def small_targets(page) -> list[str]:
    """Return what can be pressed and is too low; a box counts with its label.

    Links inside a sentence are let be, as WCAG 2.2 does (2.5.8, inline).
    """
    return page.eval_on_selector_all(PRESSED, SMALL % TARGET_PX)


def is_as_wide_as_the_phone(page) -> bool:
    return page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")


def test_person_signs_in_by_keyboard_and_is_asked_again_before_the_second_factor(open_page):
    PersonFactory(email="ann@example.org", password=PASSWORD)
    page = open_page(f"{reverse('account_login')}?next={reverse('mfa_index')}", size=PHONE)
    page.get_by_label("E-mail address").fill("ann@example.org")
    page.keyboard.press("Tab")
    page.keyboard.type(PASSWORD)
    page.keyboard.press("Enter")
    page.get_by_role("link", name="Turn it on").click()
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Go on").click()
    square = page.get_by_role("img", name="Square code")
    expect(square).to_be_visible()
    assert square.evaluate("image => image.complete && image.naturalWidth > 0")
    secret = page.locator("code").inner_text()
    counter = next(iter(totp.yield_hotp_counters_from_time()))
    code = totp.format_hotp_value(totp.hotp_value(secret, counter))
    page.get_by_label("code", exact=False).last.fill(code)
    page.get_by_role("button", name="Turn it on").click()
    expect(page.get_by_role("heading", name="Recovery codes")).to_be_visible()


@pytest.mark.parametrize("name", ["account_login", "account_reset_password"])
def test_pages_before_signing_in_fit_a_thumb(open_page, name):
    page = open_page(reverse(name), size=PHONE)
    assert small_targets(page) == []
    assert is_as_wide_as_the_phone(page)


def test_invitation_fits_a_thumb(open_page):
    InvitationFactory(token="t")
    page = open_page(reverse("invitation_accept", args=["t"]), size=PHONE)
    assert small_targets(page) == []
    assert is_as_wide_as_the_phone(page)


def test_pages_of_people_and_seats_fit_a_thumb(open_page):
    member = MembershipFactory(may_invite=True)
    seat = SeatFactory(organisation=member.organisation, role=Role.OWNER)
    tester = SeatFactory(
        pavement=seat.pavement, role=Role.TESTER, organisation=OrganisationFactory()
    )
    InvitationFactory(organisation=member.organisation, invited_by=member.person)
    page = open_page(reverse("person_page"), member.person, size=PHONE)
    for name, args in [
        ("person_page", []),
        ("organisation_list", []),
        ("organisation_page", [member.organisation_id]),
        ("invitation_add", [member.organisation_id]),
        ("account_change_password", []),
        ("seat_list", [seat.pavement_id]),
        ("seat_add", [seat.pavement_id]),
        ("seat_end", [tester.pk]),
        ("pavement_sell", [seat.pavement_id]),
        ("pavement_split", [seat.pavement_id]),
    ]:
        page.goto(reverse(name, args=args))
        assert (name, small_targets(page)) == (name, [])
        assert (name, is_as_wide_as_the_phone(page)) == (name, True)
