"""A crew's day: the sheet printed from its page, its words, and the stops of a round as CSV."""

import csv
from datetime import UTC, date, datetime, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from registry.models import Machine, PrintedSheet, Site
from registry.models.choices import ReadingSystem
from tests.factories import (
    CleaningFactory,
    CrewFactory,
    DumpPlaceFactory,
    MembershipFactory,
    PanelFactory,
    PavementFactory,
    RoundDayFactory,
    RoundStopFactory,
    SeatFactory,
    SiteWindowFactory,
    WorkOrderFactory,
)
from tests.sheets import printed
from tests.views.record import manager_of

pytestmark = pytest.mark.django_db
DAY = date(2026, 11, 1)  # the day on which New York's clock goes back
AT = datetime(2026, 11, 1, 5, 30, tzinfo=UTC)  # the first 01:30 there


class Day:
    """A crew of a manager, signed in, with a round in force on the day."""

    def __init__(self, client):
        self.client = client
        self.pavement, self.person = manager_of()
        self.firm = self.person.organisations.get()
        self.crew = CrewFactory(organisation=self.firm)
        self.round_day = RoundDayFactory(
            round__organisation=self.firm, round__state="done", round__objective={"total": 0},
            crew=self.crew, on=DAY, is_in_force=True, taken_over_at=AT, leaves_at=AT,
            returns_at=AT + timedelta(hours=8),
        )  # fmt: skip
        client.force_login(self.person)

    def order(self, pavement=None, **fields):
        given = {
            "pavement": pavement or self.pavement, "organisation": self.firm,
            "sweeper": self.firm, "crew": self.crew, "state": "dated", "dated_for": DAY,
        }  # fmt: skip
        return WorkOrderFactory(**{**given, **fields})

    def stop(self, order, hours=0, **fields):
        at = AT + timedelta(hours=hours)
        times = {"arrives_at": at, "begins_at": at, "ends_at": at + timedelta(minutes=45)}
        return RoundStopFactory(day=self.round_day, order=order, **{**times, **fields})

    def page(self):
        return self.client.get(reverse("crew_day_sheet", args=[DAY, self.crew.pk]))

    def sheet(self, **given):
        sent = {"paper": "letter", "system": ReadingSystem.INCH_POUND, **given}
        return self.client.post(reverse("crew_day_sheet", args=[DAY, self.crew.pk]), sent)

    def words(self, **given):
        return " ".join(printed.words(self.sheet(**given).content))

    def lines(self):
        answer = self.client.get(reverse("round_file", args=[self.round_day.round_id]))
        return list(csv.DictReader(answer.content.decode().splitlines()))


@pytest.fixture
def day(client):
    return Day(client)


def test_sheet_tells_stops_in_order_with_what_is_known_of_the_site(day):
    site = day.pavement.site
    for name, value in {
        "address": "12 Fennel St", "gate": "code 4711", "clearance_m": 2.5,
        "heaviest_axle_kg": 1360.77711, "entrance": "back gate",
    }.items():  # fmt: skip
        setattr(site, name, value)
    site.save()
    SiteWindowFactory(site=site, because="deliveries after")
    SiteWindowFactory(site=site, kind="closed", to_on=date(2026, 10, 1), because="market season")
    order = day.order(must_be_dry="yes", cars_out_by="Sat 18:00")
    day.stop(order)
    dump = DumpPlaceFactory(organisation=day.firm, hours=[[6, "00:00", "12:00"]], permit="17")
    day.stop(None, 1, kind="dump", dump_place=dump)
    words = day.words()
    assert "SWEEP arrive 01:30 begin 01:30" in words
    assert f"{order.number} {day.pavement.name}" in words
    for told in ("12 Fennel St", "back gate", "code 4711", "height 8.2", "axle 3000", "Sat 18:00",
                 "Sat 05:00-09:00 (deliveries after)", "dry only", "permit 17"):  # fmt: skip
        assert told in words, told
    assert "market season" not in words
    assert words.index(day.pavement.name) < words.index(str(dump))
    assert "2.50 m" in day.words(system=ReadingSystem.SI)


def test_sheet_has_a_number_that_whoever_works_with_the_crew_opens(day, client):
    day.stop(day.order())
    answer = day.sheet()
    assert answer.headers["Content-Type"] == "application/pdf"
    sheet = PrintedSheet.objects.get()
    assert (sheet.number, sheet.kind, sheet.crew, sheet.pavement) == (
        "DAY-0001", "day", day.crew, None,
    )  # fmt: skip
    address = reverse("sheet_page", args=[sheet.number])
    colleague, stranger = MembershipFactory(organisation=day.firm), MembershipFactory()
    for member, status in ((colleague, 200), (stranger, 404)):
        client.force_login(member.person)
        assert client.get(address).status_code == status


def test_page_of_the_printed_sheet_leads_to_crew_and_day(day):
    day.sheet()
    page = day.client.get(reverse("sheet_page", args=["DAY-0001"])).content.decode()
    assert reverse("crew_page", args=[day.crew.pk]) in page
    assert reverse("calendar_day", args=[DAY]) in page


def test_machine_too_high_for_a_site_is_said(day):
    machine = Machine.objects.create(organisation=day.firm, name="m", height_m=2.9, axle_kg=5000)
    day.crew.machine = machine
    day.crew.save(update_fields=["machine"])
    Site.objects.update(clearance_m=2.5, heaviest_axle_kg=6000)
    day.stop(day.order())
    words = day.words(system=ReadingSystem.SI)
    assert "DO NOT GO IN: the machine is 2.90 m high, the site bears 2.50 m." in words
    assert words.count("DO NOT GO IN") == 1


def test_order_dated_beside_the_round_stands_behind_it_without_a_planned_time(day):
    planned, beside = day.order(), day.order()
    day.stop(planned)
    words = day.words()
    assert words.index(beside.number) > words.index(planned.number)
    assert "no clock time set" in words


def test_order_called_off_or_dated_elsewhere_since_is_named_and_no_stop(day):
    for fields in ({"state": "called_off"}, {"dated_for": date(2026, 11, 3)}):
        day.stop(day.order(**fields))
    words, page = day.words(), day.page().content.decode()
    assert "No stop is planned for this day" in words
    for told in ("(called off)", "(now 2026-11-03,"):
        assert told in words
        assert told in page


def test_order_whose_seat_ended_is_neither_told_nor_numbered(day):
    seat = SeatFactory(organisation=day.firm, role="sweeper")
    order = day.order(seat.pavement, number="W-hidden", organisation=day.firm)
    day.stop(order)
    assert "W-hidden" in day.words()
    assert len(day.lines()) == 1
    seat.to_at = timezone.now()
    seat.save(update_fields=["to_at"])
    for shown in (day.words(), day.page().content.decode(), str(day.lines())):
        assert "W-hidden" not in shown
        assert seat.pavement.name not in shown
    assert "an order that is not shown to you any more" in day.words()
    assert day.lines() == []


def test_csv_tells_day_crew_order_of_stops_times_site_rows_and_access(day):
    Site.objects.update(gate="code 4711", address="12 Fennel St")
    order = day.order(covers_all=False, rows_text="rows B-D")
    day.stop(order, drive_min=12)
    day.stop(day.order(), 1)
    first, second = day.lines()
    assert first == first | {
        "day": "2026-11-01", "crew": str(day.crew), "stop": "1", "kind": "work",
        "drive_min": "12", "order": order.number, "site": day.pavement.site.name,
        "address": "12 Fennel St", "rows": "rows B-D", "access_notes": "gate: code 4711",
    }  # fmt: skip
    assert second["rows"] == "the whole pavement"


def test_hour_that_comes_twice_stays_clear_in_the_csv(day):
    day.stop(day.order())
    day.stop(day.order(), 1)
    told = [line["begins_at"] for line in day.lines()]
    assert told == ["2026-11-01T01:30-04:00", "2026-11-01T01:30-05:00"]


@pytest.mark.parametrize("sign", ["=", "+", "-", "@", "\t", "＝"])
def test_no_cell_of_the_csv_begins_a_formula(day, sign):
    """OWASP, "CSV injection": cells that begin so are run by spreadsheet programs."""
    text = f"{sign}HYPERLINK(1)"
    Site.objects.update(name=text, gate=text, address=text)
    day.crew.name = text
    day.crew.save(update_fields=["name"])
    day.stop(day.order(number=text, covers_all=False, rows_text=text))
    (line,) = day.lines()
    for name in ("site", "address", "crew", "order", "rows"):
        assert line[name] == f"'{text}"
    assert not [cell for cell in line.values() if cell.startswith(sign)]


def test_round_of_another_organisation_or_without_a_plan_has_no_file(day):
    path = reverse("round_file", args=[RoundDayFactory().round_id])
    assert day.client.get(path).status_code == 404
    day.round_day.round.state = "working"
    day.round_day.round.save(update_fields=["state"])
    path = reverse("round_file", args=[day.round_day.round_id])
    assert day.client.get(path).status_code == 404


def test_of_an_order_done_in_part_sheet_and_csv_ask_for_the_rest_alone(day):
    """Rows that were done stay done: nobody is sent to sweep them again."""
    a1, a2, a3 = (
        PanelFactory(pavement=day.pavement, name=name, corners=[], width_m=4.0, length_m=5.0)
        for name in ("A1", "A2", "A3")
    )
    order = day.order()
    day.stop(order)
    whole = day.lines()[0]
    assert whole["rows"] == "the whole pavement"
    done = CleaningFactory(
        pavement=day.pavement, work_order=order, state="in_part", missed_why="cars"
    )
    for panel, is_missed in ((a1, False), (a2, True), (a3, True)):
        done.panels.create(panel=panel, is_missed=is_missed, why="cars" if is_missed else "")
    (line,) = day.lines()
    assert (line["rows"], line["area"]) == ("the rest: A2, A3", "431 ft²")  # 40 m2 / 0.3048^2
    assert "the rest: A2, A3, 431 ft²" in day.words()
    assert "the rest: A2, A3, 40 m²" in day.words(system=ReadingSystem.SI)
    url = reverse("work_order_sheet", args=[order.pk])
    sent = {"paper": "letter", "system": ReadingSystem.INCH_POUND}
    page = " ".join(printed.words(day.client.post(url, sent).content))
    assert "the rest: A2, A3, 431 ft²" in page


def test_order_to_be_redone_asks_for_every_row_again(day):
    order = day.order()
    day.stop(order)
    done = CleaningFactory(
        pavement=day.pavement, work_order=order, state="in_part", missed_why="cars"
    )
    panel = PanelFactory(pavement=day.pavement, name="A1")
    done.panels.create(panel=panel, is_missed=True, why="cars")
    assert day.lines()[0]["rows"] == "the rest: A1"
    order.moves.create(from_state="checked", to_state="to_redo", on=DAY)
    assert day.lines()[0]["rows"] == "the whole pavement"


def test_more_stops_ask_no_more_queries(day):
    def asked():
        counts = []
        for path in ("crew_day_sheet", "round_file"):
            args = [DAY, day.crew.pk] if path == "crew_day_sheet" else [day.round_day.round_id]
            with CaptureQueriesContext(connection) as queries:
                assert day.client.get(reverse(path, args=args)).status_code == 200
            counts.append(len(queries))
        return counts

    day.stop(day.order())
    few = asked()
    for n in range(20):
        pavement = PavementFactory()
        SeatFactory(pavement=pavement, organisation=day.firm, role="manager")
        day.stop(day.order(pavement), n / 10)
    assert asked() == few
    assert max(few) <= 12
