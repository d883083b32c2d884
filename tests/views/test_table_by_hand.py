"""The town's tests typed in at the form, line by line: rates, bounds, refusals as printed."""

import re

import pytest
from django.urls import reverse

from registry.measuring import Method
from registry.models import InfiltrationTest
from registry.units import System
from tests import factories
from tests.measuring import demo_tests
from tests.measuring.test_demo_table import printed_step

pytestmark = pytest.mark.django_db
TABLE = demo_tests.rows()
PLAIN = {"BC-01", "BC-06", "BC-07", "BC-10"}
"""Whose lines are all alike, but for T-333 and T-255 of BC-07: typed in where there is time."""
PAVEMENTS = [
    pytest.param(name, marks=[pytest.mark.slow] if name in PLAIN else [])
    for name in sorted({line.pavement for line in TABLE.values()})
]
WET = {"T-306", "T-307", "T-308"}
CLEANED = {"BC-03": "2024-06-04"}
"""The one cleaning of which a test of its own day must know: C-10, no clock on its sheet."""
SI_MM_H = {"T-231": 12829, "T-232": 11562, "T-233": 15245}
OUT = {
    "T-239": ("not_computed", "not_done"),
    "T-249": ("looked_at", "under_24_h"),
    "T-280": ("looked_at", "cleaning_order_unknown"),
    "T-306": ("looked_at", "wet_day"),
    "T-307": ("looked_at", "wet_day"),
    "T-308": ("looked_at", "wet_day"),
    "T-319": ("not_computed", "ring_missing"),
    "T-326": ("looked_at", "water_other_system"),
    "T-333": ("looked_at", "too_short"),
    "T-340": ("looked_at", "not_to_standard"),
}
"""What the table keeps out of the trend, and the reason the system has for it."""


@pytest.fixture
def seat():
    member = factories.MembershipFactory(organisation__time_zone="America/New_York")
    return factories.SeatFactory(
        role="manager",
        organisation=member.organisation,
        pavement__site__time_zone="America/New_York",
        pavement__placed_on=None,
    )


@pytest.fixture
def signed_in(client, seat):
    client.force_login(seat.organisation.people.get())
    return client


def typed(line: demo_tests.Row) -> dict[str, str]:
    """What is written into the form, in the order of the printed line."""
    fields = {
        "number": line.number,
        "started_on": line.on.isoformat(),
        "clock": f"{line.at:%H:%M}" if line.at else "",
        "system": "inch_pound",
        "method": "c1701",
        "run": "1",
        "rain_within_24_h": "yes" if line.number in WET else "no",
        "note": line.note,
    }
    reading = line.reading
    if reading is None:
        return fields | {"not_done_why": line.note.removeprefix("not done, ")}
    fields |= {
        "system": "si" if reading.system is System.SI else "inch_pound",
        "method": reading.method.value,
        "ended": reading.ended.value,
        "seconds": line.time_as_written.removesuffix(" (typed)"),
        "ring": "nk" if reading.ring is None else f"{reading.ring}",
        "water": "nm" if reading.water is None else f"{reading.water}",
        "prewet_seconds": "nm" if reading.prewet_seconds is None else f"{reading.prewet_seconds}",
        "water_left": "" if reading.water_left is None else f"{reading.water_left}",
    }
    if line.number == "T-333":
        fields["seconds"] += " s"  # asked whether 3.42 are seconds, the tester said: as written
    if line.number == "T-255":
        fields["ring"] = "11,98"  # as its sheet has it
    return fields


def store(client, spot, fields: dict[str, str]) -> InfiltrationTest:
    """Type a line in; where doubts are shown, look at them and store it as written."""
    url = reverse("infiltration_test_add", args=[spot.pavement_id])
    given = {**fields, "spot": spot.pk}
    answer = client.post(url, given)
    if answer.status_code == 200 and answer.context["judged"]:
        answer = client.post(url, {**given, "shown": answer.context["shown"]})
    assert answer.status_code == 302, (fields["number"], answer.context["form"].errors)
    return InfiltrationTest.objects.get(number=fields["number"])


def compare(row: InfiltrationTest, line: demo_tests.Row) -> None:
    """Hold a stored line to its rate and its use in the table."""
    if line.number in OUT:
        assert (row.use, row.use_code) == OUT[line.number]
        assert not line.used.startswith("yes") or line.number == "T-326"
    else:
        wanted = {"yes": "trend", "yes, as a bound": "bound"}[line.used]
        assert (row.use, row.use_code) == (wanted, ""), (line.number, row.use_reason)
    if line.number in SI_MM_H:
        assert round(row.result_value) == SI_MM_H[line.number]
    elif line.printed.startswith("<"):
        assert (row.result_sign, round(row.result_value, 1)) == ("<", 3.9)
    elif re.fullmatch(r"[\d.]+", line.printed):
        assert row.result_sign == ""
        rate = pytest.approx(float(line.printed), abs=printed_step(line.printed))
        assert row.result_value == rate, line.number
    elif "as written" in line.printed:
        written = float(line.printed.split()[0].replace(",", ""))
        assert row.result_value == pytest.approx(written, abs=0.5)
    else:
        assert row.result_value is None, line.printed


@pytest.mark.parametrize("pavement", PAVEMENTS)
def test_every_line_of_a_pavement_gives_what_the_table_says(signed_in, seat, pavement: str):
    if pavement in CLEANED:
        factories.CleaningFactory(pavement=seat.pavement, done_on=CLEANED[pavement])
    lines = [line for line in TABLE.values() if line.pavement == pavement]
    spots = {
        name: factories.SpotFactory(pavement=seat.pavement, name=name)
        for name in sorted({line.point for line in lines})
    }
    for line in sorted(lines, key=lambda line: (line.on, line.number)):
        store(signed_in, spots[line.point], typed(line))
    stored = {row.number: row for row in InfiltrationTest.objects.all()}
    assert set(stored) == {line.number for line in lines}
    for line in lines:
        compare(stored[line.number], line)


def test_the_pavements_hold_all_140_lines_with_one_reason_for_each_that_is_out():
    assert len(TABLE) == 140
    out = {n for n, line in TABLE.items() if not re.fullmatch("yes(, as a bound)?", line.used)}
    assert out == set(OUT)
    assert TABLE["T-340"].reading.method is Method.QUICK_POUR


def test_3_42_as_it_was_typed_is_asked_about_with_both_of_its_rates(signed_in, seat):
    line = TABLE["T-333"]
    spot = factories.SpotFactory(pavement=seat.pavement, name=line.point)
    given = {**typed(line), "seconds": "3.42", "spot": spot.pk}
    answer = signed_in.post(reverse("infiltration_test_add", args=[seat.pavement_id]), given)
    assert "3.42 s or as 3 min 42 s" in str(answer.context["form"].errors["seconds"])
    assert not InfiltrationTest.objects.exists()
    row = store(signed_in, spot, typed(line) | {"seconds": "3:42"})
    # The table: "if 3 min 42 s: 158 in/h"
    assert row.result_value == pytest.approx(158, abs=0.5)


def test_weight_that_was_in_kilograms_gives_300_once_corrected(signed_in, seat):
    line = TABLE["T-326"]
    row = store(signed_in, factories.SpotFactory(pavement=seat.pavement), typed(line))
    url = reverse("infiltration_test_correct", args=[row.pk])
    given = typed(line) | {"spot": row.spot_id, "water": "39.99", "why": "tester: it was 18.14 kg"}
    given["seen"] = signed_in.get(url).context["form"]["seen"].value()
    assert signed_in.post(url, given).status_code == 302
    row.refresh_from_db()
    assert row.result_value == pytest.approx(300, abs=2.5)
    assert (row.use, row.as_written["water"]) == ("trend", "18.14")
