"""What a shown number was made of: readings, formula, constant, limit and date."""

from registry.models import InfiltrationTest, TestMethod
from registry.units import Kind, System, show_number, unit_sign

FORMULA = "I = K M / (D² t), ASTM C1701 and C1781"
Pairs = tuple[tuple[str, str], ...]


def made_of_test(row: InfiltrationTest, shown_in: System) -> Pairs:
    """Return pairs of label and text for the rate of one run, in the units it was read in."""
    read_in = System(row.system)
    pairs = [("readings", _readings(row, read_in))]
    if row.result_constant is not None:
        pairs += [
            ("formula", FORMULA),
            ("constant", f"K = {show_number(row.result_constant)}, from memory of the standard"),
        ]
    if row.result_value is not None:
        sign = f"{row.result_sign} " if row.result_sign else ""
        value = f"{sign}{show_number(row.result_value, 2)} {unit_sign(Kind.RATE, read_in)}"
        other = "" if read_in == shown_in else ", shown in the units you chose"
        pairs.append(("gives", f"{value}{other}"))
    if row.result_estimate is not None:
        pairs.append(("estimate", f"{_estimate(row, read_in)}; it decides nothing alone"))
    if row.limit_min is not None:
        pairs.append(("limit", f"{row.limit_min:g} min"))
    pairs.append(("method", TestMethod(row.method).label))
    pairs.append(("read on", row.started_on.isoformat()))
    if row.computed_at is not None:
        pairs.append(("worked out", f"{row.computed_at:%Y-%m-%d}"))
    return tuple(pairs)


def _readings(row: InfiltrationTest, system: System) -> str:
    length, mass = unit_sign(Kind.RING, system), unit_sign(Kind.MASS, system)
    ring = "ring not known"
    if row.ring is not None:
        ring = f"ring {row.ring:g} {length}{' assumed' if row.ring_is_assumed else ''}"
    parts = [
        ring,
        f"water {row.water:g} {mass}" if row.water is not None else "water not known",
        f"{row.seconds:g} s" if row.seconds is not None else "time not known",
        row.get_ended_display() if row.ended else "",
        f"{row.water_left:g} {mass} left" if row.water_left is not None else "",
        f"prewet {row.prewet_seconds:g} s" if row.prewet_seconds is not None else "",
    ]
    return ", ".join(p for p in parts if p)


def _estimate(row: InfiltrationTest, system: System) -> str:
    return f"{show_number(row.result_estimate or 0.0, 1)} {unit_sign(Kind.RATE, system)}"
