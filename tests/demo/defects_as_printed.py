"""The loaded defects against table 2F: tests that the class of the loaded town takes in."""

import re
from datetime import date
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from django.utils import timezone

from registry.actions.import_records import import_records
from registry.defects import OPEN
from registry.demo.defects import STEPS
from registry.demo.tables import read_table
from registry.exchange.files_out import write_csv_folder
from registry.exchange.shown import shown_pavements
from registry.gathering.defect_growth import growths
from registry.models import Defect, DefectLink, Observation, Organisation
from registry.units import System
from tests.factories import OrganisationFactory

SQUARE_FOOT = 0.3048**2
"""m2; the international foot is 0.3048 m exactly (NIST SP 811, appendix B)."""
STATES = {
    "D-101": "no_action",
    "D-102": "watching",
    "D-103": "removed",
    "D-104": "removed",
    "D-105": "watching",
    "D-106": "sound",
    "D-107": "removed",
    "D-108": "repair_ordered",
    "D-109": "closed",
    "D-110": "repair_ordered",
    "D-111": "repaired",
    "D-112": "sound",
    "D-113": "made_safe",
    "D-114": "watching",
    "D-115": "no_action",
    "D-116": "not_found_closed",
    "D-117": "noted",
    "D-118": "noted",
}


class DefectsAsPrinted:
    """What holds of the loaded defects; `test_town.py` loads the town once for all of it."""

    def defect(self, number):
        return Defect.objects.get(other_number=number)

    def looks(self, number, field):
        looks = self.defect(number).observations.standing().in_order()
        return [(str(look.seen_on), getattr(look, field)) for look in looks]

    def test_every_line_is_a_defect_at_its_pavement(self):
        lines = {line["defect"]: line["pavement"] for line in read_table("2F_defects")}
        assert len(lines) == 18
        found = {
            row.other_number: {n.number for n in row.pavement.numbers.all()}
            for row in Defect.objects.all()
        }
        assert found.keys() == lines.keys()
        assert all(lines[number] in found[number] for number in lines)

    def test_raveling_of_c8_grew_from_55_to_60_square_feet(self):
        looks = self.looks("D-104", "area_m2")
        assert [on for on, _ in looks] == ["2023-10-03", "2024-04-18", "2024-10-09"]
        assert [area / SQUARE_FOOT for _, area in looks] == pytest.approx([55, 59, 60])
        last = self.defect("D-104").observations.in_order().last()
        assert (last.severity, last.severity_by_eye, last.written("area_m2")) == (
            "high",
            True,
            "60",
        )

    def test_lengths_are_read_in_their_own_units(self):
        lips = [lip for _, lip in self.looks("D-113", "lip_m")]
        assert lips == pytest.approx([0.10 * 0.0254, 0.20 * 0.0254, 0.35 * 0.0254, 0.45 * 0.0254])
        assert [mm for _, mm in self.looks("D-105", "crack_width_m")] == pytest.approx(
            [0.0010, 0.0012, 0.0015, 0.0015]
        )
        widths = [width / 0.3048 for _, width in self.looks("D-107", "width_m")]
        assert widths == pytest.approx([6, 10, 14, 18, 22])
        (look,) = self.defect("D-118").observations.all()
        measured = (look.length_m, look.width_m, look.area_m2)
        assert measured == pytest.approx((9 * 0.3048, 4 * 0.0254, 3 * SQUARE_FOOT))
        corner = self.defect("D-112").observations.in_order().first()
        assert (corner.size_m, corner.lip_m) == pytest.approx((14 * 0.0254, 0.002))
        assert corner.moves is True
        prints = self.defect("D-101").observations.in_order()
        assert {(o.count, round(o.depth_m, 6)) for o in prints} == {(8, 0.003175)}

    def test_severities_are_those_of_the_table_given_by_eye(self):
        assert [s for _, s in self.looks("D-108", "severity")] == ["low", "moderate", "high"]
        assert [s for _, s in self.looks("D-110", "severity")] == ["moderate", "high"]
        assert [s for _, s in self.looks("D-117", "severity")] == [""]
        # The last word of the cell, at the last look that found it.
        for line in read_table("2F_defects"):
            words = re.findall("low|moderate|high", line["severity"])
            found = self.defect(line["defect"]).observations.filter(found="found")
            if words and found:
                last = found.in_order().last()
                assert (last.severity, last.severity_by_eye) == (words[-1], True), line["defect"]

    def test_c8_recurs_in_the_new_concrete_at_the_same_place(self):
        old, new = self.defect("D-104"), self.defect("D-118")
        (link,) = DefectLink.objects.all()
        assert (link.defect, link.relation, link.other) == (new, "recurs", old)
        assert old.panel.name == "C8" and new.panel.name == "C8"
        assert new.panel.replaces_id == old.panel_id
        assert (old.concrete_placed_on.year, new.concrete_placed_on.year) == (2023, 2025)
        assert new.outline_kind == "line"

    def test_states_are_reached_as_the_table_says(self):
        assert {row.other_number: row.state for row in Defect.objects.all()} == STATES
        is_open = {row.other_number for row in Defect.objects.open()}
        assert is_open == {number for number, state in STATES.items() if state in OPEN}
        assert not is_open & {"D-103", "D-104", "D-107", "D-109", "D-116"}

    def test_moves_keep_the_days_of_the_table(self):
        moves = [(m.to_state, str(m.on)) for m in self.defect("D-109").moves.all()]
        assert moves == [
            ("noted", "2022-04-05"),
            ("confirmed", "2022-04-05"),
            ("repair_ordered", "2022-04-05"),
            ("repaired", "2022-06-14"),
            ("sound", "2023-05-17"),
            ("closed", "2026-05-20"),
        ]
        back = self.defect("D-111").moves.get(is_back=True)
        assert (back.to_state, back.on, back.why) == (
            "repair_ordered",
            date(2025, 5, 21),
            "low again: 90 ft²",
        )
        for row in Defect.objects.all():
            days = [m.on for m in row.moves.all()]
            assert days == sorted(days), row.other_number

    def test_each_written_day_of_a_move_stands_in_its_line(self):
        lines = {line["defect"]: " ".join(line.values()) for line in read_table("2F_defects")}
        for number, steps in STEPS.items():
            for step in steps:
                if step.on is not None and "day not written" not in step.why:
                    assert str(step.on) in lines[number], (number, step)

    def test_places_are_on_the_plan_or_stay_as_written(self):
        lines = read_table("2F_defects")
        column = "location (panel, ft right and up; or station)"
        for line in lines:
            assert self.defect(line["defect"]).written("place") == line[column]
        spot = self.defect("D-101")
        assert spot.outline == [pytest.approx([5.0 * 0.3048, 19.5 * 0.3048])]
        words = {row.other_number: row for row in Defect.objects.filter(is_provisional=True)}
        assert words.keys() == {"D-107", "D-109", "D-112", "D-116", "D-117"}
        assert all(row.outline == [] for row in words.values())
        assert words["D-109"].panels_text == "F1, F2, F3, F4, F5, F6"
        assert words["D-112"].panel.name == "C2"
        assert words["D-116"].panel is None

    def test_what_is_no_look_stays_a_remark(self):
        assert "2023-10-03: none" in self.defect("D-103").note
        assert "quick look: water stands" in self.defect("D-110").note
        moss = self.defect("D-114")
        assert not moss.observations.exists()
        assert "each spring: 40-60 ft²" in moss.note
        assert "2025-05-20: same" in self.defect("D-106").note
        missed = Observation.objects.filter(found="not_found")
        assert sorted((o.defect.other_number, str(o.seen_on)) for o in missed) == [
            ("D-109", "2023-05-17"),
            ("D-109", "2026-05-20"),
            ("D-116", "2026-05-19"),
        ]

    def test_town_has_the_lip_whose_ramp_was_proved_to_it_and_no_other(self):
        """Table 3E, F-23-01: proof sent 2023-09-11."""
        sent = Defect.objects.filter(submitted_on__isnull=False)
        assert [(d.other_number, d.submitted_on) for d in sent] == [("D-113", date(2023, 9, 11))]
        looks = Observation.objects.filter(submitted_on__isnull=False).order_by("seen_on")
        assert [look.seen_on.year for look in looks] == [2021, 2022, 2023]

    def test_growth_that_is_not_shown_to_be_measured_alike_says_so(self):
        row = Defect.objects.get(other_number="D-105")
        looks = list(row.observations.standing().in_order())
        lines = [line for part in growths(row, looks, [], System.SI) for line in part.words]
        assert lines
        assert all("not shown to be measured alike" in line for line in lines if "+" in line)

    def test_files_of_defects_come_back_byte_for_byte(self):
        """Whoever holds any: out of the record, into an empty one, and out again."""
        told = 0
        with TemporaryDirectory() as place:
            for number, owner in enumerate(Organisation.objects.order_by("pk")):
                folder = Path(place) / f"{number}"
                written = defects_of(owner, folder)
                if len(written.splitlines()) < 2:
                    continue
                other = OrganisationFactory(time_zone=owner.time_zone, system=owner.system)
                import_records(folder, organisation=other)
                assert defects_of(other, Path(place) / f"{number} again") == written
                told += len(written.splitlines()) - 1
        assert told > 100


def defects_of(owner, folder):
    """The file of defects that an organisation gets."""
    write_csv_folder(folder, shown_pavements([owner.pk], timezone.now()), timezone.now())
    return (folder / "defects.csv").read_text()
