"""Tables of the invented town, as its people wrote them."""

import csv
from pathlib import Path

DEMO = Path(__file__).parents[2] / "fixtures" / "demo"
FT2 = 0.3048**2
MPH = 1.609344
YD3 = 0.9144**3
IN_H = 25.4


def rows(name: str) -> list[dict[str, str]]:
    """Return the lines of a table, by the heads of its columns."""
    with (DEMO / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def number(text: str) -> float:
    """Return a number with thousands commas; "-" and "" are 0."""
    clean = text.strip("* ").replace(",", "")
    return 0.0 if clean in {"", "-"} else float(clean)
