"""The outlook on one page of paper; the pictures of residuals on the page of a fit."""

from io import BytesIO

import pytest
from django.core.management import call_command
from django.urls import reverse
from django.utils import timezone
from pypdf import PdfReader

from registry.actions.invent_portfolio import invent_portfolio
from registry.actions.work_out_outlooks import work_out_outlooks
from registry.gathering.outlook_words import day_words
from registry.models import Fit, Organisation, Outlook, Pavement
from registry.models.choices import Role
from registry.sheets.box import MM, PAPERS
from tests.factories import MembershipFactory, PavementFactory, SeatFactory

pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module")
def invented(django_db_setup, django_db_blocker):
    """The pk of the owner of six invented pavements, foretold as of today."""
    with django_db_blocker.unblock():
        owner = invent_portfolio(pavements=6, seed=3, as_of=timezone.now().date())
        work_out_outlooks()
        yield owner.pk
        call_command("flush", "--no-input", verbosity=0)


@pytest.fixture
def owner(client, invented):
    member = MembershipFactory(organisation=Organisation.objects.get(pk=invented))
    client.force_login(member.person)
    return member


def printed(client, outlook, paper):
    address = reverse("outlook_paper", args=[outlook.pavement_id])
    answer = client.get(f"{address}?paper={paper}")
    assert answer.status_code == 200
    assert answer["Content-Type"] == "application/pdf"
    return PdfReader(BytesIO(answer.content))


@pytest.mark.parametrize("name", PAPERS)
def test_outlook_fills_one_page_of_either_paper(client, owner, name):
    outlook = Outlook.objects.filter(sweep_by_on__gt=timezone.now().date()).first()
    pages = printed(client, outlook, name).pages
    assert len(pages) == 1
    size = (float(pages[0].mediabox.width) / MM, float(pages[0].mediabox.height) / MM)
    assert size == pytest.approx((PAPERS[name].width_mm, PAPERS[name].height_mm), abs=0.1)
    text = pages[0].extract_text()
    for words in (
        "OUTLOOK",
        f"sweep by {day_words(outlook.sweep_by_on, outlook.as_of_on)}",
        "chance below",
        "fitted decline, 80 % band",
        "if cleaned today",
        "page 1 of 1",
        "copied in by",
    ):
        assert words in text


def test_paper_and_page_show_the_same_words_of_the_chart(client, owner):
    outlook = Outlook.objects.filter(sweep_by_on__gt=timezone.now().date()).first()
    page = client.get(reverse("outlook_page", args=[outlook.pavement_id])).content.decode()
    assert "if cleaned today:" in page
    assert "?paper=a4" in page


def test_no_outlook_and_no_such_paper_are_not_found(client, owner):
    outlook = Outlook.objects.first()
    address = reverse("outlook_paper", args=[outlook.pavement_id])
    assert client.get(f"{address}?paper=a3").status_code == 404
    bare = PavementFactory()
    SeatFactory(pavement=bare, organisation=owner.organisation, role=Role.OWNER)
    assert client.get(reverse("outlook_paper", args=[bare.pk])).status_code == 404


def test_fit_page_shows_residuals_and_leads_to_its_pool(client, owner):
    fit = Fit.objects.filter(converged=True).get()
    text = client.get(reverse("fit_page", args=[fit.pk])).content.decode()
    assert reverse("pool_page", args=[fit.pool_id]) in text
    assert text.count("<svg") == 2
    numbers = fit.infiltration_tests - fit.bounds
    assert f"Residuals of {numbers} tests against fitted rate" in text
    assert fit.residuals["numbers"] == numbers
    assert ("are not drawn" in text or "is not drawn" in text) == bool(fit.bounds)


def test_who_does_not_run_the_pool_is_not_led_to_it(client, invented):
    member = MembershipFactory()
    for row in Pavement.objects.all():
        SeatFactory(pavement=row, organisation=member.organisation, role=Role.MANAGER)
    client.force_login(member.person)
    fit = Fit.objects.filter(converged=True).get()
    text = client.get(reverse("fit_page", args=[fit.pk])).content.decode()
    assert reverse("pool_page", args=[fit.pool_id]) not in text


def test_a_fit_of_before_residuals_were_kept_says_so(client, owner):
    fit = Fit.objects.filter(converged=True).get()
    Fit._base_manager.filter(pk=fit.pk).update(residuals=None)
    text = client.get(reverse("fit_page", args=[fit.pk])).content.decode()
    assert "before residuals were kept" in text
