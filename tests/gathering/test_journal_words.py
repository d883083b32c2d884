"""Lists in journal lines are told as people write them; anything else stays as written."""

import pytest

from registry.gathering.journal_words import journal_words


@pytest.mark.parametrize(
    ("stored", "system", "said"),
    [
        ("[[3.048, 15.24]]", "inch_pound", "R 10.0 ft U 50.0 ft"),
        ("[[-3.0, 15.0], [0.0, 1.5]]", "si", "L 3.00 m U 15.00 m; R 0.00 m U 1.50 m"),
        ("[[0, 0, 3.048, 6.096]]", "inch_pound", "R 0.0 ft to 10.0 ft, U 0.0 ft to 20.0 ft"),
        ("[{'distance_m': 9.144, 'to': 'hydrant'}]", "inch_pound", "30.0 ft to hydrant"),
        (
            "[{'kind': 'run_on', 'name': 'lawn', 'right_m': 0, 'up_m': 3, 'to': [3, 3]}]",
            "si",
            "run-on lawn: R 0.00 m U 3.00 m to R 3.00 m U 3.00 m",
        ),
        ("[{'name': 'Yard', 'used_by': 'the town'}]", "si", "Yard, used by the town"),
        ("{'C8': 'D8', 'C9': 'D9'}", "si", "C8 = D8, C9 = D9"),
    ],
)
def test_lists_are_told_in_the_units_of_the_pavement(stored, system, said):
    assert journal_words(stored, system) == said


@pytest.mark.parametrize(
    "text", ["", "4,800 ft2", "[sic] as on the sheet", "[1, 2, 3]", "{}", "[]"]
)
def test_own_words_stay(text):
    assert journal_words(text, "si") == text
