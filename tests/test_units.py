"""Quantities as written and as shown. Factors: NIST SP 811, appendix B (exact)."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.units import (
    Ambiguous,
    DomainError,
    Kind,
    System,
    UnitError,
    convert,
    from_si,
    read_empty,
    read_quantity,
    same_system,
    show,
    show_limit,
    show_number,
    show_size,
    to_si,
)

US, SI = System.INCH_POUND, System.SI


@pytest.mark.parametrize(
    ("text", "kind", "system", "value", "unit", "si"),
    [
        ("602 ft²", Kind.AREA, US, 602, "ft²", 55.92763),
        ("602 m2", Kind.AREA, US, 602, "m²", 602),
        ("11,98", Kind.RING, US, 11.98, "in", 304.292),
        ("12 in", Kind.RING, None, 12, "in", 304.8),
        ("12.05", Kind.RING, US, 12.05, "in", 306.07),
        ("300", Kind.RING, SI, 300, "mm", 300),
        ("1 450", Kind.LIQUID, US, 1450, "gal", 5488.8470868),
        ("1\u202f450 gal", Kind.LIQUID, None, 1450, "gal", 5488.8470868),
        ("1,450 gal", Kind.LIQUID, None, 1450, "gal", 5488.8470868),
        ("1.5 m", Kind.LENGTH, US, 1.5, "m", 1.5),
        ("40,020", Kind.MASS, US, 40.02, "lb", 18.1527666),
        ('18.14 "lb"', Kind.MASS, None, 18.14, "lb", 8.2281656),
        ("12'6\"", Kind.LENGTH, None, 12.5, "ft", 3.81),
        ("3 ft 6 1/2 in", Kind.LENGTH, None, 42.5 / 12, "ft", 1.0795),
        ("11 7/8 in", Kind.RING, None, 11.875, "in", 301.625),
        ("3/8", Kind.SMALL_LENGTH, US, 0.375, "in", 9.525),
        ("12,829 mm/h", Kind.RATE, None, 12829, "mm/h", 12829),
        ("1.450,5 sq. ft.", Kind.AREA, None, 1450.5, "ft²", 134.7558595),
        ("6,336", Kind.AREA, US, 6336, "ft²", 588.6336614),
        ("1,234,567 ft2", Kind.AREA, None, 1234567, "ft²", 114695.027),
        ("−4 °C", Kind.TEMPERATURE, None, -4, "°C", -4),
        ("40 °F", Kind.TEMPERATURE, None, 40, "°F", 40 / 9),
        ("12 mph", Kind.SPEED, None, 12, "mph", 19.312128),
        ("1.7 yd3", Kind.VOLUME, None, 1.7, "yd³", 1.2997433),
        ("121.5 lb/ft³", Kind.DENSITY, None, 121.5, "lb/ft³", 1946.2433),
        ("610 lb/yd3", Kind.CONTENT, SI, 610, "lb/yd³", 361.898617),
        ("6", Kind.SHEET, US, 6, "mil", 0.1524),
        ("2.2", Kind.PLACING_SPEED, US, 2.2, "ft/min", 0.67056),
        ("0.2", Kind.DRYING, US, 0.2, "lb/ft²/h", 0.976486),
        ("540 L/s/ha", Kind.INTENSITY, None, 540, "L/s/ha", 194.4),
    ],
)
def test_what_was_written_is_read_and_kept(text, kind, system, value, unit, si):
    written = read_quantity(text, kind, system=system)
    assert written.text == text
    assert (written.value, written.unit) == (pytest.approx(value), unit)
    assert written.si == pytest.approx(si)


@pytest.mark.parametrize(
    ("text", "kind", "values"),
    [
        ("1,450", Kind.MASS, (1450.0, 1.45)),  # a 40 lb pour is neither
        ("3,048 in/h", Kind.RATE, (3048.0, 3.048)),
        ("1,450 ft", Kind.LENGTH, (1450.0, 1.45)),
        ("1.450 gal", Kind.LIQUID, (1.45, 1450.0)),
    ],
)
def test_a_comma_that_the_field_does_not_settle_is_asked_about(text, kind, values):
    with pytest.raises(Ambiguous) as caught:
        read_quantity(text, kind, system=US)
    assert tuple(value for _, value in caught.value.choices) == values
    assert text in caught.value.message


def test_the_sheets_habit_settles_a_comma_only_where_the_range_does_not():
    assert read_quantity("1,450", Kind.LENGTH, system=US, comma="decimal").value == 1.45
    assert read_quantity("1,450", Kind.LENGTH, system=US, comma="thousands").value == 1450
    assert read_quantity("1,450", Kind.LIQUID, system=US, comma="decimal").value == 1450


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "empty"),
        ("  ", "empty"),
        ("nan", "not a number"),
        ("inf", "not a number"),
        ("about 40", "not a number"),
        ("-3 lb", "cannot be negative"),
        ("40", "no unit"),
        ("40 mm", "not a unit of mass"),
        ("40 02 lb", "not a number that can be read"),
        ("4,0,2 lb", "not a number that can be read"),
        ("1e3 lb", "not a unit"),
        ("9 ton", "a ton is short, long or metric. Write lb, kg or t"),
        ("9 Tons", "a ton is short, long or metric. Write lb, kg or t"),
        ("1/0 lb", "divides by zero"),
        (".", "not a number"),
    ],
)
def test_what_cannot_be_read_is_refused_in_words(text, says):
    with pytest.raises(UnitError, match=says) as caught:
        read_quantity(text, Kind.MASS)
    assert isinstance(caught.value, DomainError)
    assert not isinstance(caught.value, Ambiguous)


def test_a_written_unit_wins_over_the_sheets_system():
    assert read_quantity("300 mm", Kind.RING, system=US).system is SI


@pytest.mark.parametrize("text", ["9 t", "9 tonnes", "9 T"])
def test_a_tonne_is_a_thousand_kilograms(text):  # BIPM, The SI Brochure, 9th edition, table 8
    assert read_quantity(text, Kind.MASS).si == 9000


def test_standard_value_of_a_quantity_in_another_unit_of_its_system():
    assert read_quantity("30 cm", Kind.RING).standard == pytest.approx(300)
    assert read_quantity("128 oz", Kind.MASS).standard == pytest.approx(8)
    assert read_quantity("12.05 in", Kind.RING).standard == 12.05  # untouched, to the last bit


def test_mixed_systems_are_refused():
    ring, water = read_quantity("300 mm", Kind.RING), read_quantity("40 lb", Kind.MASS)
    with pytest.raises(UnitError, match="mixed"):
        same_system(ring, None, water)
    assert same_system(ring, None) is SI


@pytest.mark.parametrize(
    ("value", "kind", "system", "sign", "shown"),
    [
        (520 * 25.4, Kind.RATE, US, "", "520 in/h"),
        (8.4 * 25.4, Kind.RATE, US, "", "8.4 in/h"),
        (9.96 * 25.4, Kind.RATE, US, "", "10 in/h"),
        (3.9157 * 25.4, Kind.RATE, US, "<", "< 3.9 in/h"),
        (19.5787 * 25.4, Kind.RATE, US, "<", "< 19.6 in/h"),
        (3190 * 25.4, Kind.RATE, US, ">", "> 3190 in/h"),
        (12829, Kind.RATE, SI, "", "12\u202f829 mm/h"),
        (9999, Kind.RATE, SI, "", "9999 mm/h"),
        (306.07, Kind.RING, US, "", "12.05 in"),
        (300, Kind.RING, SI, "", "300.0 mm"),
        (81.28, Kind.INTENSITY, US, "", "3.20 in/h"),
        (1_000_000, Kind.AREA, SI, "", "1\u202f000\u202f000 m²"),
        (-20, Kind.TEMPERATURE, US, "", "-4 °F"),
    ],
)
def test_shown_with_sign_unit_and_thousands(value, kind, system, sign, shown):
    assert show(value, kind, system, sign=sign) == shown


def test_action_levels_are_shown_with_the_decimals_asked_for():
    assert show(12.5 * 25.4, Kind.RATE, US, digits=1) == "12.5 in/h"


def test_nothing_that_rounds_to_zero_is_shown_with_a_minus():
    assert show_number(-0.04, 1) == "0.0"


@pytest.mark.parametrize("value", [float("nan"), float("inf")])
def test_a_number_that_is_not_finite_is_never_shown(value):
    with pytest.raises(UnitError):
        show(value, Kind.RATE, US)


@pytest.mark.parametrize(
    ("value", "kind", "si"),
    # hand-worked table of units
    [
        (1, Kind.RATE, 25.4),
        (1, Kind.MASS, 0.45359237),
        (1, Kind.LIQUID, 3.785411784),
        (1, Kind.VOLUME, 0.764554857984),
        (32, Kind.TEMPERATURE, 0),
        (100, Kind.AREA, 9.290304),
        (1, Kind.DENSITY, 16.018463373960142),  # NIST SP 811, B.8: 1.601846 E+01
        (1, Kind.CONTENT, 0.5932764212577829),  # NIST SP 811, B.8: 5.932764 E-01
        (1, Kind.SHEET, 0.0254),  # NIST SP 811, B.8: mil, 2.54 E-02 mm
        (1, Kind.PLACING_SPEED, 0.3048),
        (1, Kind.DRYING, 4.882427636383050),  # NIST SP 811, B.8: lb/ft2, 4.882428 E+00
    ],
)
def test_exact_factors(value, kind, si):
    assert to_si(value, kind, US) == pytest.approx(si, rel=1e-12, abs=1e-12)


def test_one_mm_a_minute_is_2_362205_in_h_and_one_cm_a_second_1417_323():
    minute = read_quantity("1 mm/min", Kind.RATE)
    second = read_quantity("1 cm/s", Kind.RATE)
    assert from_si(minute.si, Kind.RATE, US) == pytest.approx(2.362205, abs=5e-7)
    assert from_si(second.si, Kind.RATE, US) == pytest.approx(1417.323, abs=5e-4)


@pytest.mark.parametrize(
    ("l_s_ha", "mm_h"), [("540 L/s/ha", 194.4), ("270 L/s/ha", 97.2)]
)  # Dutch field studies, Water 11 (2019) 320, print 194 with 540
def test_litres_per_second_and_hectare(l_s_ha, mm_h):
    assert read_quantity(l_s_ha, Kind.RATE).si == pytest.approx(mm_h)


@given(st.sampled_from(list(Kind)), st.floats(0.001, 1e6))
def test_there_and_back_between_systems_is_the_same(kind, value):
    there = convert(value, kind, US, SI)
    assert convert(there, kind, SI, US) == pytest.approx(value, rel=1e-9, abs=1e-9)
    assert convert(value, kind, US, US) == value


@given(st.floats(0.01, 99_999), st.sampled_from([Kind.RING, Kind.AREA, Kind.MASS]))
def test_a_plain_number_is_read_as_the_number_it_is(value, kind):
    text = f"{value:.2f}"
    assert read_quantity(text, kind, system=SI).value == float(text)


# Feet and pounds worked by hand from 0.3048 m and 0.45359237 kg (NIST SP 811, exact).
@pytest.mark.parametrize(
    ("value", "kind", "system", "limit", "size"),
    [
        (2.996, Kind.LENGTH, SI, "2.99 m", "3.00 m"),
        (2.996, Kind.LENGTH, US, "9.8 ft", "9.9 ft"),  # 9.8294 ft
        (3.0, Kind.LENGTH, SI, "3.00 m", "3.00 m"),
        (3.048, Kind.LENGTH, US, "10.0 ft", "10.0 ft"),
        (3.0479, Kind.LENGTH, US, "9.9 ft", "10.0 ft"),
        (3.0481, Kind.LENGTH, US, "10.0 ft", "10.1 ft"),
        (2.3, Kind.LENGTH, SI, "2.30 m", "2.30 m"),  # 229.99999999999997 hundredths
        (0.004, Kind.LENGTH, SI, "0.00 m", "0.01 m"),
        (5200.0, Kind.MASS, SI, "5200 kg", "5200 kg"),
        (5200.0, Kind.MASS, US, "11\u202f464 lb", "11\u202f465 lb"),  # 11 464.04 lb
        (1360.77711, Kind.MASS, US, "3000 lb", "3000 lb"),
        (1360.77711, Kind.MASS, SI, "1360 kg", "1361 kg"),
        (2999.9999, Kind.MASS, SI, "2999 kg", "3000 kg"),
        (40 / 9, Kind.TEMPERATURE, SI, "4 °C", "5 °C"),
        (40 / 9, Kind.TEMPERATURE, US, "40 °F", "40 °F"),
        (1.2, Kind.TEMPERATURE, US, "34 °F", "35 °F"),  # 34.16 °F
        (-2.25, Kind.TEMPERATURE, SI, "-3 °C", "-2 °C"),
    ],
)
def test_a_limit_is_never_shown_as_more_and_a_size_never_as_less(value, kind, system, limit, size):
    assert (show_limit(value, kind, system), show_size(value, kind, system)) == (limit, size)


@given(st.floats(0.001, 1e5), st.sampled_from([Kind.LENGTH, Kind.MASS]), st.sampled_from([US, SI]))
def test_a_limit_read_back_is_at_most_what_it_was(value, kind, system):
    limit, size = (
        read_quantity(told(value, kind, system).replace("\u202f", ""), kind, comma="decimal").si
        for told in (show_limit, show_size)
    )
    assert limit <= value * (1 + 1e-12)
    assert size >= value * (1 - 1e-12)


@pytest.mark.parametrize("told", [show_limit, show_size])
def test_a_limit_or_size_that_is_not_finite_is_refused(told):
    with pytest.raises(UnitError, match="not finite"):
        told(float("nan"), Kind.MASS, SI)


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("nk", "nk"),
        ("NM", "nm"),
        ("n/a", "na"),
        ("not known", "nk"),
        ("", None),
        ("0", None),
        ("-", None),
    ],
)
def test_three_kinds_of_empty_and_a_blank_is_none_of_them(text, code):
    assert read_empty(text) == code
