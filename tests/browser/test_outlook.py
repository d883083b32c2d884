"""Outlook, fit, pool and prices with numbers in them, on a phone and at a desk, light and dark."""

import pytest
from django.urls import reverse
from django.utils import timezone

from registry.actions.invent_portfolio import invent_portfolio
from registry.actions.work_out_outlooks import work_out_outlooks
from registry.models import Outlook, Price
from tests.browser.conftest import DESK, PHONE
from tests.browser.test_every_page import faults_of
from tests.factories import MembershipFactory

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_pages_of_the_decline_are_accessible_and_fit(open_page, size, scheme):
    owner = invent_portfolio(pavements=8, seed=3, as_of=timezone.now().date())
    work_out_outlooks()
    Price.objects.create(organisation=owner, method_class="vacuum", per_m2="0.35", currency="$")
    person = MembershipFactory(organisation=owner).person
    outlook = Outlook.objects.filter(why_not="", sweep_by_on__isnull=False).first()
    paths = [
        reverse("outlook_page", args=[outlook.pavement_id]),
        reverse("pavement_page", args=[outlook.pavement_id]),
        reverse("fit_page", args=[outlook.fit_id]),
        reverse("pool_page", args=[outlook.fit.pool_id]),
        reverse("price_list", args=[owner.pk]),
        reverse("pavement_list"),
    ]
    page = open_page(paths[0], person=person, size=size)
    page.emulate_media(color_scheme=scheme)
    faults = {}
    for path in paths:
        assert page.goto(path).ok, path
        if found := faults_of(page, size):
            faults[path] = found
    assert faults == {}
