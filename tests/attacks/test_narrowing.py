"""Lists, calendars, seasons and files asked for by hand with what no form of theirs would send."""

from urllib.parse import quote

import pytest
from django.urls import reverse

from registry.models.choices import Role
from tests import factories

pytestmark = pytest.mark.django_db
HUGE = "9" * 30
STRANGE = ("\0", "-1", "²", "\u0663", HUGE, "1e3", "nan", "%_\\", "x" * 3000, "=1+1", "\ud7ff")
PAGES = {
    "due_list": ("pavement", "site", "owner", "within", "by", "method", "undecided", "no_longer",
                 "permit", "sort", "page"),
    "due_export": ("pavement", "site", "owner", "within", "method", "sort"),
    "calendar_month": ("month", "crew", "owner"),
    "method_recovery": ("span",),
    "work_order_list": ("page",),
    "defect_list": ("page",),
}  # fmt: skip
OF_ORGANISATION = {
    "season_plan_page": ("months",),
    "season_plan_paper": ("months",),
    "round_list": ("page",),
    "price_list": ("page",),
    "pool_list": ("page",),
    "calendar_feed_list": ("page",),
}


@pytest.fixture
def seat(client):
    seat = factories.SeatFactory(role=Role.OWNER)
    client.force_login(factories.MembershipFactory(organisation=seat.organisation).person)
    return seat


def asked(client, address, names):
    for name in names:
        for value in STRANGE:
            answer = client.get(address, {name: value})
            b"".join(answer) if answer.streaming else answer.content
            assert answer.status_code == 200, (address, name, value)


@pytest.mark.parametrize("page", PAGES)
def test_list_narrowed_by_nonsense_is_still_a_list(client, seat, page):
    asked(client, reverse(page), PAGES[page])


@pytest.mark.parametrize("page", ["work_order_list", "defect_list"])
def test_every_filter_of_a_list_takes_nonsense(client, seat, page):
    form = client.get(reverse(page)).context["form"]
    asked(client, reverse(page), form.fields)


@pytest.mark.parametrize("page", OF_ORGANISATION)
def test_page_of_an_organisation_takes_nonsense(client, seat, page):
    asked(client, reverse(page, args=[seat.organisation_id]), OF_ORGANISATION[page])


@pytest.mark.parametrize(
    "day",
    ["0000-01-01", "0001-01-01", "1899-12-31", "9999-12-31", "2026-02-30", "2026-W01-1",
     "٢٠٢٦-09-01", "2026-09-0²", "20260901", "-026-01-01", "2026-09-01\0", "\0", HUGE],
)  # fmt: skip
def test_day_that_no_calendar_shows_is_not_found(client, seat, day):
    crew = factories.CrewFactory(organisation=seat.organisation)
    assert client.get(f"/calendar/{quote(day)}/").status_code == 404
    assert client.get(f"/calendar/{quote(day)}/crews/{crew.pk}/sheet/").status_code == 404


@pytest.mark.parametrize("day", ["1900-01-01", "2099-12-31"])
def test_first_and_last_day_of_a_calendar_are_shown(client, seat, day):
    assert client.get(f"/calendar/{day}/").status_code == 200
    assert client.get("/calendar/", {"month": day[:7]}).status_code == 200
    crew = factories.CrewFactory(organisation=seat.organisation)
    address = reverse("crew_day_sheet", args=[day, crew.pk])
    assert client.get(address).status_code == 200
    printed = client.post(address, {"paper": "letter", "system": "si"})
    assert printed.status_code == 200 and printed.content.startswith(b"%PDF")


@pytest.mark.parametrize(
    "address",
    ["/rounds/{}/", "/rounds/{}/stops.csv", "/rounds/1/orders/{}/", "/machines/{}/",
     "/organisations/{}/rounds/", "/organisations/{}/season-plan/",
     "/organisations/{}/season-plan/paper/", "/organisations/{}/calendar-feeds/",
     "/calendar/2026-09-14/crews/{}/sheet/", "/work-orders/{}/rows/"],
)  # fmt: skip
@pytest.mark.parametrize("number", [HUGE, "0", "²", "\u0663", "-1", "\0"])
def test_what_is_not_there_is_not_found(client, seat, address, number):
    assert client.get(address.format(quote(number))).status_code == 404


def test_addresses_that_only_take_a_form_are_not_found_either(client, seat):
    for address in ("/rounds/{}/stop/", "/rounds/{}/again/", "/rounds/{}/days/1/lock/",
                    "/calendar-feeds/{}/take-back/"):  # fmt: skip
        assert client.post(address.format(HUGE)).status_code == 404, address


def test_files_of_what_is_due_run_nothing_in_a_spreadsheet(client, seat):
    pavement = seat.pavement
    pavement.name = "=cmd|' /C calc'!A0"
    pavement.save(update_fields=["name"])
    factories.DueFactory(pavement=pavement, reason="@SUM(1)", earliest_why="+1", latest_why="-1")
    text = b"".join(client.get(reverse("due_export"))).decode()
    assert "'=cmd" in text
    for cell in ("@SUM(1)", "+1", "-1"):
        assert f",{cell}," not in text and f"'{cell}" in text
