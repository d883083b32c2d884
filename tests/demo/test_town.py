"""The loaded town against its own tables: what is printed there is what the record says."""

import re
from datetime import UTC, date, datetime
from io import StringIO

import pytest
from django.core.management import CommandError, call_command
from django.test import TestCase

from registry import access
from registry.demo.tables import read_table
from registry.gathering.condition import condition_of
from registry.gathering.demand import demand_rows
from registry.gathering.gains import gains_of
from registry.gathering.readings import reading_of
from registry.gathering.spot_days import declines_of_spot, spot_days
from registry.measuring.cleaning_gain import Gain
from registry.measuring.reading import compute_rate
from registry.measuring.spot_decline import LEAST_SLOPE
from registry.models import (
    Cleaning,
    InfiltrationTest,
    JournalLine,
    Organisation,
    Pavement,
    PavementNumber,
    PavementState,
    Person,
    PrintedSheet,
    Seat,
)
from registry.models.choices import Role
from tests.demo.defects_as_printed import DefectsAsPrinted
from tests.demo.placing_as_printed import PlacingAsPrinted

TODAY = date(2026, 10, 15)
"""The day of the tables."""
INCH = 25.4
TABLES_OF_TESTS = ("1B_acceptance_tests", "1M_after_repair_tests", "2B_tests", "3B_town_tests")


def figure(value):
    """Write a rate as the tables do: whole from 10 up, one decimal below."""
    return f"{value:,.0f}" if value >= 10 else f"{value:.1f}"


def rate_cell(row):
    """Write what the record says of one test as the column of rates does."""
    if row.result_value is None:
        return {"ring_missing": "not computed", "not_done": "-"}.get(
            row.no_result_code, row.no_result_code.replace("_", " ")
        )
    text = f"{row.result_sign} {figure(row.result_value)}".strip()
    if row.system == "si":
        return f"{text} mm/h (= {figure(row.result_value / INCH)} in/h)"
    if row.result_estimate is not None:
        return f"{text} (estimate {figure(row.result_estimate)})"
    return text


def lines_of_tests():
    for table in TABLES_OF_TESTS:
        yield from read_table(table)


class TestTown(DefectsAsPrinted, PlacingAsPrinted, TestCase):
    """Loaded once, by the command; no test changes it."""

    @classmethod
    def setUpTestData(cls):
        out = StringIO()
        call_command("load_demo", stdout=out)
        cls.printed = out.getvalue()

    def pavement(self, number):
        return PavementNumber.objects.select_related("pavement__site").get(number=number).pavement

    def test_every_rate_is_as_printed(self):
        expected = {line["test"]: line["rate in/h"] for line in lines_of_tests()}
        # Three cells say more than a rate: what was typed, and three figures of a bound.
        expected |= {"T-326": "300", "T-333": "10,224", "S-40": "> 3,195"}
        # Those of the invented loading bay stand in no table and have no number.
        rows = InfiltrationTest.objects.exclude(number="")
        assert {row.number: rate_cell(row) for row in rows} == expected

    def test_cells_that_say_more_than_a_rate_hold_too(self):
        cells = {line["test"]: line["rate in/h"] for line in lines_of_tests()}
        assert cells["T-326"] == "136 as written; 300 if kg"
        reading = reading_of(InfiltrationTest.objects.get(number="T-326"))
        as_written = compute_rate(type(reading)(**{**vars(reading), "water": 18.14}))
        assert figure(as_written.value) == "136"
        assert cells["T-333"] == "10,224 as written"
        assert cells["S-40"] == "> 3,190"
        bound = InfiltrationTest.objects.get(number="S-40").result_value
        assert (bound // 10) * 10 == 3190

    def test_every_use_and_refusal_is_as_printed(self):
        words = {
            "yes": ("trend", ""),
            "yes, as a bound": ("bound", ""),
            "yes, corrected to 300": ("trend", ""),
            "no": ("not_computed", "not_done"),
            "no, under 24 h": ("looked_at", "under_24_h"),
            "no, order unknown": ("looked_at", "cleaning_order_unknown"),
            "no, within 24 h of rain": ("looked_at", "wet_day"),
            "no, until the ring is known": ("not_computed", "ring_missing"),
            "no, repeat": ("looked_at", "too_short"),
            "no, looked at only": ("looked_at", "not_to_standard"),
            "no, void": ("void", "void"),
        }
        used = {line["test"]: line["used for trend?"] for line in read_table("2B_tests")}
        used |= {line["test"]: line["used?"] for line in read_table("3B_town_tests")}
        rows = InfiltrationTest.objects.filter(number__in=used)
        found = {row.number: (row.use, row.use_code) for row in rows}
        assert found == {number: words[word] for number, word in used.items()}

    def test_readings_are_kept_as_written(self):
        written = {
            row.number: row.as_written
            for row in InfiltrationTest.objects.filter(
                number__in=("T-255", "T-326", "T-333", "T-340")
            )
        }
        assert written["T-255"]["ring"] == "11,98"
        assert written["T-326"]["water"] == '18.14 "lb"'
        assert written["T-333"]["seconds"] == "3.42 (typed)"
        assert written["T-340"]["water"] == "5 gal pail"

    def test_a_test_that_two_papers_have_counts_once(self):
        doubles = InfiltrationTest.objects.filter(double_of__isnull=False)
        pairs = {row.number: row.double_of.number for row in doubles}
        assert len(pairs) == 12
        assert (pairs["A-23"], pairs["A-14"], pairs["A-32"]) == ("T-201", "T-207", "T-204")
        assert not doubles.filter(use="trend").exists()
        assert figure(doubles.get(number="A-24").result_value) == "610"

    def test_void_test_says_why_and_keeps_its_readings(self):
        row = InfiltrationTest.objects.get(number="S-40")
        assert (row.void_why, row.water, row.seconds) == ("core hole under the ring", 40.02, 11.0)

    def test_kilograms_in_the_pound_column_are_corrected_by_a_line(self):
        row = InfiltrationTest.objects.get(number="T-326")
        line = JournalLine.objects.about(row).corrections().get()
        assert line.changes == {"water": ['18.14 "lb"', "18.14 kg (= 39.99 lb)"]}
        assert "2026-06-02" in line.why
        assert not row.doubts

    def test_action_levels_are_as_printed(self):
        found, expected = {}, {}
        for table, number in (("2A_pavements", "no."), ("3A_register", "town no.")):
            for line in read_table(table):
                key = line[number]
                if line["action level in/h"] == "-":
                    continue
                day = date(2025, 8, 28) if key in ("PP-19-06", "BC-04") else date(2024, 10, 31)
                demand = demand_rows(self.pavement(key)).on(day)
                found[key] = self.printed_demand(demand)
                names = ("run-on ratio", "required rate in/h", "action level in/h")
                expected[key] = tuple(line[name] for name in names)
        assert len(found) == 25
        assert found == expected

    def printed_demand(self, demand):
        assert demand.made_by in ("floor", "required rate"), "never typed"
        required, level = demand.demand.required_mm_h / INCH, demand.action_mm_h / INCH
        # 3,000 on 4,800 ft² is 0.625 but for the last binary digit; the table has the even 0.62.
        ratio = round(demand.demand.ratio, 9)
        return f"{ratio:.2f}", f"{required:.1f}", f"{level:.1f}"

    def test_slope_that_was_cut_off_lowers_the_level_from_its_day(self):
        rows = demand_rows(self.pavement("PP-19-06"))
        assert self.printed_demand(rows.on(date(2025, 8, 28))) == ("3.09", "10.5", "21.0")
        assert self.printed_demand(rows.on(date(2025, 8, 29))) == ("2.00", "9.3", "18.6")

    def test_condition_words_are_as_printed_from_the_towns_readings(self):
        found, expected = {}, {}
        for line in read_table("3D_condition"):
            key = line["town no."]
            condition = condition_of(self.pavement(key), viewpoint="town", today=TODAY)
            lowest = figure(condition.lowest.mm_h / INCH) if condition.lowest else "-"
            level = f"{condition.demand.action_mm_h / INCH:.1f}"
            found[key] = (condition.word.word.value.replace("_", " "), lowest, level)
            expected[key] = tuple(
                line[name] for name in ("condition word", "lowest usable rate in/h", "action level")
            )
        # The rule takes the lowest of 24 months, 515 of May 2025; the table has the latest.
        assert expected["PP-21-05"] == ("working", "525", "10.0")
        expected["PP-21-05"] = ("working", "515", "10.0")
        assert found == expected

    def test_holders_see_the_same_words_from_all_readings(self):
        found = {}
        for line in read_table("3D_condition"):
            key = line["town no."]
            condition = condition_of(self.pavement(key), viewpoint="holder", today=TODAY)
            found[key] = condition.word.word.value.replace("_", " ")
            if key == "PP-23-07":
                # A test after the repair that no statement sent: still high above the level.
                lowest = condition.lowest
                assert (lowest.spot, figure(lowest.mm_h / INCH)) == ("B9", "131")
        words = {line["town no."]: line["condition word"] for line in read_table("3D_condition")}
        assert found == words

    def test_lowest_places_are_where_the_table_says(self):
        expected = {
            "PP-18-09": "W", "PP-19-06": "C3", "PP-22-05": "U", "PP-22-08": "A1 edge",
            "PP-20-07": "U", "PP-25-02": "U",
        }  # fmt: skip
        found = {
            key: condition_of(self.pavement(key), viewpoint="town", today=TODAY).lowest.spot
            for key in expected
        }
        assert found == expected

    def test_open_slope_keeps_a_washed_lot_at_watch(self):
        word = condition_of(self.pavement("PP-22-05"), viewpoint="holder", today=TODAY).word
        assert (word.word, word.rule) == ("watch", "A source of dirt is open.")

    def test_gains_of_cleanings_are_as_printed(self):
        found, expected = {}, {}
        for line in read_table("2D_recovery"):
            key = (line["event"], line["point"])
            result = self.gain(*key)
            share = result.no_share or f"{100 * result.share:.0f} %"
            found[key] = (result.text, share)
            expected[key] = (line["gain (after / before)"], line["regained share of what was lost"])
        # 6.1 over a bound of 3.87 is 1.575: "> 1.6", as the table rounds it, would claim too much.
        assert expected["C-12", "BC-04 U"] == ("> 1.6", "no as-built")
        expected["C-12", "BC-04 U"] = ("> 1.5", "no as-built")
        assert found == expected

    def gain(self, event, point):
        cleaning = Cleaning.objects.get(number=event)
        tests = cleaning.pavement.infiltration_tests.select_related("spot")
        at = next(
            g
            for g in gains_of(cleaning, tests, cleaning.pavement.cleanings.restorative())
            if g.spot.name == point.split()[1]
        )
        assert isinstance(at.result, Gain), at.result
        return at.result

    def test_declines_are_as_printed(self):
        """Of the manager's own tests: the table knows neither the town's nor the contractor's."""
        for line in read_table("2E_decline"):
            with self.subTest(line["pavement"], point=line["point"], since=line["segment"]):
                self.check_decline(line, self.decline(line))

    def decline(self, line):
        pavement = self.pavement(line["pavement"])
        tests = pavement.infiltration_tests.standing().select_related("spot")
        own = tests.exclude(number__startswith="S-").exclude(number__startswith="A-")
        days = [d for d in spot_days(own) if d.spot.name == line["point"]]
        washes = [c.done_on for c in pavement.cleanings.restorative()]
        stretches = declines_of_spot(
            days, washes, lambda day: demand_rows(pavement).on(day).action_mm_h, TODAY
        )
        first, last = line["first to last in/h"].split(" to ")
        return next(
            d
            for d in stretches
            if figure(d.segment.tests[0].mm_h / INCH) == first
            and figure(d.segment.tests[-1].mm_h / INCH) == last
        )

    def check_decline(self, line, decline):
        assert str(len(decline.segment.tests)) == line["tests"]
        assert f"{decline.span_years:.1f}" == line["span yr"]
        printed = line["loss per year (median slope)"]
        if printed == "about 0 %":
            assert abs(decline.slope) <= LEAST_SLOPE
        else:
            loss = decline.two_test_loss if decline.slope is None else decline.loss_per_year
            assert f"{100 * loss:.0f} %" == printed
        half_life = "-" if decline.half_life_years is None else f"{decline.half_life_years:.1f}"
        assert half_life == line["half-life yr"]
        assert self.time_left(decline) == line["time to action level"].split(";")[0]

    def time_left(self, decline):
        if decline.years_left is not None:
            return f"{decline.years_left:.1f} yr, about {decline.reaches_on:%Y-%m}"
        return {
            "more_than_10": "more than 10 yr",
            "no_decline": "no decline shown",
            "too_few": "too few to give a date",
        }[decline.no_date.code]

    def test_declines_from_all_readings_say_the_same_on_the_pages(self):
        """As the pages have them in spring 2026, before the town's audit added its own days."""
        condition = condition_of(
            self.pavement("BC-01"), viewpoint="holder", today=date(2026, 5, 31)
        )
        by_name = {spot.name: d[-1] for spot, d in condition.declines.items()}
        assert round(100 * by_name["U"].loss_per_year) == 36
        assert by_name["U"].reaches_on == date(2031, 12, 1)
        # The contractor's acceptance test of 2020 makes one more day than the manager knew.
        paths = condition_of(self.pavement("BC-08"), viewpoint="holder", today=date(2026, 5, 31))
        (of_edge,) = (d[-1] for spot, d in paths.declines.items() if spot.name == "U")
        assert (len(of_edge.segment.tests), round(of_edge.span_years, 1)) == (5, 5.9)
        assert round(100 * of_edge.loss_per_year) == 7

    def test_rows_left_out_keep_their_last_cleaning(self):
        event = Cleaning.objects.get(number="C-06")
        assert (event.covers_all, event.rows_text) == (False, "rows A-C")
        rows = {p.panel.name[0] for p in event.panels.filter(is_missed=False)}
        missed = {p.panel.name[0] for p in event.panels.filter(is_missed=True)}
        # Row D was not in the order, so it was neither covered nor missed.
        assert (rows, missed) == ({"A", "B", "C"}, set())
        size = sum(p.panel.width_m * p.panel.length_m for p in event.panels.filter(is_missed=False))
        assert event.area_m2 == pytest.approx(size)
        old = Cleaning.objects.get(number="C-17")
        assert {p.panel.name[0] for p in old.panels.filter(is_missed=False)} == {"C", "D"}

    def test_cleanings_in_doubt_are_kept_as_written(self):
        none, metres, away, damp = (
            Cleaning.objects.get(number=n) for n in ("C-07", "C-09", "C-11", "C-13")
        )
        assert (none.area_m2, none.kind_of_empty("area_m2"), none.debris_bags) == (
            None, "not known", 3,
        )  # fmt: skip
        line = JournalLine.objects.about(metres).corrections().get()
        assert line.changes == {"area_m2": ['602 "ft²"', "602 m² (= 6,480 ft²)"]}
        assert metres.area_m2 == 602.0
        assert (away.is_cleaning, away.why_not) == (False, "14 cars in the stalls")
        assert (damp.surface, damp.last_rain) == ("damp", "20 h before")

    def test_week_of_the_town_is_kept_as_run(self):
        week = Cleaning.objects.filter(done_on__range=(date(2026, 9, 14), date(2026, 9, 20)))
        found = {c.done_on.day: c for c in week}
        assert {day: c.state for day, c in found.items()} == {
            14: "done", 15: "done", 16: "in_part", 17: "called_off", 18: "called_off", 19: "done",
            20: "in_part",
        }  # fmt: skip
        assert found[16].area_m2 == pytest.approx(2900 * 0.3048**2)
        assert found[20].panels.filter(is_missed=True).count() == 3
        assert found[15].after_tests.get().number == "S-30"

    def test_statements_send_the_readings_of_their_year(self):
        sent = dict(InfiltrationTest.objects.values_list("number", "submitted_on"))
        assert sent["T-246"] == date(2023, 7, 28)
        assert sent["T-245"] is None, "left out of the statement"
        assert sent["T-332"] == date(2026, 8, 6), "returned once for its units"
        assert sent["T-338"] == date(2026, 7, 28)
        assert sent["T-213"] is None, "before statements began"
        assert sent["A-35"] == date(2026, 8, 20)

    def test_town_does_not_see_what_a_statement_left_out(self):
        reviewer = Person.objects.get(name="Amara Quill")
        lot = self.pavement("PP-19-06")
        seen = set(access.visible_tests(reviewer, lot).values_list("number", flat=True))
        assert "T-246" in seen
        assert "T-245" not in seen

    def test_panels_add_up_to_the_areas(self):
        for pavement in Pavement.objects.filter(panels__isnull=False).distinct():
            panels = pavement.panels.standing().existing_on(TODAY)
            total = sum(p.width_m * p.length_m for p in panels)
            assert total == pytest.approx(pavement.area_m2, rel=1e-9), pavement

    def test_split_lot_keeps_its_area_and_both_parts_say_their_word(self):
        whole = self.pavement("PP-23-03")
        parts = [self.pavement(f"PP-23-03 {part}") for part in ("10A", "10B")]
        assert whole.state == PavementState.SPLIT
        assert sum(p.area_m2 for p in parts) == pytest.approx(whole.area_m2)
        assert {p.parent for p in parts} == {whole}
        at = datetime(2026, 10, 15, tzinfo=UTC)
        owners = Seat.objects.held_at(at).filter(pavement__in=parts, role=Role.OWNER)
        names = {s.pavement.name[-3:]: s.organisation.name for s in owners}
        assert names == {"10A": "R. Ainslow", "10B": "Oakum Ltd"}
        managed = Seat.objects.held_at(at).filter(pavement__in=parts, role=Role.MANAGER)
        assert [s.pavement.name[-3:] for s in managed] == ["10A"]

    def test_sale_ends_the_sellers_and_the_managers_seats(self):
        drive = self.pavement("PP-25-02")
        hour = datetime(2026, 3, 31, 4, tzinfo=UTC)
        ended = Seat.objects.filter(pavement=drive, to_at=hour)
        assert {s.organisation.name for s in ended} == {"D. Perrin", "Brindle Court Property Care"}
        (contract,) = Seat.objects.filter(pavement=drive, role=Role.CONTRACTOR)
        assert (contract.to_at, contract.warranty_last_on) == (None, date(2027, 5, 29))

    def test_second_entry_of_one_lot_points_to_the_first(self):
        second = self.pavement("PP-24-09")
        assert second.double_of == self.pavement("PP-24-06")
        assert second.area_m2 == 446.0
        assert second.written("area_m2") == "446 ft²"

    def test_numbers_stand_side_by_side(self):
        north = self.pavement("BC-01")
        assert {n.number for n in north.numbers.all()} == {"BC-01", "PP-23-07", "H-2306"}

    def test_renewed_panels_have_their_own_day_and_warranty(self):
        north = self.pavement("BC-01")
        renewed = north.panels.filter(replaces__isnull=False)
        assert renewed.count() == 11
        assert {p.placed_on for p in renewed} == {date(2025, 5, 13), date(2025, 5, 14)}
        seat = Seat.objects.get(pavement=north, section__isnull=False)
        assert seat.warranty_last_on == date(2026, 6, 5)
        rear = self.pavement("BC-04")
        ended = rear.spots.get(name="U")
        assert (ended.place, ended.ended_why) == ("A4", "panel replaced")
        assert rear.spots.get(name="A4 new").concrete_placed_on == date(2025, 8, 29)

    def test_three_people_can_sign_in_with_what_was_printed(self):
        lines = re.findall(r"^  (\S+@\S+) +(\S+)$", self.printed, re.MULTILINE)
        assert len(lines) == 3
        for email, password in lines:
            assert Person.objects.get(email=email).check_password(password)
        others = Person.objects.exclude(email__in=[email for email, _ in lines])
        assert not any(person.has_usable_password() for person in others)

    def test_each_seat_sees_its_pavements(self):
        seen = {
            name: {
                n.number
                for p in access.visible_pavements(Person.objects.get(name=name))
                for n in p.numbers.filter(organisation__name=organisation)
            }
            for name, organisation in (
                ("Ines Marlow", "Brindle Court Property Care"),
                ("J. Hollin", "Hollin & Daughters Flatwork"),
                ("Amara Quill", "Town of Sedgewater, Streets & Water"),
            )
        }
        managed = {line["no."] for line in read_table("2A_pavements")}
        assert seen["Ines Marlow"] == managed | {"BC-10A"}
        assert seen["J. Hollin"] == {line["job"] for line in read_table("1A_pavements")}
        register = {line["town no."] for line in read_table("3A_register")}
        assert seen["Amara Quill"] == register | {"PP-23-03 10A", "PP-23-03 10B"}

    def test_nobody_is_asked_about_a_lot_that_was_split_or_entered_twice(self):
        reviewer = Person.objects.get(name="Amara Quill")
        standings = access.seen_standings(reviewer, access.open_roles(reviewer))
        asked = {s.pavement_id for s in standings}
        assert self.pavement("PP-23-03 10B").pk in asked
        assert not asked & {self.pavement(n).pk for n in ("PP-23-03", "PP-24-09")}

    def test_town_is_loaded_once(self):
        with pytest.raises(CommandError, match="in this database already"):
            call_command("load_demo")
        assert Organisation.objects.count() == 16
        assert not PrintedSheet.objects.exists()
