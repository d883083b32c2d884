"""A sheet is drawn under its number, and what the record keeps of it says what was on it."""

from dataclasses import replace

from registry.sheets.contents import InfiltrationContent, InspectionContent, KnownDefect, digest_of
from registry.sheets.printing import draw_sheet, kept_of
from tests.sheets.made_up import SPOTS, heading
from tests.sheets.printed import words

DEFECT = KnownDefect(12, "D6", "raveling", row_id=91)
INSPECTION = InspectionContent(heading(), spots=SPOTS, known=(DEFECT,))
TEST = InfiltrationContent(heading("INFILTRATION TEST"), spots=SPOTS)


def test_each_kind_of_content_is_drawn_as_its_own_sheet():
    for content, number in ((INSPECTION, "INS-0417"), (TEST, "INF-0009")):
        sheet = draw_sheet(
            content, number=number, public_url="https://records.example.org", paper="a4"
        )
        told = " ".join(words(sheet.pdf))
        assert number in told and content.heading.title in told


def test_record_keeps_spots_as_printed_and_which_defect_each_number_was():
    kept = kept_of(INSPECTION)
    assert kept["spots"][0] == ["U", "D6 · 6.0 R · 6.0 U", "run-on edge"]
    assert kept["known"] == [[12, "D6", "raveling", "", 91]]
    assert "known" not in kept_of(TEST)


def test_digest_changes_with_anything_the_sheet_says():
    other = replace(INSPECTION, known=(replace(DEFECT, place="D7"),))
    assert kept_of(INSPECTION)["digest"] == digest_of(INSPECTION) != digest_of(other)
