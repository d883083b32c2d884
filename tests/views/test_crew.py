"""Crews, machines, places, hours and seasons through their pages."""

from datetime import date

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from registry.models import (
    Crew,
    CrewHoliday,
    DumpPlace,
    ExtraShift,
    JournalLine,
    Machine,
    Season,
    SiteWindow,
    WaterPoint,
)
from tests import factories
from tests.views.record import manager_of, written, wrongs

MOST_QUERIES = 12


@pytest.fixture
def firm(db, client):
    _, person = manager_of()
    client.force_login(person)
    return person.organisations.get()


def add(client, noun, parent, **given):
    url = reverse("entry_add", args=[noun, parent.pk])
    sent = {**written(client.get(url).context["form"]), **given}
    return client.post(url, sent)


def stored(client, noun, parent, **given):
    answer = add(client, noun, parent, **given)
    assert answer.status_code == 302, wrongs(answer)


def correct(client, noun, row, parent, **given):
    url = reverse("entry_correct", args=[noun, parent.pk, row.pk])
    form = client.get(url).context["form"]
    answer = client.post(url, {**written(form), "why": "read again", **given})
    row.refresh_from_db()
    return answer


def test_machine_keeps_what_was_written_and_is_listed_with_its_measures(client, firm):
    given = {"name": "sweeper 4", "methods": ["vacuum", "joint_stone"], "head_width_m": "5 ft"}
    stored(
        client, "machine", firm, speed_km_h="1.5 mph", efficiency="0,65", hopper_m3="nk", **given
    )
    row = Machine.objects.get()
    assert row.head_width_m == pytest.approx(5 * 0.3048)
    assert row.speed_km_h == pytest.approx(1.5 * 1.609344)
    assert (row.efficiency, row.written("head_width_m")) == (0.65, "5 ft")
    assert row.kind_of_empty("hopper_m3") == "not known"
    page = client.get(reverse("crew_list", args=[firm.pk])).content.decode()
    assert "sweeper 4" in page and "full vacuum sweeper, joint stone" in page and "5.0 ft" in page


def test_machine_without_a_method_or_with_impossible_measures_is_refused(client, firm):
    for given, name in (
        ({"name": "m"}, "methods"),
        ({"name": "m", "methods": ["vacuum"], "efficiency": "65"}, "efficiency"),
        ({"name": "m", "methods": ["flying"]}, "methods"),
        ({"name": "m", "methods": ["vacuum"], "axle_kg": "-3"}, None),
    ):
        answer = add(client, "machine", firm, **given)
        assert answer.status_code == 200
        assert name is None or name in wrongs(answer)
    assert not Machine.objects.exists()


def test_crew_has_shifts_breaks_and_licences_in_words(client, firm):
    machine = factories.MachineFactory(organisation=firm)
    given = {"name": "A", "people": "2", "machine": machine.pk}
    lines = {"shifts": "Mon-Thu 07:00-15:30\nFri 07:00-12:00", "breaks": "12:00-12:30"}
    stored(client, "crew", firm, licences="heavy truck", **lines, **given)
    row = Crew.objects.get()
    assert row.shifts_in_words == "Mon-Thu 07:00-15:30; Fri 07:00-12:00"
    assert (row.breaks, row.licences) == ([["12:00", "12:30"]], ["heavy truck"])
    page = client.get(reverse("crew_page", args=[row.pk])).content.decode()
    assert "Mon-Thu 07:00-15:30" in page and "heavy truck" in page


def test_shift_that_cannot_be_read_or_stands_twice_is_refused_in_words(client, firm):
    for lines, words in (
        ("Mo 07:00-15:00", "no day of the week"),
        ("Mon 07:00-12:00\nMon 13:00-16:00", "One shift a day"),
    ):
        answer = add(client, "crew", firm, name="A", people="2", shifts=lines)
        assert words in str(wrongs(answer)["shifts"])
    stranger = factories.MachineFactory()
    assert "machine" in wrongs(add(client, "crew", firm, name="A", people="2", machine=stranger.pk))


def test_correction_of_shifts_tells_old_and_new_in_words(client, firm):
    row = factories.CrewFactory(organisation=firm)
    answer = correct(client, "crew", row, firm, shifts="Mon-Wed 06:00-14:00")
    assert answer.status_code == 302, wrongs(answer)
    line = JournalLine.objects.corrections().get()
    assert line.changes == {"shifts": ["Mon-Fri 07:00-15:30", "Mon-Wed 06:00-14:00"]}
    assert correct(client, "crew", row, firm).status_code == 200  # untouched: nothing to correct


def test_holiday_and_extra_shift_are_listed(client, firm):
    crew = factories.CrewFactory(organisation=firm)
    day = {"first_on": "2026-09-07", "last_on": "2026-09-06", "because": "Labor Day"}
    assert "last_on" in wrongs(add(client, "crew_holiday", firm, **day))
    stored(client, "crew_holiday", firm, **{**day, "last_on": "2026-09-07"})
    given = {"crew": crew.pk, "on": "2026-09-19", "from_clock": "0700", "to_clock": "11:00"}
    stored(client, "extra_shift", firm, **given)
    assert CrewHoliday.objects.get().crew is None
    assert str(ExtraShift.objects.get()) == "2026-09-19 07:00-11:00"
    page = client.get(reverse("crew_list", args=[firm.pk])).content.decode()
    assert "Labor Day, all crews" in page and "extra shift 07:00-11:00" in page
    shift = ExtraShift.objects.get()
    assert correct(client, "extra_shift", shift, firm, to_clock="12:00").status_code == 302
    assert JournalLine.objects.corrections().get().changes.keys() == {"to_clock"}


def test_places_are_listed_with_hours_and_permit(client, firm):
    stored(client, "dump_place", firm, name="Decant yard", hours="Mon-Fri 07:00-15:00",
           takes_wash_water="on", unloading_min="30")  # fmt: skip
    stored(client, "water_point", firm, name="Mill Lane", permit="41",
           permit_last_on="2026-10-31", flow_l_min="20 gal", lon="-69.6", lat="44.1")  # fmt: skip
    assert DumpPlace.objects.get().hours_in_words == "Mon-Fri 07:00-15:00"
    assert WaterPoint.objects.get().flow_l_min == pytest.approx(20 * 3.785411784)
    assert "lat" in wrongs(add(client, "depot", firm, name="yard", lon="-69.6"))
    page = client.get(reverse("crew_place_list", args=[firm.pk])).content.decode()
    for words in ("takes wash water", "permit 41 to 2026-10-31", "30.0 min to unload", "No depot"):
        assert words in page


def test_season_is_written_by_month_and_day_and_corrected(client, firm):
    given = {"name": "sand", "from_written": "0301", "to_written": "04-30", "climate": "wet"}
    stored(client, "season", firm, methods=["vacuum"], methods_not=["wash_and_vacuum"], **given)
    row = Season.objects.get()
    assert str(row) == "sand, 03-01 to 04-30"
    lists = {"methods": ["vacuum"], "methods_not": ["wash_and_vacuum"]}
    answer = correct(client, "season", row, firm, to_written="05-10", **lists)
    assert answer.status_code == 302, wrongs(answer)
    assert (row.to_month, row.to_day) == (5, 10)
    page = client.get(reverse("season_list", args=[firm.pk])).content.decode()
    assert "03-01 to 05-10" in page
    for wrong in ({"from_written": "13-01"}, {"to_written": "02-30"}):
        assert wrong.keys() <= wrongs(add(client, "season", firm, **{**given, **wrong})).keys()
    both = {"methods": ["vacuum"], "methods_not": ["vacuum"]}
    assert "methods_not" in wrongs(add(client, "season", firm, **{**given, **both}))


def test_hours_of_a_site_stand_on_its_page(client, firm):
    site = firm.seats.get().pavement.site
    given = {"kind": "access", "hours": "Sun\nany day 00:00-08:00", "because": "opens at nine"}
    stored(client, "site_window", site, **given)
    assert SiteWindow.objects.get().hours[0] == [6, "00:00", "00:00"]
    page = client.get(reverse("site_page", args=[site.pk])).content.decode()
    assert "crews may come: Sun; any day 00:00-08:00" in page and "opens at nine" in page


def queries(client, name, *args):
    client.get(reverse(name, args=args))
    with CaptureQueriesContext(connection) as asked:
        assert client.get(reverse(name, args=args)).status_code == 200
    return len(asked)


def test_lists_ask_as_much_for_one_row_as_for_twenty_more(client, firm):
    own = {"organisation": firm}
    crew = factories.CrewFactory(machine=factories.MachineFactory(**own), **own)
    pages = (
        ("crew_list", firm.pk), ("crew_page", crew.pk), ("crew_place_list", firm.pk),
        ("season_list", firm.pk),
    )  # fmt: skip
    pavement = firm.seats.get().pavement
    made = (
        lambda: factories.CrewFactory(machine=factories.MachineFactory(**own), **own),
        lambda: factories.CrewHolidayFactory(crew=crew, **own),
        lambda: factories.DepotFactory(**own),
        lambda: factories.DumpPlaceFactory(**own),
        lambda: factories.WaterPointFactory(**own),
        lambda: factories.SeasonFactory(**own),
        lambda: factories.WorkOrderFactory(
            pavement=pavement, crew=crew, state="dated", dated_for=date(2026, 5, 4), **own
        ),
    )
    for make in made:
        make()
    before = [queries(client, *page) for page in pages]
    for _ in range(20):
        for make in made:
            make()
    assert [queries(client, *page) for page in pages] == before
    assert max(before) <= MOST_QUERIES
