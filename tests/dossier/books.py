"""The dispute of the invented town as a book of rows, out of tables 1A to 1M alone."""

import csv
import re
from datetime import date, datetime
from functools import cache
from zoneinfo import ZoneInfo

from registry.dossier import Book, add_every_figure, blank, number, words
from tests.placing import dispute

SITE = ZoneInfo("America/New_York")
JOB = "H-2306"
HOLIDAYS = ["2024-05-27", "2024-07-04", "2024-09-02"]
LANES = {"A": 0, "B": 1, "C": 2, "D": 3}
STEPS = (
    # step, days, counting, counts from, its date, done, agreed
    ("acknowledged", 5, "working", "the counted-received date", "2024-04-29", "2024-05-02", None),
    ("visit", 15, "working", "the counted-received date", "2024-04-29", "2024-05-14", None),
    ("finding", 30, "calendar", "the visit", "2024-05-14", "2024-06-17", None),
    ("reply", 20, "working", "the finding", "2024-06-17", "2024-07-09", None),
    ("evaluator", 15, "working", "the reply", "2024-07-09", "2024-07-26", None),
    ("remedy", 90, "calendar", "the settlement", "2024-10-02", "2025-05-14", "2025-06-30"),
)


def instant(day: str, clock: str) -> str:
    return datetime.fromisoformat(f"{day} {clock}").replace(tzinfo=SITE).isoformat()


def named(text: str) -> list[str]:
    """ "C5-C11" and "D7, B11, C4" as panels."""
    found = []
    for part in re.split(r", ?", text):
        lane, first, last = re.fullmatch(r"([A-D])(\d+)(?:-[A-D](\d+))?", part).groups()
        found += [f"{lane}{n}" for n in range(int(first), int(last or first) + 1)]
    return found


def dispute_book() -> Book:
    """Every row of the dispute, no figure worked out yet."""
    book = Book()
    _plan(book)
    _loads(book)
    _looks(book)
    _cover(book)
    _tests_and_cores(book)
    _winter(book)
    _claim(book)
    return book


@cache
def dispute_worked_out() -> Book:
    book = dispute_book()
    add_every_figure(book)
    return book


def _plan(book: Book) -> None:
    (row,) = (one for one in dispute.table("1A_pavements") if one["job"] == JOB)
    area = float(row["area ft²"].replace(",", ""))
    book.add(
        "pavement",
        row["pavement"],
        {"area": number(area, "ft2", f"{row['area ft²']} ft²"), "use": words(row["use"])},
    )
    zone = dispute.in_zone()
    for panel in dispute.panels():
        outline = [[round(x, 6), round(y, 6)] for x, y in panel.polygon.exterior.coords[:-1]]
        book.add(
            "panels",
            panel.name,
            {
                "outline": words(outline),
                "lane": words(panel.letter),
                "placed_on": words("2023-08-22" if panel.letter in "AC" else "2023-08-24"),
                "in_winter_zone": words(panel.name in zone),
                "said_in_zone": words(panel.name in zone),
            },
        )


def _loads(book: Book) -> None:
    for day in ("2023-08-22", "2023-08-24"):
        book.add(
            "placing_days",
            day,
            {
                "placed_on": words(day),
                "thickness": number(6.0, "in", "6.0 in"),
                "cover_within_min": number(20.0),
                "covered_hours_required": number(168.0),
                "water_cement_limit": number(0.33),
                "density_approved": number(121.5, "lb/ft3", "121.5 lb/ft3"),
                "density_tolerance": number(5.0, "lb/ft3", "5 lb/ft3"),
            },
        )
    for row in dispute.table("1C_loads"):
        day = row["day"]
        times = {
            cell: words(instant(day, row[column]), row[column])
            for cell, column in (
                ("batched", "batched"),
                ("arrived", "arrived"),
                ("discharge_from", "discharge from"),
                ("discharge_to", "to"),
                ("cover_first", "cover first ft"),
                ("cover_last", "cover last ft"),
            )
        }
        water = "batch water lb (incl. aggregate moisture)"
        measured = {
            cell: number(float(row[column]), unit, f"{row[column]} {unit}")
            for cell, column, unit in (
                ("volume", "yd³", "yd3"),
                ("batch_water", water, "lb"),
                ("site_water", "site water gal", "gal"),
                ("density", "fresh density lb/ft³", "lb/ft3"),
                ("air", "air °F", "degF"),
                ("humidity", "RH %", ""),
                ("wind", "wind mph", "mph"),
                ("concrete", "concrete °F", "degF"),
            )
        }
        book.add(
            "loads",
            row["load"],
            {
                "day": words(day),
                "system": words("inch_pound"),
                "ticket": words(row["ticket"]),
                "cementitious": number(610.0, "lb/yd3", "610 lb/yd3"),
                "free_moisture": number(0.0, "lb", "0"),
                "placed": words(row["placed (lane, ft from datum line)"]),
                **times,
                **measured,
            },
        )
        _spreads(book, row)


def _spreads(book: Book, row: dict[str, str]) -> None:
    for written in row["placed (lane, ft from datum line)"].split(";"):
        lane, feet = written.split()
        low, high = feet.split("-")
        book.add(
            "spreads",
            f"load {row['load']} {lane}",
            {
                "load": words(row["load"]),
                "lane": words(lane),
                "from": number(float(low), "ft", f"{low} ft"),
                "to": number(float(high), "ft", f"{high} ft"),
            },
        )


def _looks(book: Book) -> None:
    for on in ("2023-10-03", "2024-04-18", "2024-10-09"):
        for row in dispute.table("1D_panels"):
            written = row[f"raveled % {on}"]
            book.add(
                "looks",
                f"{row['panel']} {on}",
                {
                    "panel": words(row["panel"]),
                    "on": words(on),
                    "share": number(int(written) / 100, "", f"{written} %"),
                    "graded_by": words("tape"),
                },
            )


def _cover(book: Book) -> None:
    for day, lanes, last, off in (
        ("2023-08-22", "AC", "11:33", "2023-08-29 08:00"),
        ("2023-08-24", "BD", "11:11", "2023-08-31 12:00"),
    ):
        panels = words([f"{lane}{n}" for lane in lanes for n in range(1, 12)])
        book.add(
            "covers",
            f"lanes {lanes[0]} and {lanes[1]}",
            {"day": words(day), "panels": panels, "last_at": words(instant(day, last), last)},
        )
        book.add(
            "uncovers",
            f"lanes {lanes[0]} and {lanes[1]} uncovered",
            {"panels": panels, "at": words(instant(*off.split()), off)},
        )
    book.add(
        "breaks",
        "C8-C9",
        {
            "panels": words(["C8", "C9"]),
            "from_at": words(instant("2023-08-22", "13:40"), "13:40"),
            "to_at": words(instant("2023-08-22", "14:10"), "14:10"),
            "cause": words("wind"),
        },
    )
    book.add(
        "early_loads",
        "delivery van on D11",
        {"panels": words(["D11"]), "at": words(instant("2023-09-05", "16:05"), "16:05")},
    )
    for row in dispute.table("1F_curing_log"):
        book.add(
            "cover_log",
            row["when (local)"],
            {"what": words(row["what"]), "who": words(row["who"]), "result": words(row["result"])},
        )


def _tests_and_cores(book: Book) -> None:
    ring = {
        "1B_acceptance_tests": "ring inside diameter in",
        "1M_after_repair_tests": "ring in",
    }
    for table, column in ring.items():
        for row in dispute.table(table):
            if row["job"] != JOB:
                continue
            book.add(
                "tests",
                row["test"],
                {
                    "system": words("inch_pound"),
                    "method": words("c1701"),
                    "ended": words("drained"),
                    "on": words(row["date"]),
                    "place": words(row["location"]),
                    "ring": number(float(row[column]), "in", f"{row[column]} in"),
                    "prewet": number(float(row["prewet s"]), "s", f"{row['prewet s']} s"),
                    "water": number(float(row["water lb"]), "lb", f"{row['water lb']} lb"),
                    "time": number(float(row["time s"]), "s", f"{row['time s']} s"),
                    "note": words(row.get("note", "")),
                },
            )
    for row in dispute.table("1K_cores"):
        length, density = row["length in"], row["density lb/ft³"]
        book.add(
            "cores",
            row["core"],
            {
                "system": words("inch_pound"),
                "panel": words(row["panel"]),
                "taken_on": words("2024-08-20"),
                "surface": words(row["surface"]),
                "length": number(float(length), "in", f"{length} in"),
                "density": number(float(density), "lb/ft3", f"{density} lb/ft3"),
                "chloride": number(float(row["chloride, % by mass of concrete"])),
                "fines": blank("not filled in yet"),
                "bottom_closed": words("yes" if "bottom" in row["seen in core"] else None),
                "seen": words(row["seen in core"]),
                "cause": words(row["evaluator's cause"]),
            },
        )


def _winter(book: Book) -> None:
    for row in dispute.table("1H_winter_log"):
        found = re.search(r"(\d+) lb", row["amount"])
        book.add(
            "winter",
            f"{row['date']} {row['what']}",
            {
                "on": words(row["date"]),
                "by": words(row["by"]),
                "what": words(row["what"]),
                "where": words(row["where"]),
                "amount": number(float(found.group(1)), "lb", row["amount"]) if found else blank(),
                "is_spread": words(found is not None),
                "source": words(row["source"]),
            },
        )


def _claim(book: Book) -> None:
    (row,) = (one for one in dispute.table("1A_pavements") if one["job"] == JOB)
    book.add(
        "terms",
        "the warranty",
        {
            "start_event": words("substantial completion"),
            "start_on": words(row["substantial completion"]),
            "years": number(int(row["warranty yr"])),
            "notice_zone": words("America/New_York"),
            "notice_closes": words("17:00"),
            "notice_working_days_only": words(False),
            "notice_days": number(30),
        },
    )
    book.add("parts", "the replaced panels", {"start_on": words("2025-06-06"), "years": number(1)})
    book.add("holidays", "contract", {"days": words(HOLIDAYS), "rest": words([5, 6])})
    book.add(
        "notice",
        "CB-5",
        {
            "arrived_local": words(instant("2024-04-26", "17:42"), "2024-04-26 17:42"),
            "discovered_on": words("2024-04-18"),
            "covered_by": words("the warranty"),
        },
    )
    for step, days, counting, after, on, done, agreed in STEPS:
        book.add(
            "clocks",
            step,
            {
                "days": number(days),
                "counting": words(counting),
                "after_what": words(after),
                "after_on": words(on),
                "to_working_day": words(False),
                "agreed_on": words(agreed) if agreed else blank(),
                "done_on": words(done),
            },
        )
    for row in dispute.table("1L_settlement"):
        mine = int(row["contractor %"])
        shares = [mine, 100 - mine]
        book.add(
            "settlement",
            row["panels"],
            {
                "panels": words(named(row["panels"])),
                "area": number(float(row["area ft²"]), "ft2", f"{row['area ft²']} ft2"),
                "unit": words("ft2"),
                "price": words(row["price $/ft²"]),
                "currency": words("US dollar"),
                "parties": words(["contractor", "owner"]),
                "percents": words(shares),
            },
        )


def table_of(name: str) -> tuple[dict[str, str], ...]:
    """Rows of a fixture of the invented town."""
    with (dispute.FOLDER / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return tuple(csv.DictReader(file))


def day(text: str) -> date:
    return date.fromisoformat(text)
