"""Two corrections of one entry typed without a network: neither is lost, a person chooses."""

import pytest
from playwright.sync_api import expect

from registry.models import WaitingCorrection
from registry.models.choices import Role
from tests.browser.conftest import PHONE
from tests.factories import MembershipFactory, SeatFactory
from tests.placing_factories import ThirdPartyFactory

pytestmark = pytest.mark.browser


def test_offline_correction_is_brought_back_against_what_its_writer_saw(open_page):
    row = ThirdPartyFactory(name="an evaluator", samples="2 cores")
    seat = SeatFactory(pavement=row.callback.pavement, role=Role.OWNER)
    row.entered_for = seat.organisation
    row.save(update_fields=["entered_for"])
    member = MembershipFactory(organisation=seat.organisation)
    address = f"/record/third_party/{row.callback_id}/{row.pk}/correct/"
    one, two = (open_page(address, member.person, PHONE) for _ in range(2))
    for page, count in ((one, "3 cores"), (two, "4 cores")):
        page.context.set_offline(True)
        page.get_by_label("samples").fill(count)
        page.get_by_label("because").fill("counted again")
        page.context.set_offline(False)
    one.get_by_role("button", name="Store the correction").click()
    expect(one.get_by_text("The correction is stored")).to_be_visible()
    two.goto(address)
    two.get_by_role("button", name="Bring it back").click()
    expect(two.get_by_label("samples")).to_have_value("4 cores")
    two.get_by_role("button", name="Store the correction").click()
    expect(two.get_by_text("Your correction is kept beside it")).to_be_visible()
    expect(two.get_by_role("button", name="Bring it back")).to_have_count(0)
    row.refresh_from_db()
    assert row.samples == "3 cores"
    waiting = WaitingCorrection.objects.get()
    assert waiting.seen["samples"] == "2 cores"
    assert waiting.lines["samples"] == ["3 cores", "4 cores"]  # what stands, what waits
    two.goto(f"/corrections/{waiting.pk}/")
    for words in ("3 cores", "4 cores", "which holds"):
        expect(two.get_by_text(words).first).to_be_visible()
    one.goto(address)  # what is stored is not offered again
    expect(one.get_by_role("button", name="Bring it back")).to_have_count(0)
