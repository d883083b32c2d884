"""The season's plan on page and paper."""

import pytest
from django.urls import reverse
from django.utils import timezone

from registry.actions.invent_portfolio import invent_portfolio
from registry.actions.refresh_outlooks import refresh_outlooks
from registry.models import Outlook
from tests import factories
from tests.sheets import printed
from tests.views.record import manager_of

MOST_QUERIES = 30


@pytest.fixture
def owner(db, client):
    today = timezone.localdate()
    found = invent_portfolio(pavements=8, seed=5, as_of=today)
    list(refresh_outlooks(as_of=today))
    member = factories.MembershipFactory(organisation=found)
    client.force_login(member.person)
    outlook = Outlook.objects.filter(why_not="").order_by("-worst_p_below").first()
    factories.WorkOrderFactory(
        pavement=outlook.pavement, organisation=found, state="dated", dated_for=today,
        method="wash_and_vacuum", price_agreed=350, area_m2=100.0,
    )  # fmt: skip
    return found


def test_page_shows_picture_table_and_what_they_rest_on(client, owner):
    answer = client.get(reverse("season_plan_page", args=[owner.pk]))
    page = " ".join(answer.content.decode().split())
    assert answer.status_code == 200 and "<svg" in page
    assert f"{timezone.localdate():%Y-%m}" in page and "350.00" in page
    assert "8 pavements kept have a chance" in page and "1076 ft²" in page


def test_months_are_chosen_and_nonsense_shows_six(client, owner):
    for asked, shown in (("3", 3), ("12", 12), ("", 6), ("99", 6), ("many", 6), ("1" * 40, 6)):
        answer = client.get(reverse("season_plan_page", args=[owner.pk]), {"months": asked})
        assert len(answer.context["rows"]) == shown, asked


@pytest.mark.parametrize("paper", ["letter", "a4"])
@pytest.mark.parametrize("months", ["3", "12"])
def test_paper_says_what_the_page_says(client, owner, paper, months):
    asked = {"paper": paper, "months": months}
    answer = client.get(reverse("season_plan_paper", args=[owner.pk]), asked)
    assert answer["Content-Type"] == "application/pdf"
    words = " ".join(printed.words(answer.content))
    assert "SEASON PLAN" in words and owner.name in words and "350.00" in words
    assert "8 pavements kept" in words


def test_unknown_paper_is_not_found(client, owner):
    answer = client.get(reverse("season_plan_paper", args=[owner.pk]), {"paper": "b5"})
    assert answer.status_code == 404


def test_organisation_without_a_chance_is_told_what_to_do(client, db):
    _, person = manager_of()
    client.force_login(person)
    page = client.get(reverse("season_plan_page", args=[person.organisations.get().pk]))
    assert "No pavement of yours has a chance by a fit yet" in page.content.decode()
