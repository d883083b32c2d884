"""The help lines against the rate formula of ASTM C1701/C1701M, worked backwards."""

import re

import pytest

from registry.measuring.reading import Ended, Method, RingReading, compute_rate
from registry.sheets.ink import width_of
from registry.sheets.pouring_times import help_lines
from registry.units import System


def test_inch_pound_lines_say_what_is_known_by_heart():
    # 126 870 x 8 / (144 x 70 s) = 100.7 in/h, and so on; common practice, from memory.
    small, large = help_lines(System.INCH_POUND)
    assert small == (
        "12.00 in ring. 8 lb: 70 s = 100, 141 = 50, 282 = 25, 352 = 20, 705 = 10, 1410 = 5, "
        "1800 not done = < 3.9 in/h."
    )
    assert large == (
        "40 lb: 35 s = 1000, 70 = 500, 117 = 300, 150 = 235 in/h. Other ring: multiply by 144/D²."
    )


def test_si_lines_name_no_inch_and_no_pound():
    text = " ".join(help_lines(System.SI))
    assert not re.search(r"\bin\b|in/h|lb", text)
    assert text.startswith("300.0 mm ring. 3.6 kg: ")
    assert "18 kg: " in text
    assert "90000/D²" in text


@pytest.mark.parametrize(
    ("system", "ring", "waters"),
    [(System.INCH_POUND, 12.0, (8.0, 40.0)), (System.SI, 300.0, (3.6, 18.0))],
)
def test_every_pair_of_seconds_and_rate_is_what_the_formula_gives(system, ring, waters):
    for line, water in zip(help_lines(system), waters, strict=True):
        pairs = re.findall(r"(\d+)(?: s)? = (\d+)", line)
        assert len(pairs) >= 4
        for seconds, rate in pairs:
            reading = RingReading(
                method=Method.C1701,
                system=system,
                ring=ring,
                water=water,
                seconds=float(seconds),
                ended=Ended.DRAINED,
            )
            assert compute_rate(reading).value == pytest.approx(float(rate), rel=0.015)


@pytest.mark.parametrize("system", list(System))
def test_the_lines_fit_the_sheet(system):
    assert all(width_of(line) <= 179 for line in help_lines(system))
