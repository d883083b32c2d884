"""Quantities as people write them, and how they are shown.

Inch-pound and SI are equal in rank: what was written is kept, with the unit it was written in,
and only a copy is turned into SI. Factors are exact by definition (NIST SP 811, appendix B).

kind          standard units      SI base of `Written.si`
ring          in | mm             mm
small_length  in | mm             mm      thickness, depth, lip
length        ft | m              m
area          ft2 | m2            m2
mass          lb | kg             kg
rate          in/h | mm/h         mm/h    infiltration
intensity     in/h | mm/h         mm/h    rain
volume        yd3 | m3            m3
liquid        gal | L             L
temperature   degF | degC         degC
speed         mph | km/h          km/h
density       lb/ft3 | kg/m3      kg/m3   fresh concrete, cores
content       lb/yd3 | kg/m3      kg/m3   cementitious material in a mix
sheet         mil | mm            mm      plastic sheet
placing_speed ft/min | m/min      m/min
drying        lb/ft2/h | kg/m2/h  kg/m2/h evaporation

Times and dates are read in `registry.instants`; its names are given out here too.
"""

import math
import re
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

from registry.faults import Ambiguous, DomainError, UnitError
from registry.instants import (
    elapsed_readings,
    elapsed_seconds,
    read_date,
    read_elapsed,
    read_local_instant,
)
from registry.numerals import number_readings, refuse_long, settle, tidy
from registry.unit_table import MEASURES, Kind, Measure, System, Unit

__all__ = [
    "Ambiguous",
    "DomainError",
    "Kind",
    "System",
    "UnitError",
    "Written",
    "convert",
    "elapsed_readings",
    "elapsed_seconds",
    "from_si",
    "read_date",
    "read_elapsed",
    "read_empty",
    "read_local_instant",
    "read_quantity",
    "same_system",
    "show",
    "show_limit",
    "show_number",
    "show_size",
    "to_si",
    "unit_sign",
]

THIN = "\u202f"  # narrow no-break space, between thousands from 10 000 up


@dataclass(frozen=True)
class Written:
    """A quantity as it was written, and what it is.

    text    exactly as written
    value   the number, in `unit`
    unit    the unit read or supplied by the system of the sheet
    system  the system of `unit`
    si      the value in the SI base of its kind (module head)
    """

    text: str
    value: float
    unit: str
    system: System
    si: float
    kind: Kind

    @property
    def standard(self) -> float:
        """The value in the standard unit of its own system: 30 cm of ring is 300 (mm)."""
        unit = MEASURES[self.kind].standard(self.system)
        return self.value if unit.sign == self.unit else unit.from_si(self.si)


_FRACTION = re.compile(r"(?:(\d+) )?(\d+)/(\d+)(?![\d/])\s*")
_NUMBER = re.compile(r"[+-]?[\d.,][\d., ]*")
_FEET_INCHES = re.compile(
    r"(\d+(?:\.\d+)?) ?(?:ft|feet|foot|'|′|’) ?-?(\d+(?:\.\d+)?|(?:\d+ )?\d+/\d+) ?"
    r"(?:in|inches|inch|\"|''|″|”)"
)


def read_quantity(
    text: str, kind: Kind, *, system: System | None = None, comma: str | None = None
) -> Written:
    """Read "602 ft²", "11,98", "12 in", "1 450", "11 7/8 in", "3 ft 6 in".

    text    as written, with or without a unit
    system  the sheet's system; supplies the unit where none is written. A unit that is written
            always wins over it.
    comma   the sheet's habit, "decimal" or "thousands", where a person has stated it; used only
            when the range of the field leaves both readings possible

    Raises UnitError if it cannot be read, Ambiguous if it can be read two ways.
    """
    if comma not in (None, "decimal", "thousands"):
        raise ValueError(f"comma must be decimal or thousands, not {comma!r}")
    refuse_long(text)
    clean = tidy(text)
    if not clean:
        raise UnitError(f"The {kind.value} is empty.")
    if kind is Kind.LENGTH and (feet := _FEET_INCHES.fullmatch(clean)):
        inches = _fraction(feet[2], text) if "/" in feet[2] else float(feet[2])
        return _written(text, float(feet[1]) + inches / 12, MEASURES[kind].units[0], kind)
    if fraction := _FRACTION.match(clean):
        unit = _unit_of(clean[fraction.end() :], text, kind, system)
        return _written(text, _fraction(fraction[0], text), unit, kind)
    number = _NUMBER.match(clean)
    if not number or not any(c.isdigit() for c in number[0]):
        raise UnitError(f"“{text}” is not a number.")
    unit = _unit_of(clean[number.end() :], text, kind, system)
    negative = clean.startswith("-")
    if negative and kind is not Kind.TEMPERATURE:
        article = "an" if kind.value[0] in "aeiou" else "a"
        raise UnitError(f"“{text}”: {article} {kind.value} cannot be negative.")
    readings = number_readings(number[0].strip().lstrip("+-"), text)
    value = settle(readings, text, lambda v: _is_likely(v, kind, unit), unit.sign, comma)
    return _written(text, -value if negative else value, unit, kind)


def same_system(*written: Written | None) -> System:
    """The one system all the given quantities were written in; mixing lb with mm is refused."""
    given = [w for w in written if w is not None]
    if not given:
        raise UnitError("Nothing was written, so no system of units can be told.")
    if len({w.system for w in given}) > 1:
        listed = ", ".join(w.unit for w in given)
        raise UnitError(
            f"Inch-pound and SI units are mixed in one reading ({listed}). "
            "Write them all in the system the test was read in."
        )
    return given[0].system


def _fraction(written: str, text: str) -> float:
    parts = _FRACTION.fullmatch(written)
    if parts is None:
        raise UnitError(f"“{text}” is not a fraction that can be read.")
    whole, top, bottom = parts.groups()
    if int(bottom) == 0:
        raise UnitError(f"“{text}” divides by zero.")
    return int(whole or 0) + int(top) / int(bottom)


def _is_likely(value: float, kind: Kind, unit: Unit) -> bool:
    low, high = MEASURES[kind].plausible[unit.system]
    return low <= MEASURES[kind].standard(unit.system).from_si(unit.to_si(value)) <= high


def _written(text: str, value: float, unit: Unit, kind: Kind) -> Written:
    return Written(text, value, unit.sign, unit.system, unit.to_si(value), kind)


def _unit_of(rest: str, text: str, kind: Kind, system: System | None) -> Unit:
    measure = MEASURES[kind]
    word = rest.strip().lower().replace("²", "2").replace("³", "3")
    word = word.replace("^", "").replace(".", "")
    if len(word) > 2 and word[0] == word[-1] == '"':  # 18.14 "lb", copied from a doubtful sheet
        word = word[1:-1]
    if not word:
        if system is None:
            raise UnitError(f"“{text}” has no unit. Write {_unit_list(measure)}.")
        return measure.standard(System(system))
    for unit in measure.units:
        if word in unit.spellings:
            return unit
    if kind is Kind.MASS and word in ("ton", "tons"):
        raise UnitError(f"“{text}”: a ton is short, long or metric. Write lb, kg or t.")
    raise UnitError(
        f"“{text}”: “{rest.strip()}” is not a unit of {kind.value}. Write {_unit_list(measure)}."
    )


def _unit_list(measure: Measure) -> str:
    return f"{measure.standard(System.INCH_POUND).sign} or {measure.standard(System.SI).sign}"


def to_si(value: float, kind: Kind, system: System) -> float:
    """A value in the standard unit of `system` to the SI base of its kind."""
    return _standard(kind, system).to_si(value)


def from_si(value_si: float, kind: Kind, system: System) -> float:
    """A value in the SI base of its kind to the standard unit of `system`."""
    return _standard(kind, system).from_si(value_si)


@cache
def _standard(kind: Kind, system: System) -> Unit:
    return MEASURES[kind].standard(System(system))


def convert(value: float, kind: Kind, source: System, target: System) -> float:
    """Between the standard units of two systems, by exact factors. For show, never for a rate."""
    return value if source == target else from_si(to_si(value, kind, source), kind, target)


def unit_sign(kind: Kind, system: System) -> str:
    """The standard unit as printed: "in/h", "ft²"."""
    return MEASURES[kind].standard(System(system)).sign


def show(
    value_si: float, kind: Kind, system: System, *, sign: str = "", digits: int | None = None
) -> str:
    """One quantity as printed, with sign and unit: "< 3.9 in/h", "12 829 mm/h".

    value_si  in the SI base of its kind
    sign      "" or "<" or ">"; it is always printed with the value
    digits    decimals; if None, by kind. Rates: whole from 10 up and one decimal below
              (practice of the trade), and bounds one decimal up to 100, since a bound is read
              against a limit that is written with one.

    Thousands are parted by a narrow no-break space from 10 000 up; the decimal mark is a point.
    """
    if not math.isfinite(value_si):
        raise UnitError("A number that is not finite cannot be shown.")
    if sign not in ("", "<", ">"):
        raise UnitError(f"“{sign}” is not a sign of a bound.")
    value = from_si(value_si, kind, system)
    if digits is None:
        digits = _rate_digits(value, sign) if kind is Kind.RATE else _decimals(kind, system)
    lead = f"{sign} " if sign else ""
    return f"{lead}{show_number(value, digits)} {unit_sign(kind, system)}"


def show_limit(value_si: float, kind: Kind, system: System) -> str:
    """What a site bears or lets through, never more than it is: 2.996 m is "2.99 m", "9.8 ft".

    value_si  in the SI base of its kind; a mass is shown whole, other kinds with their decimals

    What the decimals hold exactly stays as it is: 10 ft stored as 3.048 m is "10.0 ft".
    """
    return _show_one_side(value_si, kind, system, math.floor)


def show_size(value_si: float, kind: Kind, system: System) -> str:
    """What a machine weighs or measures, never less than it is: 2.991 m is "3.00 m", "9.9 ft".

    As `show_limit`, the other way; so too a temperature that must be kept: 4.44 °C is "5 °C".
    """
    return _show_one_side(value_si, kind, system, math.ceil)


def _show_one_side(
    value_si: float, kind: Kind, system: System, to_whole: Callable[[float], int]
) -> str:
    if not math.isfinite(value_si):
        raise UnitError("A number that is not finite cannot be shown.")
    digits = 0 if kind is Kind.MASS else _decimals(kind, system)
    steps = from_si(value_si, kind, system) * 10**digits
    near = round(steps)
    # Conversion leaves errors of some 1e-16: they must not cost a step.
    whole = near if math.isclose(steps, near, rel_tol=1e-12) else to_whole(steps)
    return f"{show_number(whole / 10**digits, digits)} {unit_sign(kind, system)}"


def show_number(value: float, digits: int = 0) -> str:
    """A bare number with the house's thousands: 5760, "12 829", 8.4."""
    text = f"{value:.{digits}f}"
    whole, _, tail = text.lstrip("-").partition(".")
    if float(text) == 0:
        text = text.lstrip("-")
    if len(whole) > 4:
        whole = f"{int(whole):,}".replace(",", THIN)
    minus = "-" if text.startswith("-") else ""
    return f"{minus}{whole}.{tail}" if tail else f"{minus}{whole}"


def _rate_digits(value: float, sign: str) -> int:
    # 9.96 would print as 10.0: what rounds to 10 is shown whole.
    limit = 99.95 if sign else 9.95
    return 1 if abs(value) < limit else 0


def _decimals(kind: Kind, system: System) -> int:
    return MEASURES[kind].decimals[System(system)]


def read_empty(text: str) -> str | None:
    """ "nk" not known, "nm" not measured, "na" does not apply; None if it says none of them.

    A blank is none of the three: nobody has said why it is blank.
    """
    word = tidy(text).lower().replace(".", "").replace("/", "")
    return _EMPTY.get(word)


_EMPTY = {
    "nk": "nk",
    "not known": "nk",
    "nm": "nm",
    "not measured": "nm",
    "na": "na",
    "does not apply": "na",
    "not applicable": "na",
}
