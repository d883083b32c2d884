"""A form whose button is pressed twice in a hurry makes one record, and can be sent again later."""

import pytest
from django.urls import reverse

from registry.models import Cleaning
from tests.views.record import manager_of

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

PRESS_TWICE = """form => {
    const press = () => form.querySelector("[type=submit]:not([name]), button:not([type])").click();
    press();
    setTimeout(press, 300);
}"""


def test_two_presses_store_one_cleaning(open_page):
    pavement, person = manager_of()
    page = open_page(reverse("cleaning_add", args=[pavement.pk]), person=person)
    form = page.locator("main form").first
    form.locator("[name=done_on]").fill("2026-06-01")
    form.locator("[name=method]").select_option("broom")
    form.locator("[name=covers_all]").check()
    held = []
    page.route(
        "**/*",
        lambda route: held.append(route) if route.request.method == "POST" else route.continue_(),
    )
    form.evaluate(PRESS_TWICE)
    page.wait_for_timeout(900)
    assert len(held) == 1
    with page.expect_navigation():
        held[0].continue_()
    assert Cleaning.objects.count() == 1


def test_form_that_was_refused_can_be_sent_again(open_page):
    pavement, person = manager_of()
    page = open_page(reverse("cleaning_add", args=[pavement.pk]), person=person)
    for _ in range(2):
        with page.expect_navigation():
            page.locator("main form").first.evaluate(
                "form => { form.noValidate = true; form.requestSubmit(); }"
            )
    assert page.locator("main form").first.is_visible()
    assert not Cleaning.objects.exists()


def test_form_whose_answer_was_lost_on_the_way_is_stored_once_when_brought_back(open_page):
    pavement, person = manager_of()
    address = reverse("cleaning_add", args=[pavement.pk])
    page = open_page(address, person=person)
    form = page.locator("main form").first
    form.locator("[name=done_on]").fill("2026-06-01")
    form.locator("[name=method]").select_option("broom")
    form.locator("[name=covers_all]").check()

    def lose(route):
        route.fetch(max_redirects=0)
        route.abort("connectionreset")

    page.route("**/*", lambda route: lose(route) if route.request.method == "POST" else None)
    with page.expect_event("requestfailed"):
        form.evaluate("form => form.requestSubmit()")
    assert Cleaning.objects.count() == 1
    page.unroute_all()
    page.goto(address)
    page.get_by_role("button", name="Bring it back").click()
    page.locator("main form").first.evaluate("form => form.requestSubmit()")
    page.get_by_text("was not stored a second time").wait_for()
    assert Cleaning.objects.count() == 1
