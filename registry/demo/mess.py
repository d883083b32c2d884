"""What was found wrong in the town's papers and put right: by lines, never by rewriting."""

from registry.actions.correct_entry import correct_entry
from registry.actions.void_entry import mark_double, void_entry
from registry.demo.people import MANAGER, TOWN, Cast
from registry.models import Cleaning, InfiltrationTest, Pavement
from registry.models.entry import Change
from registry.units import Kind, System, convert


def put_right(cast: Cast, pavements: dict[str, Pavement]) -> None:
    """Enter the corrections, the void test, the doubles."""
    _correct_kilograms(cast)
    _correct_square_metres(cast)
    _point_register_double(cast, pavements)
    void_entry(
        InfiltrationTest.objects.get(number="S-40"),
        why="core hole under the ring",
        **cast.as_author(TOWN),
    )


def _correct_kilograms(cast: Cast) -> None:
    """T-326: kilograms in the column of pounds; asked, answered, corrected, both kept."""
    pounds = convert(18.14, Kind.MASS, System.SI, System.INCH_POUND)
    correct_entry(
        InfiltrationTest.objects.get(number="T-326"),
        changes={"water": Change(pounds, f"18.14 kg (= {pounds:.2f} lb)")},
        why="The tester confirmed on 2026-06-02 that kilograms were written in the lb column.",
        **cast.as_author(MANAGER),
    )


def _correct_square_metres(cast: Cast) -> None:
    """C-09: square metres in the column of square feet."""
    correct_entry(
        Cleaning.objects.get(number="C-09"),
        changes={"area_m2": Change(602.0, "602 m² (= 6,480 ft²)")},
        why="602 is m², not ft²: the sum of the lot's 45 panels decides.",
        **cast.as_author(MANAGER),
    )


def _point_register_double(cast: Cast, pavements: dict[str, Pavement]) -> None:
    """PP-24-09 is PP-24-06 under another spelling, with its area in m²."""
    double = correct_entry(
        pavements["PP-24-09"],
        changes={"area_m2": Change(446.0, "446 m² (= 4,800 ft²)")},
        why="446 is m², not ft² (register corrected on 2025-10-02).",
        **cast.as_author(TOWN),
    )
    mark_double(
        double,
        kept=pavements["PP-24-06"],
        why="The owner showed that it is PP-24-06 (finding F-25-02, withdrawn 2025-10-02).",
        **cast.as_author(TOWN),
    )
