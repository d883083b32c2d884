from datetime import UTC, datetime
from io import StringIO

import pytest
from django.core.management import CommandError, call_command
from django.test import override_settings

from registry.models import JournalLine, PrintedSheet
from tests import factories
from tests.claim_rows import notice, terms
from tests.placing_factories import HandOverFactory, PlacingDayFactory
from tests.placing_rows import north_lot
from tests.sheets import printed
from tests.sheets.rows_of_lot import lot_of

pytestmark = pytest.mark.django_db


def run(*words: object, **options: object) -> str:
    out = StringIO()
    call_command("print_sheet", *(str(word) for word in words), stdout=out, **options)
    return out.getvalue()


def test_a_sheet_of_a_pavement_found_by_any_number_is_written(tmp_path):
    pavement = lot_of()
    factories.NumberFactory(pavement=pavement, number="PP-23-07")
    factories.NumberFactory(pavement=pavement, number="BC-01")
    file = tmp_path / "sheet.pdf"
    with override_settings(PUBLIC_URL="https://records.example.org"):
        said = run("inspection", "pp-23-07", "--out", file)
    assert said == f"INS-0001: 1 page, Letter, {file}\n"
    page = printed.words(file.read_bytes())[0]
    assert "INSPECTION North lot 14 Canal St" in page
    assert "own no. PP-23-07 other nos. BC-01" in page
    assert PrintedSheet.objects.get().pavement == pavement
    assert JournalLine.objects.get(verb="printed").subject_name == "INS-0001"


def test_an_id_will_do_and_units_and_paper_can_be_chosen(tmp_path):
    pavement = lot_of()
    file = tmp_path / "sheet.pdf"
    said = run("infiltration", pavement.pk, "--out", file, "--units", "si", "--paper", "letter")
    assert "Letter" in said
    assert "300.0 mm ring." in printed.words(file.read_bytes())[0]


def test_units_are_the_pavements_own_and_the_paper_goes_with_them(tmp_path):
    pavement = lot_of(sheet_system="si")
    file = tmp_path / "sheet.pdf"
    assert ", A4, " in run("inspection", pavement.pk, "--out", file)
    assert printed.paper_mm(file.read_bytes())[0] == pytest.approx((210, 297), abs=0.01)


def test_a_blank_sheet_needs_no_pavement_but_units(tmp_path):
    file = tmp_path / "sheet.pdf"
    with pytest.raises(CommandError, match="--units us or --units si"):
        run("inspection", "--blank", "--out", file)
    assert "INS-0001: 1 page, A4" in run("inspection", "--blank", "--units", "si", "--out", file)
    assert PrintedSheet.objects.get().pavement is None


def test_a_blank_sheet_for_a_pavement_takes_its_units_and_nothing_else(tmp_path):
    file = tmp_path / "sheet.pdf"
    run("inspection", lot_of(sheet_system="si").pk, "--blank", "--out", file)
    page = printed.words(file.read_bytes())[0]
    assert "North lot" not in page and "°C" in page


@pytest.mark.parametrize("kind", ["statement", "walk"])
def test_other_kinds_end_in_one_clear_line(tmp_path, kind):
    with pytest.raises(CommandError) as refused:
        run(kind, lot_of(1, 1).pk, "--out", tmp_path / "x.pdf")
    assert refused.value.returncode == 1
    assert "\n" not in str(refused.value)
    assert "cannot be printed yet" in str(refused.value) or "not a kind of sheet" in str(
        refused.value
    )
    assert not (tmp_path / "x.pdf").exists()


@pytest.mark.parametrize(("kind", "number"), [("load", "LOD-0001"), ("cover", "COV-0001")])
def test_a_sheet_of_a_placing_day_is_that_of_the_newest_day_or_of_one_asked_for(
    tmp_path, kind, number
):
    pavement, file = lot_of(1, 1), tmp_path / "sheet.pdf"
    PlacingDayFactory(pavement=pavement, placed_on="2023-08-22")
    newest = PlacingDayFactory(pavement=pavement, placed_on="2023-08-24")
    assert number in run(kind, pavement.pk, "--out", file)
    assert PrintedSheet.objects.get().content["placing_day"] == newest.pk
    assert "2023-08-24" in printed.words(file.read_bytes())[0]
    run(kind, pavement.pk, "--on", "2023-08-22", "--out", file)
    assert "2023-08-22" in printed.words(file.read_bytes())[0]
    with pytest.raises(CommandError, match="no placing day of 2023-08-23"):
        run(kind, pavement.pk, "--on", "2023-08-23", "--out", tmp_path / "x.pdf")
    assert not (tmp_path / "x.pdf").exists()


def test_the_newest_hand_over_certificate_is_printed_or_a_blank_one(tmp_path):
    pavement, file = lot_of(1, 1), tmp_path / "sheet.pdf"
    with pytest.raises(CommandError, match="No hand-over certificate is drawn up"):
        run("handover", pavement.pk, "--out", file)
    HandOverFactory(pavement=pavement, by_deed="deed 1")
    newest = HandOverFactory(
        pavement=pavement, by_deed="deed 2", effective_at=datetime(2024, 9, 15, 16, tzinfo=UTC)
    )
    assert "HND-0001: 1 page" in run("handover", pavement.pk, "--out", file)
    assert PrintedSheet.objects.get().content["hand_over"] == newest.pk
    page = printed.words(file.read_bytes())[0]
    assert "deed 2" in page and "WHAT IS HANDED OVER" in page and "taker" in page
    # Rows of 8 mm for a pen take a second page.
    assert "HND-0002: 2 pages" in run("handover", "--blank", "--units", "si", "--out", file)
    page = " ".join(printed.words(file.read_bytes()))
    for field in (
        "as-built plan", "load record", "curing log", "acceptance tests", "inspections",
        "winter log", "effective date, hour", "action level", "last day", "giver", "contractor",
    ):  # fmt: skip
        assert field in page, field


def test_a_pavement_is_never_guessed(tmp_path):
    file = tmp_path / "x.pdf"
    with pytest.raises(CommandError, match="No pavement has the number or id BC-99"):
        run("inspection", "BC-99", "--out", file)
    with pytest.raises(CommandError, match="Say which pavement"):
        run("inspection", "--out", file)
    first, second = (factories.NumberFactory(number="7").pavement for _ in range(2))
    with pytest.raises(CommandError, match=f"id {first.pk} .*; id {second.pk} "):
        run("inspection", "7", "--out", file)
    assert not file.exists() and not PrintedSheet.objects.exists()


def test_a_file_that_cannot_be_written_takes_no_number(tmp_path):
    with pytest.raises(CommandError, match="cannot be written"):
        run("inspection", lot_of(1, 1).pk, "--out", tmp_path / "no" / "x.pdf")
    assert not PrintedSheet.objects.exists()


def test_dossier_of_a_callback_is_made_and_written(tmp_path):
    row = notice(terms(pavement=north_lot()), panels=["C8"])
    file = tmp_path / "dossier.pdf"
    said = run("dossier", row.pavement_id, "--callback", "CB-5", "--out", file)
    assert said.startswith("DOS-") and file.read_bytes().startswith(b"%PDF")
    with pytest.raises(CommandError, match="No callback CB-77"):
        run("dossier", row.pavement_id, "--callback", "CB-77", "--out", file)
    with pytest.raises(CommandError, match="of a callback"):
        run("dossier", "--blank", "--units", "us", "--out", file)
