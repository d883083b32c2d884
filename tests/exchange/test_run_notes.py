"""Reason and water left of a test, told in front of its note, through files and back."""

from pathlib import Path

import pytest

from registry.actions.import_records import import_records
from registry.exchange.problems import SpreadsheetRefused
from registry.exchange.run_notes import Front, note_of, read_front
from registry.gathering.gains import gains_of
from registry.models import Cleaning, InfiltrationTest
from registry.units import System
from tests.exchange.folders import folder, pavement, run, sweep
from tests.factories import OrganisationFactory

FRONTS = {
    "acceptance": Front("acceptance"),
    "after cleaning C-06": Front("after_cleaning", rest="C-06"),
    "After cleaning. 5.1 lb left. By sponge.": Front(
        "after_cleaning", 5.1, System.INCH_POUND, "By sponge."
    ),
    "2.3 kg left in the ring; weighed": Front("", 2.3, System.SI, "weighed"),
    "yearly round of all lots": Front(rest="yearly round of all lots"),
    "After cleaning the ring we went on": Front(rest="After cleaning the ring we went on"),
    "same day as cleaning C-10": Front(rest="same day as cleaning C-10"),
    "": Front(),
}


@pytest.mark.parametrize("note", FRONTS)
def test_front_of_a_note_is_read_and_all_else_is_a_remark(note: str):
    assert read_front(note, "stopped") == FRONTS[note]


def test_water_is_left_by_a_stopped_run_alone():
    assert read_front("yearly. 5.1 lb left.", "drained") == Front("yearly", rest="5.1 lb left.")


@pytest.mark.parametrize("note", ["", "by hand", "acceptance", "5.1 lb left.", "Audit. 1 lb left."])
@pytest.mark.parametrize("left", [None, 5.1])
@pytest.mark.parametrize("reason", ["yearly", "hand_over"])
def test_what_is_written_in_front_is_read_again(reason: str, left: float | None, note: str):
    row = InfiltrationTest(
        reason=reason, water_left=left, note=note, ended="stopped", system="inch_pound"
    )
    written = note_of(row)
    told = read_front(written, "stopped")
    assert told.reason == reason
    assert left is None or (told.left, told.system) == (left, System.INCH_POUND)
    assert written.endswith(note)
    assert note_of(InfiltrationTest(reason=reason, note=written)) == written


@pytest.mark.django_db
def test_test_after_a_wash_counts_and_gives_its_gain_out_of_files(tmp_path: Path):
    """Rates and share as printed of C-10 at BC-03 U: 260, 480, as-built 640, gain 1.8, 58 %."""
    lb = {"ring_mm": "", "water_kg": "", "prewet_kg": "", "ring_in": "12.05", "prewet_lb": "8"}
    days = (
        ("2022-06-02", "11.98", "40.04", "55.3", "acceptance"),
        ("2024-05-21", "12.05", "39.96", "134.3", ""),
        ("2024-06-05T08:40", "12.05", "40.01", "72.8", "after cleaning C-10"),
    )
    runs = tuple(
        run(**lb | {
            "started_at": at, "ring_in": ring, "water_lb": water, "seconds": seconds,
            "prewet_seconds": "14", "note": note,
        })
        for at, ring, water, seconds, note in days
    )  # fmt: skip
    washed = sweep(done_at="2024-06-04", method="wash_and_vacuum")
    path = folder(tmp_path, pavements=(pavement(),), runs=runs, sweeps=(washed,))
    import_records(path, organisation=OrganisationFactory())
    tests = InfiltrationTest.objects.select_related("spot").order_by("started_on")
    assert [t.use for t in tests] == ["trend"] * 3
    (at_spot,) = gains_of(Cleaning.objects.get(), tests, ())
    assert (at_spot.result.text, round(100 * at_spot.result.share)) == ("1.8", 58)


@pytest.mark.django_db
def test_water_left_gives_its_estimate_and_beyond_what_was_poured_a_fault(tmp_path: Path):
    """T-294 as printed: < 3.9, estimate 1.4."""
    stopped = {
        "ring_mm": "", "water_kg": "", "prewet_kg": "", "ring_in": "12.05", "water_lb": "8.02",
        "prewet_lb": "8", "prewet_seconds": "1140", "seconds": "1800", "ended": "stopped",
    }  # fmt: skip
    organisation = OrganisationFactory()
    for note in ("9 lb left.", "2 kg left."):
        path = folder(tmp_path, pavements=(pavement(),), runs=(run(**stopped, note=note),))
        with pytest.raises(SpreadsheetRefused) as refused:
            import_records(path, organisation=organisation)
        assert [p.column for p in refused.value.problems] == ["note"]
    notes = {"2025-05-20": "5.1 lb left.", "2025-06-20": "8.02 lb left."}
    runs = tuple(run(**stopped, started_at=day, note=note) for day, note in notes.items())
    import_records(folder(tmp_path, pavements=(pavement(),), runs=runs), organisation=organisation)
    first, second = InfiltrationTest.objects.order_by("started_on")
    assert f"{first.result_sign} {first.result_value:.1f}" == "< 3.9"
    assert round(first.result_estimate, 1) == 1.4
    assert (second.result_sign, second.result_estimate) == ("<", None), "not zero: nothing went in"
