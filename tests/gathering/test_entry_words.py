"""One line tells an entry from others of its kind, with units, and says what is not known."""

import pytest

from registry.gathering.entry_words import entry_words
from registry.models import (
    Criteria,
    DirtSource,
    Edge,
    Joint,
    Layer,
    ObservationWell,
    RunOnArea,
    Section,
    Site,
    Stratum,
    Structure,
)
from registry.units import System
from tests.factories import PavementFactory

SI = System.SI


@pytest.mark.parametrize(
    ("row", "words"),
    [
        (Criteria(action_rate_mm_h=254.0), "action level 254 mm/h"),
        (RunOnArea(kind="roof"), "area not known, runoff coefficient not known, assumed"),
        (
            RunOnArea(
                name="north", kind="roof", area_m2=55.0, runoff_coefficient=0.9, known_by="levelled"
            ),
            "roof, 55 m², runoff coefficient 0.9, levelled",
        ),
        (
            RunOnArea(kind="roof", runoff_coefficient=0.0),
            "area not known, runoff coefficient 0, assumed",
        ),
        (DirtSource(detail="oak, 3 m", brings="leaf"), "oak, 3 m, brings leaf"),
        (ObservationWell(place="A1", depth_mm=900.0), "A1, depth 900.0 mm"),
        (Section(area_m2=120.0, thickness_mm=150.0), "120 m², thickness 150.0 mm"),
        (Stratum(kind="field"), "no place on the plan yet"),
        (Stratum(rectangles=[[0, 0, 1, 1]]), "1 rectangle on the plan"),
        (Stratum(rectangles=[[0, 0, 1, 1], [2, 0, 1, 1]]), "2 rectangles on the plan"),
        (Joint(kind="sawn", depth_mm=40.0), "contraction, sawn, depth 40.0 mm"),
        (Edge(against="curb"), "against curb"),
        (Site(), ""),
    ],
)
def test_entry_in_words(row, words):
    assert entry_words(row, SI) == words


def test_level_is_told_in_the_units_asked_for():
    assert entry_words(Criteria(action_rate_mm_h=254.0), System.INCH_POUND).endswith("10 in/h")


@pytest.mark.django_db
def test_structure_is_told_by_its_layers():
    row = Structure.objects.create(pavement=PavementFactory())
    Layer.objects.create(structure=row, kind="base", depth_mm=300.0)
    Layer.objects.create(structure=row, kind="choker")
    assert entry_words(row, SI) == "base 300.0 mm, choker"
