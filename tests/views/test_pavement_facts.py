"""Adding a pavement, correcting its facts, its states and its numbers, through their pages."""

from datetime import UTC, date, datetime

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from registry.models import JournalLine, Pavement, PavementNumber, Site
from tests import factories
from tests.views.record import manager_of, written, wrongs

NEW = {
    "system": "inch_pound",
    "name": "north lot",
    "surface": "pervious_concrete",
    "use": "lot",
    "area_m2": "6,336",
    "area_found_by": "tape",
    "placed_on": "2023-08-22",
    "state": "in_service",
    "sheet_system": "inch_pound",
}
SITE = {
    "site-name": "Cooper's Yard",
    "site-address": "4 Mill Lane",
    "site-time_zone": "America/New_York",
}


@pytest.fixture
def pavement(db, client):
    pavement, person = manager_of()
    client.force_login(person)
    return pavement


@pytest.fixture
def organisation(pavement):
    return pavement.seats.get().organisation


def add(client, organisation, **given):
    sent = {**NEW, "organisation": organisation.pk, **given}
    return client.post(reverse("pavement_add"), sent)


def correct(client, pavement, why="measured again", **changed):
    url = reverse("pavement_correct", args=[pavement.pk])
    sent = written(client.get(url).context["form"])
    return client.post(url, {**sent, "why": why, **changed})


def test_new_pavement_at_a_new_site_gives_its_organisation_the_seat_of_its_role(
    client, organisation
):
    answer = add(client, organisation, number="BC-01", **SITE)
    assert answer.status_code == 302, wrongs(answer)
    row = Pavement.objects.get(name="north lot")
    assert row.area_m2 == pytest.approx(6336 * 0.3048**2)
    assert row.as_written["area_m2"] == "6,336"
    assert (row.site.name, row.site.organisation) == ("Cooper's Yard", organisation)
    assert row.seats.get().role == organisation.usual_role
    assert row.numbers.get().number == "BC-01"


def test_new_pavement_at_a_site_from_the_list_makes_no_second_site(client, pavement, organisation):
    assert add(client, organisation, site=pavement.site_id).status_code == 302
    assert Site.objects.count() == 1


def test_new_site_without_its_local_time_is_refused_and_nothing_stored(client, organisation):
    answer = add(client, organisation, **{**SITE, "site-time_zone": ""})
    assert answer.status_code == 200
    assert "Choose the local time of the site" in str(
        answer.context["new_site"].errors["time_zone"]
    )
    assert not Pavement.objects.filter(name="north lot").exists()


def test_number_used_already_stores_neither_pavement_nor_site(client, pavement, organisation):
    PavementNumber.objects.create(pavement=pavement, organisation=organisation, number="BC-01")
    answer = add(client, organisation, number="BC-01", **SITE)
    assert str(pavement) in str(wrongs(answer))
    assert (Pavement.objects.count(), Site.objects.count()) == (1, 1)


@pytest.mark.parametrize("role", ["producer", "buyer"])
def test_organisation_that_holds_no_pavements_adds_none(client, pavement, role):
    organisation = factories.OrganisationFactory(usual_role=role)
    factories.MembershipFactory(
        person=pavement.seats.get().organisation.people.get(), organisation=organisation
    )
    answer = add(client, organisation, **SITE)
    assert "holds no pavement" in str(wrongs(answer))
    assert Site.objects.count() == 1


def test_case_30_two_sites_of_one_name_are_asked_about_with_their_addresses(client, organisation):
    assert add(client, organisation, **SITE).status_code == 302
    same = {**SITE, "site-name": "cooper's yard", "site-address": "90 Harbor Road"}
    asked = add(client, organisation, name="south lot", **same)
    assert "4 Mill Lane" in str(asked.context["new_site"].errors["name"])
    assert Site.objects.filter(name__iexact="cooper's yard").count() == 1
    sure = {**same, "site-is_another_place": "on"}
    assert add(client, organisation, name="south lot", **sure).status_code == 302
    addresses = Site.objects.filter(name__iexact="cooper's yard").values_list("address", flat=True)
    assert set(addresses) == {"4 Mill Lane", "90 Harbor Road"}


def test_case_30_one_site_of_three_names_is_asked_about_by_each_of_them(client, organisation):
    names = [{"name": "Old tannery", "used_by": "the town"}, {"name": "Lot 7", "used_by": ""}]
    factories.SiteFactory(
        name="Mill lot", address="1 Quay", organisation=organisation, other_names=names
    )
    for name in ("Mill lot", "OLD TANNERY", "lot 7 "):
        asked = add(client, organisation, **{**SITE, "site-name": name})
        assert "1 Quay" in str(asked.context["new_site"].errors["name"]), name


def test_case_30_list_of_sites_tells_namesakes_apart_by_address(client, pavement, organisation):
    for address in ("4 Mill Lane", ""):
        factories.SiteFactory(name="Yard", address=address, organisation=organisation)
    page = client.get(reverse("pavement_add")).content.decode()
    assert "Yard, 4 Mill Lane" in page
    assert "Yard, address not known" in page


def test_corrected_fact_is_a_line_and_the_old_stays_readable(client, pavement):
    assert correct(client, pavement, area_m2="nk", area_found_by="nk").status_code == 302
    pavement.refresh_from_db()
    assert (pavement.area_m2, pavement.kind_of_empty("area_m2")) == (None, "not known")
    line = JournalLine.objects.corrections().get()
    assert line.changes["area_m2"] == ["1076.39 ft²", "not known"]


@pytest.mark.parametrize(
    ("changed", "field", "words"),
    [
        ({"datum_lon": "-73.5"}, "datum_lat", "both"),
        ({"lat": "95", "lon": "0"}, "lat", "-90 to 90"),
        ({"bearing_of_up_deg": "360"}, "bearing_of_up_deg", "range"),
        ({"placed_on": "2023-08-24", "placed_until_on": "2023-08-22"}, "placed_until_on", "before"),
        (
            {"placed_on": "2023-08-24", "opened_to_wheels_on": "2023-08-01"},
            "opened_to_wheels_on",
            "placed",
        ),
        ({"thickness_mm": "0"}, "thickness_mm", "more than zero"),
        ({"name": ""}, "name", "required"),
    ],
)
def test_facts_that_cannot_be_are_refused_in_plain_words(client, pavement, changed, field, words):
    answer = correct(client, pavement, **changed)
    assert words in str(wrongs(answer)[field]), wrongs(answer)


def with_panels(pavement):
    """A plan of 4 lanes by 11 panels, 12 ft each way: 6 336 ft2."""
    side = 12 * 0.3048
    plan = factories.PlanFactory(pavement=pavement, number=1)
    for lane, letter in enumerate("ABCD"):
        for number in range(11):
            factories.PanelFactory(
                pavement=pavement,
                plan=plan,
                name=f"{letter}{number + 1}",
                right_m=lane * side,
                up_m=number * side,
                width_m=side,
                length_m=side,
            )


def test_case_31_area_in_the_other_unit_is_a_doubt_with_its_ratio_and_the_panels_sum(
    client, pavement
):
    with_panels(pavement)
    # 6 336 ft2 is 588.6 m2; the writer put 588.6 where ft2 are read
    asked = correct(client, pavement, area_m2="588.6")
    assert asked.status_code == 200
    doubt = asked.context["doubt"]
    assert "6336 ft²" in doubt.message
    assert "10.76" in doubt.message
    assert "m² and ft²" in doubt.mend
    pavement.refresh_from_db()
    assert pavement.area_m2 == 100.0
    stored = correct(client, pavement, area_m2="588.6", shown=asked.context["shown"])
    assert stored.status_code == 302


def test_case_31_area_that_its_panels_bear_out_is_not_doubted(client, pavement):
    with_panels(pavement)
    assert correct(client, pavement, area_m2="6,300").status_code == 302


def move(client, pavement, to, on="2024-05-01", why="as seen"):
    url = reverse("pavement_move", args=[pavement.pk])
    return client.post(url, {"to": to, "on": on, "why": why})


def test_state_moves_only_as_allowed_dated_and_with_its_reason(client, pavement):
    assert move(client, pavement, "closed", why="drain collapsed").status_code == 302
    line = JournalLine.objects.get(verb="moved")
    assert line.changes == {"state": ["in service", "closed"], "since": ["", "2024-05-01"]}
    assert line.why == "drain collapsed"
    assert move(client, pavement, "removed").status_code == 200
    pavement.refresh_from_db()
    assert pavement.state == "closed"


@pytest.mark.parametrize(
    ("given", "words"),
    [({"on": "2099-01-01"}, "not come yet"), ({"why": ""}, "required"), ({"on": "soon"}, "date")],
)
def test_move_without_a_day_that_has_come_or_a_reason_is_refused(client, pavement, given, words):
    answer = move(client, pavement, "closed", **given)
    assert words in str(wrongs(answer)).lower(), wrongs(answer)


def test_move_before_the_last_one_is_refused(client, pavement):
    move(client, pavement, "closed", on="2024-05-01")
    assert "2024-05-01" in str(wrongs(move(client, pavement, "in_service", on="2024-04-01")))


def test_move_is_undone_only_by_a_new_line_back(client, pavement):
    move(client, pavement, "removed")
    page = client.get(reverse("pavement_move", args=[pavement.pk])).content.decode()
    assert "back to in service" in page
    move(client, pavement, "in_service", on="2024-05-02", why="it was the lot next door")
    pavement.refresh_from_db()
    assert pavement.state == "in_service"
    assert list(
        JournalLine.objects.filter(verb__startswith="moved").values_list("verb", flat=True)
    ) == ["moved back", "moved"]


def test_numbers_of_several_organisations_stand_side_by_side(client, pavement, organisation):
    _, clerk = manager_of(pavement, role="municipality")
    url = reverse("pavement_number", args=[pavement.pk])
    client.post(url, {"organisation": organisation.pk, "number": "BC-01"})
    client.force_login(clerk)
    assert client.post(url, {"organisation": organisation.pk, "number": "X"}).status_code == 200
    town_id = clerk.memberships.get().organisation_id
    client.post(url, {"organisation": town_id, "number": "PP-23-07"})
    assert list(pavement.numbers.values_list("number", flat=True)) == ["BC-01", "PP-23-07"]


def test_a_new_own_number_ends_the_old_on_its_day(client, pavement, organisation):
    url = reverse("pavement_number", args=[pavement.pk])
    client.post(url, {"organisation": organisation.pk, "number": "7"})
    asked = client.post(url, {"organisation": organisation.pk, "number": "BC-07"})
    assert "from which day" in str(wrongs(asked))
    client.post(url, {"organisation": organisation.pk, "number": "BC-07", "from_on": "2024-01-01"})
    old, new = pavement.numbers.order_by("pk")
    assert (old.to_on, new.from_on) == (date(2024, 1, 1), date(2024, 1, 1))


def test_number_written_by_mistake_is_taken_back_and_can_be_used_again(
    client, pavement, organisation
):
    url = reverse("pavement_number", args=[pavement.pk])
    client.post(url, {"organisation": organisation.pk, "number": "7"})
    row = pavement.numbers.get()
    back = reverse("pavement_number_take_back", args=[pavement.pk, row.pk])
    assert client.post(back, {"why": "of the lot next door"}).status_code == 302
    row.refresh_from_db()
    assert row.is_taken_back
    assert client.post(url, {"organisation": organisation.pk, "number": "7"}).status_code == 302


def test_record_of_a_pavement_takes_no_more_queries_with_more_entries(client, pavement):
    url = reverse("pavement_edit", args=[pavement.pk])
    factories.SectionFactory(pavement=pavement)
    client.get(url)
    with CaptureQueriesContext(
        connection,
    ) as few:
        client.get(url)
    for _ in range(20):
        factories.SectionFactory(pavement=pavement)
    with CaptureQueriesContext(connection) as many:
        client.get(url)
    assert len(many) == len(few)


def test_tester_sees_the_record_without_criteria_and_changes_nothing(client, pavement):
    factories.CriteriaFactory(pavement=pavement)
    pavement.run_on_areas.create(kind="roof", name="hall roof")
    _, tester = manager_of(pavement, role="tester")
    client.force_login(tester)
    page = client.get(reverse("pavement_edit", args=[pavement.pk])).content.decode()
    assert "house rule" not in page
    assert "hall roof" not in page
    assert "Correct the facts" not in page
    assert client.get(reverse("pavement_correct", args=[pavement.pk])).status_code == 403


def test_contractor_of_a_section_reads_of_its_own_and_of_the_whole_alone(client, pavement):
    own, other = (factories.SectionFactory(pavement=pavement, name=n) for n in ("east", "west"))
    for section, said in ((own, "deed E"), (other, "deed W"), (None, "permit 12")):
        factories.CriteriaFactory(pavement=pavement, section=section, source_document=said)
    seat = factories.SeatFactory(pavement=pavement, role="contractor", section=own)
    person = factories.MembershipFactory(organisation=seat.organisation).person
    client.force_login(person)
    url = reverse("pavement_edit", args=[pavement.pk])
    parts = {p["name"]: [str(r) for r, *_ in p["rows"]] for p in client.get(url).context["parts"]}
    assert parts["section"] == ["east"]
    assert sorted(parts["criteria"]) == ["deed E", "permit 12"]
    factories.SeatFactory(pavement=pavement, role="contractor", organisation=seat.organisation)
    assert b"deed W" in client.get(url).content


def test_who_left_sees_no_entry_that_came_in_later(client, pavement):
    before = factories.SectionFactory(
        pavement=pavement, entered_at=datetime(2020, 1, 1, tzinfo=UTC)
    )
    after = factories.SectionFactory(pavement=pavement, entered_at=datetime(2022, 1, 1, tzinfo=UTC))
    pavement.seats.update(to_at=datetime(2021, 1, 1, tzinfo=UTC))
    page = client.get(reverse("pavement_edit", args=[pavement.pk])).content.decode()
    assert before.name in page
    assert after.name not in page
    assert "None that came in while your seat was open." in page
    site = reverse("site_page", args=[pavement.site_id])
    assert client.get(site).status_code == 404
    assert site not in page
