"""Defects out of the record, into an empty one, and out again: same bytes, same growth."""

import csv
import io
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from django.utils import timezone

from registry.actions.import_records import import_records
from registry.actions.link_defects import link_defects
from registry.actions.move_defect import move_defect
from registry.actions.record_defect import record_defect
from registry.actions.record_observation import record_observation
from registry.exchange.files_out import write_csv_folder, write_workbook
from registry.exchange.problems import SpreadsheetRefused
from registry.exchange.shown import shown_pavements
from registry.gathering.defect_growth import growths
from registry.models import Defect, Observation, Organisation, Pavement
from registry.models.choices import Role
from registry.units import System
from tests.exchange.folders import defect, folder, pavement
from tests.factories import OrganisationFactory, PavementFactory, SeatFactory

pytestmark = pytest.mark.django_db
NOW = datetime(2026, 6, 30, 12, tzinfo=UTC)
NOBODY = {"by": None, "organisation": None}


def org(**fields: object) -> Organisation:
    return OrganisationFactory(time_zone="America/New_York", **fields)


def out(organisation: Organisation, path: Path) -> str:
    write_csv_folder(path, shown_pavements([organisation.pk], timezone.now()), NOW)
    return (path / "defects.csv").read_bytes().decode()


def rows(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text)))


def grown(organisation: Organisation) -> list[tuple[str, ...]]:
    """Every number of growth of an organisation's defects, however the defects are numbered."""
    found = []
    for row in Defect.objects.standing().filter(pavement__seats__organisation=organisation):
        looks = list(row.observations.standing().in_order())
        for part in growths(row, looks, list(row.moves.all()), System.SI):
            found.append((row.kind, row.place, part.name, *part.words))
    return sorted(found)


ODD = (
    defect(extent="12.5", width_mm="4", note="Measured by tape. at the =gate"),
    defect(seen_on="2024-05-03", extent="14", width_mm="4.4", state="watching"),
    defect(seen_on="2024-09-03", state="repaired", note="the crew came"),
    defect(seen_on="2025-05-03", state="noted", extent="3"),
    defect(kind="raveling", panel="D10", right="0-12", up="2-9", unit="m2", extent="4",
           severity="high"),
    defect(kind="lip", panel="C8|B8 U 1-10", right="", up="", unit="in", extent="0.25"),
    defect(kind="lip", panel="C8|B8 U 1-10", right="", up="", unit="in",
           seen_on="2024-01-01", state="not_found_once"),
    defect(kind="prints", panel="A1", unit="count", extent="3", right="1", up="2 ft"),
    defect(kind="ponding", panel="1+42.5 L 3.0 (m)", right="", up="", unit="ft2", extent="nm"),
    defect(kind="stain", panel="", right="1-3", up="2-4", unit="m2", severity="nm"),
    defect(kind="scaling", panel="=by the gate", right="", up="", unit=""),
    defect(kind="crack", panel="", right="", up="", unit="m", width_mm="2"),
    defect(kind="sealed_spot", panel="g(2,3)", right="", up="", unit="ft2", extent="1,5"),
    defect(kind="spall", unit="", extent="nk"),
    defect(kind="edge_loss", panel="A1 whole", right="", up="", unit="ft", extent="7"),
    defect(kind="growth", note="No. 7. Measured by eye. Place provisional. moss", unit="ft2"),
    defect(kind="growth", note="No. 8.", unit="ft2", severity="low"),
    defect(kind="plow_scrape", note="Measured by tape. Blade went to the left. deep", extent="6"),
    defect(kind="plow_scrape", note="Blade went up and down, side not told.", unit="",
           seen_on="2024-05-03", state="watching"),
)  # fmt: skip


@pytest.mark.parametrize("system", ["si", "inch_pound"])
def test_csv_of_defects_comes_back_byte_for_byte(system: str, tmp_path: Path):
    first, second = org(), org(system=system)
    source = folder(tmp_path / "in", pavements=(pavement(),), defects=ODD)
    import_records(source, organisation=first)
    written = out(first, tmp_path / "one")
    assert len(rows(written)) == len(ODD)
    import_records(tmp_path / "one", organisation=second)
    assert out(second, tmp_path / "two") == written
    assert len(grown(first)) == 2  # its length and its width
    if system == "inch_pound":
        assert grown(second) == grown(first)


def test_a_workbook_of_defects_comes_back_byte_for_byte(tmp_path: Path):
    first, second = org(), org()
    source = folder(tmp_path / "in", pavements=(pavement(),), defects=ODD)
    import_records(source, organisation=first)
    books = []
    for owner in (first, second):
        target = io.BytesIO()
        if owner is second:
            import_records(tmp_path / "one.xlsx", organisation=second)
        write_workbook(target, shown_pavements([owner.pk], timezone.now()), NOW)
        books.append(target.getvalue())
        (tmp_path / "one.xlsx").write_bytes(books[0])
    assert books[0] == books[1]
    assert grown(first) == grown(second)


def test_what_was_written_out_is_known_to_the_record_it_came_from(tmp_path: Path):
    mine = org()
    source = folder(tmp_path / "in", pavements=(pavement(),), defects=ODD)
    import_records(source, organisation=mine)
    written = out(mine, tmp_path / "one")
    again = import_records(tmp_path / "one", organisation=mine).batch
    assert (again.counts["defects"], again.known["defects"]) == (0, len(ODD))
    assert out(mine, tmp_path / "two") == written


def noted(lot: Pavement, **fields: object) -> Defect:
    fields = {"kind": "crack", "place": "C8 · 3.2 R · 8.5 U"} | fields
    row = Defect(pavement=lot, first_seen_on=date(2023, 5, 2), **fields)
    look = Observation(seen_on=date(2023, 5, 2), crack_width_m=0.0047, method="tape")
    return record_defect(row, first_look=look, **NOBODY)


def test_a_file_written_out_before_a_seat_ended_still_changes_nothing(tmp_path: Path):
    mine = org()
    import_records(
        folder(tmp_path / "in", pavements=(pavement(),), defects=(defect(),)), organisation=mine
    )
    out(mine, tmp_path / "one")
    mine.seats.update(to_at=timezone.now())
    batch = import_records(tmp_path / "one", organisation=mine).batch
    assert dict(batch.known) == {"pavements": 1, "defects": 1}
    more = folder(tmp_path / "two", defects=(defect(seen_on="2024-05-03"),))
    with pytest.raises(SpreadsheetRefused, match="holds no seat at P1 that writes defects"):
        import_records(more, organisation=mine)


def test_defects_noted_on_pages_come_back_with_looks_moves_and_growth(tmp_path: Path):
    mine, theirs = org(), org()
    lot = PavementFactory(site__time_zone="America/New_York")
    SeatFactory(pavement=lot, organisation=mine, role=Role.OWNER)
    row = noted(lot)
    move_defect(row, to_state="confirmed", on=date(2023, 5, 2), **NOBODY)
    move_defect(row, to_state="watching", on=date(2023, 7, 1), why="agreed", **NOBODY)
    later = Observation(defect=row, seen_on=date(2024, 5, 2), crack_width_m=0.0061, method="tape")
    record_observation(later, **NOBODY)
    missed = Observation(defect=row, seen_on=date(2025, 5, 2), found="not_found", good_light="yes")
    record_observation(missed, **NOBODY)
    again = noted(lot)
    link_defects(again, relation="grew_into", other=row, on=date(2025, 6, 1), **NOBODY)
    written = out(mine, tmp_path / "one")
    told = [(r["seen_on"], r["width_mm"], r["state"], r["note"]) for r in rows(written)]
    assert told == [
        ("2023-05-02", "4.7", "confirmed", f"No. {row.number}. Measured by tape."),
        ("2023-07-01", "", "watching", f"No. {row.number}. agreed"),
        ("2024-05-02", "6.1", "watching", f"No. {row.number}. Measured by tape."),
        ("2025-05-02", "", "not_found_once", f"No. {row.number}."),
        ("2023-05-02", "4.7", "noted", f"No. {again.number}. Measured by tape."),
        ("2025-06-01", "", "part_of", f"No. {again.number}. grew into defect 1"),
    ]  # fmt: skip
    import_records(tmp_path / "one", organisation=theirs)
    assert out(theirs, tmp_path / "two") == written
    assert grown(theirs) == grown(mine) != []


def test_town_gets_the_defects_that_were_sent_to_it_and_their_looks_alone(tmp_path: Path):
    mine, town = org(), org(usual_role=Role.MUNICIPALITY)
    source = folder(tmp_path / "in", pavements=(pavement(),), defects=ODD)
    import_records(source, organisation=mine)
    lot = Pavement.objects.get()
    SeatFactory(pavement=lot, organisation=town, role=Role.MUNICIPALITY)
    sent = date(2025, 1, 1)
    Defect.objects.filter(kind="lip").update(submitted_on=sent)
    Observation.objects.filter(defect__kind="lip", found="found").update(submitted_on=sent)
    found = rows(out(town, tmp_path / "town"))
    assert [(r["kind"], r["seen_on"], r["extent"]) for r in found] == [
        ("lip", "2023-05-02", "0.25"), ("lip", "2024-01-01", ""),
    ]  # fmt: skip
