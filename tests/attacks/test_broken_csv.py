"""CSV files as they really come: each is refused or asked about, by file, row and column."""

from pathlib import Path

import pytest
from django.urls import reverse

from registry.exchange.problems import Problem
from registry.models import InfiltrationTest, Pavement, Site, Spot
from tests import factories
from tests.attacks.receive import store
from tests.attacks.spreadsheets import HEADER, LOTS, lots, row, runs, sent

pytestmark = pytest.mark.django_db
PAVEMENTS, TESTS = "pavements.csv", "infiltration_tests.csv"
US_RING = HEADER.replace("ring_mm,water_kg", "ring_in,water_lb")
MIXED = HEADER.replace("water_kg", "water_lb")

REFUSED = {
    "semicolons, two columns": ({"lots": "ref;name\nP1;Lot\n"}, PAVEMENTS, 1, "", "semicolons"),
    "tabs": ({"lots": LOTS.replace(",", "\t")}, PAVEMENTS, 1, "", "parted by tabs"),
    "strokes": ({"lots": LOTS.replace(",", "|")}, PAVEMENTS, 1, "", "upright strokes"),
    "a line for one program": ({"lots": "sep=,\n" + LOTS}, PAVEMENTS, 1, "", "Delete it"),
    "the same with semicolons": ({"lots": "sep=;\n" + LOTS}, PAVEMENTS, 1, "", "Delete it"),
    "UTF-16 without its mark": (
        {"lots": LOTS.encode("utf-16-le")}, PAVEMENTS, None, "", "one in UTF-16",
    ),
    "UTF-16, the other end first": (
        {"lots": b"\xfe\xff" + LOTS.encode("utf-16-be")}, PAVEMENTS, None, "", "in UTF-16",
    ),
    "Windows-1252": (
        {"lots": LOTS.replace("Lot", "“Lot”").encode("cp1252")}, PAVEMENTS, None, "",
        "Line 2 is not UTF-8: byte 0x93 after “P1,”",
    ),
    "a byte order mark": ({"lots": b"\xef\xbb\xbf"}, PAVEMENTS, None, "", "not even a header"),
    "line ends alone": ({"lots": "\n\n\n"}, PAVEMENTS, None, "", "not even a header"),
    "blanks alone": ({"lots": "   \n"}, PAVEMENTS, None, "", "not even a header"),
    "a page": ({"lots": "<html><table><tr><td>ref</td></table>"}, PAVEMENTS, 1, "", "no header"),
    "a title above": ({"lots": "Our lots,,,,,\n" + LOTS}, PAVEMENTS, 1, "", "above the header"),
    "100 000 columns": (
        {"lots": ",".join(f"c{n}" for n in range(100_000))}, PAVEMENTS, 1, "", "100000 cells",
    ),
    "100 000 cells in a row": (
        {"lots": LOTS + "P2" + "," * 100_000 + "x\n"}, PAVEMENTS, 3, "", "100001 cells",
    ),
    "10 MB in one cell": (
        {"lots": LOTS.replace("Lot", "x" * 10 * 2**20)}, PAVEMENTS, 2, "", "longer than 131072",
    ),
    "10 MB in the header": ({"lots": "x" * 10 * 2**20}, PAVEMENTS, 1, "", "longer than 131072"),
    "40 MB in one line": ({"lots": b"a,b\n" * 10 + b"x" * 40 * 2**20}, PAVEMENTS, 11, "", "32 MB"),
    "a quote never closed": (
        {"lots": LOTS + '"P2,Lot' + "\nx,y" * 99}, PAVEMENTS, 3, "", "quotation marks",
    ),
    "a quote never closed over megabytes": (
        {"lots": LOTS + '"P2,Lot' + "\nx,y" * 99_999}, PAVEMENTS, 3, "", "Close its quotation mark",
    ),
    "a quote inside": ({"lots": LOTS.replace("Lot", '"Lo"t')}, PAVEMENTS, 2, "", "quotation marks"),
    "a column twice, in capitals": (
        {"infiltration_tests": f"{HEADER}, Seconds \n" + row().replace("\n", ",5\n")},
        TESTS, 1, "seconds", "there twice",
    ),
    "a second header": (
        {"infiltration_tests": runs(",,,,mm,kg,s,\n", row())}, TESTS, 2, "ring_mm", "“mm” is not",
    ),
    "a line of totals": (
        {"infiltration_tests": runs(row(), "\n", "Total,,,,,3.6,120.5,\n")},
        TESTS, 4, "point", "If the row is no record, delete it",
    ),
    "a footnote": (
        {"lots": LOTS + "\n* areas by tape\n"}, PAVEMENTS, 4, "name", "no record, delete it",
    ),
    "a row after a blank one": (
        {"infiltration_tests": runs(row(), ",,,,,,,\n", row(point="T2", ended="dranied"))},
        TESTS, 4, "ended", "“dranied”",
    ),
    "a day kept as a number": (
        {"infiltration_tests": runs(row(started_at="45047"))}, TESTS, 2, "started_at",
        "Give the column a format of dates",
    ),
    "a day and hour kept as a number": (
        {"infiltration_tests": runs(row(started_at="45047.4166667"))}, TESTS, 2, "started_at",
        "“45047.4166667” is a number",
    ),
    "a day before all records": (
        {"lots": LOTS.replace("2019", "1899")}, PAVEMENTS, 2, "placed_on", "1900 to 2999",
    ),
    "24:00": (
        {"infiltration_tests": runs(row(started_at="2023-05-01 24:00"))}, TESTS, 2, "started_at",
        "00:00 of the next",
    ),
    "an hour that was skipped": (
        {"infiltration_tests": runs(row(started_at="2023-03-12 02:30"))}, TESTS, 2, "started_at",
        "never was: the clocks in America/New_York skipped that hour",
    ),
    "an offset that was not": (
        {"infiltration_tests": runs(row(started_at="2023-07-01 10:00-05:00"))}, TESTS, 2,
        "started_at", "were not at -05:00 then",
    ),
    "29 February 2023": (
        {"infiltration_tests": runs(row(started_at="2023-02-29"))}, TESTS, 2, "started_at",
        "no such day",
    ),
    "a half-day clock": (
        {"infiltration_tests": runs(row(started_at="2023-05-01 2:30 PM"))}, TESTS, 2,
        "started_at", "write 2025-11-02 13:40",
    ),
    "ring in mm, water in lb": (
        {"infiltration_tests": f"{MIXED}\n" + row(water_kg="8")}, TESTS, 2, "ring_mm, water_lb",
        "mixed in one row",
    ),
    "inches in a column of mm": (
        {"infiltration_tests": runs(row(ring_mm="11.98"))}, TESTS, 2, "ring_mm", "its unit",
    ),
    "millimetres in a column of inches": (
        {"infiltration_tests": f"{US_RING}\n" + row(ring_mm="304.3", water_kg="8")}, TESTS, 2,
        "ring_in", "its unit",
    ),
    "a unit in the cell": (
        {"infiltration_tests": runs(row(ring_mm="12 in"))}, TESTS, 2, "ring_mm",
        "has the unit “in”, but the column is ring_mm",
    ),
    "a percentage": (
        {"infiltration_tests": runs(row(water_kg="50%"))}, TESTS, 2, "water_kg", "“%” is not",
    ),
    "an error in a text": (
        {"infiltration_tests": runs(row(point="#REF!"))}, TESTS, 2, "point", "the error #REF!",
    ),
    "an error in a number": (
        {"infiltration_tests": runs(row(seconds="#N/A"))}, TESTS, 2, "seconds", "the error #N/A",
    ),
    "an error in a choice": (
        {"infiltration_tests": runs(row(ended="#NAME?"))}, TESTS, 2, "ended", "the error #NAME?",
    ),
    "a ref with a blank after it": ({"lots": lots("P1", "P1 ")}, PAVEMENTS, 3, "ref", "row 2 too"),
    "a ref in other case": (
        {"infiltration_tests": runs(row(pavement_ref="p1"))}, TESTS, 2, "pavement_ref",
        "Write P1 if it is the one",
    ),
    "a ref in full-width figures": (
        {"infiltration_tests": runs(row(pavement_ref="Ｐ１"))}, TESTS, 2, "pavement_ref",
        "Write P1 if it is the one",
    ),
    "a ref with a letter for a figure": (
        {"infiltration_tests": runs(row(pavement_ref="Pl"))}, TESTS, 2, "pavement_ref",
        "Check the ref, or add the pavement",
    ),
}  # fmt: skip
REFUSED |= {
    "rows parted by semicolons below a header of commas": (
        {"lots": LOTS.splitlines()[0] + "\n" + LOTS.splitlines()[1].replace(",", ";") + "\n"},
        PAVEMENTS, 2, "", "parted by semicolons, those of the header by commas",
    ),
    "a stroke for a time nobody read": (
        {"infiltration_tests": runs(row(seconds="-"))}, TESTS, 2, "seconds", "“-” is not a number",
    ),
    "less than no area": (
        {"lots": LOTS.replace("420", "-4")}, PAVEMENTS, 2, "area_m2", "an area cannot be negative",
    ),
}  # fmt: skip
ASKED = {
    "an area of a town": (
        {"lots": LOTS.replace("420", "9999999")}, PAVEMENTS, 2, "area_m2", "square kilometre",
    ),
    "a position of noughts": (
        {"lots": LOTS.replace("area_m2", "area_m2,lon,lat").replace("420", "420,0,0")},
        PAVEMENTS, 2, "lon", "open sea",
    ),
    "a point that a program made a day of": (
        {"infiltration_tests": runs(row(point="2023-01-02"))}, TESTS, 2, "point", "reads as a day",
    ),
    "a cleaning before there was a pavement": (
        {"sweeps": "pavement_ref,done_at,method\nP1,2014-01-01,vacuum\n"}, "sweeps.csv", 2,
        "done_at", "The cleaning is dated before",
    ),
    "decimal comma in seconds": (
        {"infiltration_tests": runs(row(seconds='"120,5"'))}, TESTS, 2, "seconds",
        "“120,5” was read as 120.5",
    ),
    "comma between thousands in seconds": (
        {"infiltration_tests": runs(row(seconds='"1,234"'))}, TESTS, 2, "seconds",
        "“1,234” was read as 1234",
    ),
    "both in one number": (
        {"infiltration_tests": runs(row(seconds='"1.234,5"'))}, TESTS, 2, "seconds",
        "“1.234,5” was read as 1234.5",
    ),
    "an hour that came twice": (
        {"infiltration_tests": runs(row(started_at="2023-11-05 01:30"))}, TESTS, 2, "started_at",
        "came twice that night",
    ),
    "lb in a column of kg": (
        {"infiltration_tests": runs(row(water_kg="8"))}, TESTS, 2, "water_kg", "but 8 lb is",
    ),
    "kg in a column of lb": (
        {"infiltration_tests": f"{US_RING}\n" + row(ring_mm="12", water_kg="3.63")}, TESTS, 2,
        "water_lb", "but 3.63 kg is",
    ),
    "in/h in a column of mm/h": (
        {"lots": LOTS.replace("area_m2", "area_m2,action_rate_mm_h").replace("420", "420,12.5")},
        PAVEMENTS, 2, "action_rate_mm_h", "Ask whether 12.5 in/h was meant",
    ),
    "mm/h in a column of in/h": (
        {"lots": LOTS.replace("area_m2", "area_m2,action_rate_in_h").replace("420", "420,254")},
        PAVEMENTS, 2, "action_rate_in_h", "Ask whether 254 mm/h was meant",
    ),
    "refs in two cases": ({"lots": lots("P1", "p1")}, PAVEMENTS, 3, "ref", "If they are one"),
    "a ref in full width": ({"lots": lots("P1", "Ｐ１")}, PAVEMENTS, 3, "ref", "If they are one"),
    "a ref with a blank inside": ({"lots": lots("P1", "P 1")}, PAVEMENTS, 3, "ref", "If they are"),
    "a ref with an unseen sign": ({"lots": lots("P\u200b1")}, PAVEMENTS, 2, "ref", "U+200B"),
    "an accent coded in two ways": (
        {"lots": lots("Caf\u00e9", "Cafe\u0301")}, PAVEMENTS, 3, "ref", "If they are one",
    ),
    "text turned round": (
        {"lots": LOTS.replace("Lot", "مرحبا \u202eabc")}, PAVEMENTS, 2, "name", "U+202E",
    ),
    "a bell and an escape": (
        {"lots": LOTS.replace("Lot", "L\x07\x1b[31m")}, PAVEMENTS, 2, "name", "U+0007, U+001B",
    ),
    "points in two cases": (
        {"infiltration_tests": runs(row(), row(point="t1"))}, TESTS, 3, "point", "If they are one",
    ),
}  # fmt: skip
TAKEN = {
    "a byte order mark and CRLF": {"lots": b"\xef\xbb\xbf" + LOTS.replace("\n", "\r\n").encode()},
    "a byte order mark before a quote": {"lots": b'\xef\xbb\xbf"ref"' + LOTS[3:].encode()},
    "two byte order marks": {"lots": b"\xef\xbb\xbf" * 2 + LOTS.encode()},
    "carriage returns alone": {"lots": LOTS.replace("\n", "\r")},
    "rows of blanks below": {"lots": LOTS + " ,\u00a0,,\t,,\n   \n"},
    "blank lines above": {"lots": "\n,,\n" + LOTS},
    "a header in capitals": {"lots": LOTS.replace("ref,name", " REF ,\u00a0Name\u200b")},
    "a quote in the middle": {"lots": LOTS.replace("Lot", '5" drain')},
    "emoji and a joiner": {"lots": LOTS.replace("Lot", "Lot 👩\u200d🔧 نقطة")},
    "a formula": {"lots": LOTS.replace("Lot", "=cmd|/c calc!A1")},
}


def nothing_is_stored() -> bool:
    return not any(m.objects.exists() for m in (Pavement, Site, Spot, InfiltrationTest))


def found(problems: list[dict], file: str, at: int | None, column: str) -> str:
    """What is said there, with what would mend it; every one must say both."""
    assert all(p["message"] and p["mend"] for p in problems)
    said = [p for p in problems if (p["file"], p["row"], p["column"]) == (file, at, column)]
    assert said, problems[:9]
    return " ".join(f"{p['message']} {p['mend']}" for p in said)


@pytest.mark.parametrize("name", REFUSED)
def test_broken_file_is_refused_with_its_place_and_nothing_is_stored(tmp_path: Path, name: str):
    files, file, at, column, words = REFUSED[name]
    batch = sent(tmp_path, **files)
    assert batch.state == "refused"
    assert words in found(batch.faults, file, at, column)
    assert nothing_is_stored()


@pytest.mark.parametrize("name", ASKED)
def test_doubtful_file_is_asked_about_before_anything_is_stored(tmp_path: Path, name: str):
    files, file, at, column, words = ASKED[name]
    batch = sent(tmp_path, **files)
    assert (batch.state, batch.fault_count) == ("checked", 0)
    assert words in found(batch.doubts, file, at, column)
    assert nothing_is_stored()


@pytest.mark.parametrize("name", TAKEN)
def test_harmless_oddity_is_taken_in_whole_without_a_word(tmp_path: Path, name: str):
    batch = store(sent(tmp_path, **TAKEN[name]))
    assert (batch.state, batch.doubt_count) == ("stored", 0)
    assert Pavement.objects.get().area_m2 == 420


def test_what_looks_like_a_ref_of_the_record_is_asked_about_too(tmp_path: Path):
    member = factories.MembershipFactory()
    store(sent(tmp_path, member=member))
    batch = sent(tmp_path, lots=lots("p1"), member=member)
    assert "p1 and P1 differ only" in found(batch.doubts, PAVEMENTS, 2, "ref")
    assert sent(tmp_path, lots=lots("p1")).doubt_count == 0, "others have refs of their own"


def test_page_of_a_refused_file_says_where_and_what_would_mend_it(client, tmp_path: Path):
    batch = sent(tmp_path, infiltration_tests=runs(row(started_at="2023-02-29")))
    client.force_login(batch.by)
    page = client.get(reverse("import_batch_page", args=[batch.pk])).content.decode()
    for words in ("infiltration_tests.csv", "started_at", "no such day", "as it was read"):
        assert words in page


def test_line_of_a_problem_is_one_line_and_hides_nothing():
    problem = Problem("a.csv", 2, "name", "It holds “a\x1b[31m\nb”.", "Type it anew.")
    assert str(problem) == "a.csv, row 2, name: It holds “aU+001B[31m b”. Type it anew."
