"""What years of placing show as CSV: a line a class and way of grading, in the viewer's units."""

import csv
from collections.abc import Iterable
from io import StringIO

from registry.exchange.guarded_text import guard
from registry.gathering.placing_years import PlacingYears
from registry.placing.area_rates import AreaRate, per_area
from registry.placing.load_classes import ClassRow
from registry.units import Kind, System, from_si

OF = {System.SI: "m2_per_100_m2", System.INCH_POUND: "ft2_per_1000_ft2"}
AREA = {System.SI: "m2", System.INCH_POUND: "ft2"}
DRYING = {System.SI: "kg_m2_h", System.INCH_POUND: "lb_ft2_h"}


def placing_years_csv(found: PlacingYears, system: System) -> str:
    """Return the file, header first."""
    target = StringIO()
    writer = csv.writer(target)
    writer.writerow(_header(system))
    if found.whole is not None:
        writer.writerows(_lines("", found.whole, system))
    for grouping, rows in found.tables:
        for row in rows:
            writer.writerows(_lines(grouping.title, row, system))
    return target.getvalue()


def _header(system: System) -> tuple[str, ...]:
    of = OF[system]
    return (
        "told_apart_by", "class", f"area_placed_{AREA[system]}", "loads", "jobs",
        f"called_back_{of}", f"called_back_low_{of}", f"called_back_high_{of}",
        "raveled_graded_by", "raveled_loads",
        f"raveled_{of}", f"raveled_low_{of}", f"raveled_high_{of}",
        "median_min_to_cover", f"median_evaporation_{DRYING[system]}",
    )  # fmt: skip


def _lines(title: str, row: ClassRow, system: System) -> Iterable[list[str]]:
    """One line for each way of grading; one with empty cells where nothing was graded."""
    for way, raveled in row.raveled or (("", None),):
        drying = row.drying_kg_m2_h
        yield [
            guard(title),
            guard(row.label),
            f"{from_si(row.area_m2, Kind.AREA, system):.1f}",
            str(row.loads),
            str(row.jobs),
            *_rate(row.called, system),
            guard(way),
            "" if raveled is None else str(raveled.loads),
            *_rate(raveled, system),
            "" if row.lag_min is None else f"{row.lag_min:.0f}",
            "" if drying is None else f"{from_si(drying, Kind.DRYING, system):.3f}",
        ]


def _rate(rate: AreaRate | None, system: System) -> tuple[str, ...]:
    shares = (None,) * 3 if rate is None else (rate.share, rate.low, rate.high)
    return tuple("" if share is None else f"{per_area(share, system):.2f}" for share in shares)
