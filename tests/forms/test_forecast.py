"""An hourly forecast as people bring it: units in the header, errors by row and column."""

from datetime import date

import pytest
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import SimpleUploadedFile

from registry.forms.forecast import MOST_BYTES, MOST_ROWS, ForecastField, read_forecast, text_of

HEAD = "time, air °F, humidity %, wind mph, concrete °F"


def wrong(text):
    with pytest.raises(ValidationError) as refused:
        read_forecast(text)
    return refused.value.messages


def test_table_in_feet_and_pounds_is_read_in_si():
    (row,) = read_forecast(f"{HEAD}\n06:00, 61, 84, 2, 70")
    assert (row.nth, row.on, row.clock, row.humidity_percent) == (2, None, "06:00", 84)
    assert row.air_c == pytest.approx((61 - 32) / 1.8)
    assert row.wind_km_h == pytest.approx(2 * 1.609344)
    assert row.concrete_c == pytest.approx((70 - 32) / 1.8)


@pytest.mark.parametrize(
    "text",
    [
        "time,air °C,humidity %,wind km/h\n07:00,20.5,60,8",
        "time;air_C;humidity;wind_km/h\n0700;20,5;60;8",
        "Time\tTemperature (degC)\tRH\tWind [km/h]\n7:00\t20.5\t60 %\t8",
        "station,time,air C,humidity,wind km/h,rain mm\nX,07:00,20.5,60,8,0",
        "\n\ntime, air °C, humidity, wind km/h\n\n07:00, 20.5, 60, 8\n\n",
    ],
    ids=["commas", "semicolons and decimal comma", "tabs", "further columns", "blank lines"],
)
def test_ways_of_writing_the_same(text):
    (row,) = read_forecast(text)
    assert (row.clock, row.air_c, row.humidity_percent, row.wind_km_h, row.concrete_c) == (
        "07:00", pytest.approx(20.5), 60, 8, None,
    )  # fmt: skip


def test_line_may_name_its_day():
    rows = read_forecast(f"{HEAD}\n2023-08-22 07:00,61,84,2,70\n2023-08-23T07:00,61,84,2,70")
    assert [row.on for row in rows] == [date(2023, 8, 22), date(2023, 8, 23)]


def test_blank_is_no_forecast():
    assert read_forecast("") == [] and read_forecast(" \n\t\n") == []
    assert ForecastField().clean("") == []


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("06:00, 61, 84, 2, 70", "Row 1 names no column time, air, humidity, wind."),
        ("time, air, humidity, wind\n06:00,61,84,2", "Row 1, column “air”: write its unit"),
        ("time, air °F, humidity\n06:00,61,84", "Row 1 names no column wind."),
        ("time, air °F, air °C, humidity, wind mph\n06:00,61,16,84,2", "two columns “air”"),
        (HEAD, "no hour below"),
        (f"{HEAD}\n06:00, warm, 84, 2, 70", "Row 2, column “air”: “warm °F” is not a number."),
        (f"{HEAD}\n06:00, 61, 184, 2, 70", "Row 2, column “humidity”: “184” is out of range"),
        (f"{HEAD}\n06:00, 61, -4, 2, 70", "Row 2, column “humidity”: “-4” is not a number."),
        (f"{HEAD}\n06:00, 61, 84, -2, 70", "Row 2, column “wind”"),
        (f"{HEAD}\n06:00, 61, 84", "Row 2, column “wind”: It is blank."),
        (f"{HEAD}\n25:00, 61, 84, 2, 70", "Row 2, column “time”: “25:00” is no clock time."),
        (f"{HEAD}\n6 in the morning, 61, 84, 2, 70", "Row 2, column “time”"),
        (f"{HEAD}\n08/22/2023 06:00, 61, 84, 2, 70", "Row 2, column “time”"),
        (f"{HEAD}\n06:00,61,84,2,70\n06:00,62,84,2,70", "Row 3: 06:00 stands in row 2 already."),
    ],
)  # fmt: skip
def test_what_cannot_be_read_is_named_by_row_and_column(text, words):
    assert any(words in told for told in wrong(text)), wrong(text)


def test_every_wrong_cell_is_named_at_once():
    told = wrong(f"{HEAD}\n06:00, x, 184, 2, 70\n07:00, 61, 84, y, 70")
    assert len(told) == 3


def test_wind_in_a_unit_that_is_not_known_is_refused_by_name():
    assert "knots" in " ".join(wrong("time, air °C, humidity, wind (knots)\n07:00,20,60,8"))


def test_too_many_hours_are_refused():
    lines = "\n".join(f"2023-08-{1 + n // 24:02d} {n % 24:02d}:00,61,84,2,70" for n in range(201))
    assert MOST_ROWS == 200 and "More than 200 hours" in wrong(f"{HEAD}\n{lines}")[0]


def test_file_is_text_in_utf_8_with_or_without_its_mark():
    text = f"{HEAD}\n06:00,61,84,2,70"
    for data in (text.encode(), text.encode("utf-8-sig")):
        assert read_forecast(text_of(SimpleUploadedFile("f.csv", data)))[0].clock == "06:00"
    with pytest.raises(ValidationError, match="no text"):
        text_of(SimpleUploadedFile("f.xlsx", b"PK\x03\x04\xff\xfe\x00"))
    with pytest.raises(ValidationError, match="too large"):
        text_of(SimpleUploadedFile("f.csv", b"x" * (MOST_BYTES + 1)))
