"""What follows from a form stays in sight while it is filled in, and hides no field (WCAG 2.2)."""

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from registry.models.choices import Role
from tests.browser.conftest import PHONE
from tests.factories import MembershipFactory, SeatFactory
from tests.placing_factories import PlacingDayFactory

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

IN_SIGHT = """() => {
  const told = document.querySelector("#live-figures").getBoundingClientRect();
  const field = document.activeElement.getBoundingClientRect();
  const live = document.querySelector(".live").getBoundingClientRect();
  return [told.top >= 0 && told.top < innerHeight - 44, field.top >= live.bottom,
    field.bottom <= innerHeight + 1];
}"""


def test_figures_stay_in_sight_at_every_field_and_cover_none_on_a_phone(open_page):
    contractor = MembershipFactory()
    seat = SeatFactory(
        organisation=contractor.organisation,
        role=Role.CONTRACTOR,
        warranty_last_on="2090-01-01",
    )
    day = PlacingDayFactory(pavement=seat.pavement, entered_for=contractor.organisation)
    page = open_page(reverse("load_add", args=[day.pk]), contractor.person, size=PHONE)
    fields = page.locator("form.entry-form input:not([type=hidden]), form.entry-form select")
    expect(fields.nth(20)).to_be_attached()
    names = fields.evaluate_all("all => all.map((one) => one.name)")
    for name in [*names[::2], *names[::-3]]:
        page.locator(f"form.entry-form [name='{name}']").first.focus()
        assert page.evaluate(IN_SIGHT) == [True, True, True], name
    page.get_by_label("discharge from", exact=False).first.fill("09:52")
    page.get_by_label("batched", exact=False).first.fill("09:05")
    expect(page.locator("#live-figures")).to_contain_text("47 min")
