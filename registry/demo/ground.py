"""Where the town lies and how its pavements are laid out: what the tables tell, and invention.

From the tables: names, numbers, areas, how many panels, their size where it is written, which
panels the fixed points lie in. Invented: addresses, positions, and how a count of panels whose
grid is nowhere written is laid out; each such grid adds up to the area of the table. One job,
H-2017, was never managed by the manager nor entered by the town.
"""

from dataclasses import dataclass, field

from registry.models import Surface, Use

CONCRETE, PAVERS = Surface.PERVIOUS_CONCRETE, Surface.PERMEABLE_PAVERS


@dataclass(frozen=True)
class Place:
    """A site. Positions are invented."""

    name: str
    address: str
    lat: float
    lon: float
    other_names: tuple[str, ...] = ()


@dataclass(frozen=True)
class Lane:
    """A lane or row of panels that runs up from `right_ft`."""

    letter: str
    panels: int
    right_ft: float


@dataclass(frozen=True)
class PanelGrid:
    """Panels of one size; `closing` are further ones: (name, right, up, width, length), ft."""

    lanes: tuple[Lane, ...]
    width_ft: float
    length_ft: float
    closing: tuple[tuple[str, float, float, float, float], ...] = ()


@dataclass(frozen=True)
class PathGrid:
    """A path with stations along its left edge; offsets are from the center."""

    width_ft: float
    length_ft: float


@dataclass(frozen=True)
class SquareGrid:
    """Pavers in squares of 10 ft from the datum."""

    width_ft: float
    length_ft: float


@dataclass(frozen=True)
class Ground:
    """One pavement of the town. `fixed` is {point: place}, "" where no place is written.

    `strata` says which lanes make a stratum, where the tables tell. `town`, `manager` and `job`
    are the three numbers; nobody had lined them up in one list.
    """

    site: str
    surface: Surface
    use: Use
    town: str = ""
    manager: str = ""
    job: str = ""
    grid: PanelGrid | PathGrid | SquareGrid | None = None
    datum: str = ""
    up: str = ""
    at: tuple[float, float, float] | None = None
    fixed: dict[str, str] = field(default_factory=dict)
    strata: dict[str, str] = field(default_factory=dict)

    @property
    def key(self) -> str:
        """Return the number by which the loader knows the pavement."""
        return self.town or self.job


def lanes(letters: str, panels: int, width_ft: float) -> tuple[Lane, ...]:
    """Return lanes side by side, each with the same number of panels."""
    return tuple(Lane(letter, panels, n * width_ft) for n, letter in enumerate(letters))


SITES = (
    Place(
        "Cooper's Yard", "14 Canal St, Sedgewater", 44.0912, -69.6204,
        ("Coopers Yard", "Cooper's Yd"),
    ),
    Place("Larch Row", "30-48 Larch Row, Sedgewater", 44.0931, -69.6251),
    Place("Ashdown campus", "5 Ashdown Rd, Sedgewater", 44.0968, -69.6177),
    Place("Quarry Road offices", "212 Quarry Rd, Sedgewater", 44.1003, -69.6322),
    Place("Fennel Court", "1-24 Fennel Ct, Sedgewater", 44.0895, -69.6233),
    Place("Tallow Lane 9", "9 Tallow Ln, Sedgewater", 44.0879, -69.6281),
    Place("Old Bakery", "3 Oven Sq, Sedgewater", 44.0922, -69.6219),
    Place("Fennel Street alley", "alley behind Fennel St, Sedgewater", 44.0901, -69.6226),
    Place("Library", "1 Library Sq, Sedgewater", 44.0917, -69.6228),
    Place("Quay Walk", "Quay Walk, Sedgewater", 44.0905, -69.6189),
    Place("Millrace Park", "60 Mill Ln, Sedgewater", 44.0946, -69.6298),
    Place("Heron School", "18 Heron Rd, Sedgewater", 44.0982, -69.6246),
    Place("St. Wenna hall", "2 Wenna Hill, Sedgewater", 44.0889, -69.6262),
)  # fmt: skip

UWM = ("U", "W", "M")

GROUNDS = (
    Ground(
        "Fennel Street alley", PAVERS, Use.ALLEY, town="PP-18-02",
        grid=SquareGrid(20, 220), fixed={"U": "", "M": ""},
    ),
    Ground(
        "Ashdown campus", PAVERS, Use.LOT, town="PP-18-09", manager="BC-06",
        grid=SquareGrid(60, 85), fixed=dict(zip(UWM, ("g(1,2)", "g(3,5)", "g(3,8)"), strict=True)),
    ),
    Ground(
        "Library", CONCRETE, Use.STALLS, town="PP-19-01",
        grid=PanelGrid(lanes("A", 18, 18), 18, 10), fixed={"U": "", "M": ""},
    ),
    Ground(
        "Larch Row", CONCRETE, Use.LOT, town="PP-19-06", manager="BC-04",
        grid=PanelGrid(lanes("ABCD", 10, 12), 12, 12),
        datum="chiseled cross, curb where the drive meets row A", up="the rear fence",
        at=(44.09335, -69.62542, 118.0),
        fixed=dict(zip(UWM, ("A4", "C6", "D5"), strict=True)),
        strata={"run_on_edge": "AB", "wheel_path": "C", "field": "D"},
    ),
    Ground(
        "Fennel Court", CONCRETE, Use.PATH, town="PP-20-01", manager="BC-08", job="H-2011",
        grid=PathGrid(10, 294), datum="bollard at the gate", up="the end away from the gate",
        fixed=dict(zip(UWM, ("0+30 L 2.0", "1+20 R 1.5", "2+40 L 1.0"), strict=True)),
    ),
    Ground(
        "Quarry Road offices", CONCRETE, Use.LOT, town="PP-20-07", manager="BC-07",
        grid=PanelGrid(lanes("ABCDE", 9, 12), 12, 12),
        fixed=dict(zip(UWM, ("A3", "B5", "C7"), strict=True)),
    ),
    Ground(
        "Ashdown campus", CONCRETE, Use.LOT, town="PP-21-02", manager="BC-05", job="H-2104",
        grid=PanelGrid(lanes("ABCDEF", 10, 12), 12, 12),
        fixed=dict(zip(UWM, ("A8", "D5", "F3"), strict=True)),
    ),
    Ground(
        "Quay Walk", CONCRETE, Use.PATH, town="PP-21-05", job="H-2109",
        grid=PathGrid(10, 432),
    ),
    Ground(
        "Millrace Park", CONCRETE, Use.LOT, town="PP-22-05", job="H-2208",
        grid=PanelGrid(lanes("ABCDE", 10, 12), 12, 12),
        datum="chiseled cross, curb at the millrace steps", up="Mill Lane",
        at=(44.09474, -69.62961, 352.5), fixed={"U": "B4", "M": "D8"},
    ),
    Ground(
        "Larch Row", CONCRETE, Use.STALLS, town="PP-22-08", manager="BC-03", job="H-2203",
        grid=PanelGrid((Lane("A", 13, 0), Lane("B", 12, 36)), 12, 12),
        fixed=dict(zip(UWM, ("A2", "A4", "A5"), strict=True)),
    ),
    Ground(
        "Old Bakery", CONCRETE, Use.COURT, town="PP-23-03", manager="BC-10", job="H-2302",
        grid=PanelGrid(lanes("ABCD", 4, 11.25), 11.25, 12.5),
        fixed=dict(zip(UWM, ("A2", "B3", "D1"), strict=True)),
    ),
    Ground(
        "Cooper's Yard", CONCRETE, Use.LOT, town="PP-23-07", manager="BC-01", job="H-2306",
        grid=PanelGrid(lanes("ABCD", 11, 12), 12, 12),
        datum="chiseled cross, canal-side curb at the foot of lane A", up="the entrance",
        at=(44.09108, -69.62061, 27.0),
        fixed=dict(zip(UWM, ("D6", "B6", "A6"), strict=True)),
        strata={"run_on_edge": "D", "wheel_path": "BC", "field": "A"},
    ),
    Ground(
        "Heron School", CONCRETE, Use.LANE, town="PP-24-04", job="H-2401",
        grid=PanelGrid(lanes("AB", 19, 5400 / 323 / 2), 5400 / 323 / 2, 17),
        fixed={"U": "A3"},
    ),
    Ground(
        "Cooper's Yard", CONCRETE, Use.LOT, town="PP-24-06", manager="BC-02", job="H-2405",
        grid=PanelGrid(lanes("ABC", 11, 12), 12, 12, closing=(("C12", 24, 132, 12, 4),)),
        fixed=dict(zip(UWM, ("C1", "B4", "A6"), strict=True)),
    ),
    Ground("Cooper's Yard", CONCRETE, Use.LOT, town="PP-24-09"),
    Ground(
        "Tallow Lane 9", CONCRETE, Use.DRIVE, town="PP-25-02", manager="BC-09", job="H-2502",
        grid=PanelGrid(lanes("AB", 4, 10), 10, 13.5), fixed={"U": "A2", "W": "B3"},
    ),
    Ground(
        "St. Wenna hall", CONCRETE, Use.LOT, job="H-2017",
        grid=PanelGrid(lanes("ABCDEF", 7, 10), 10, 14),
    ),
)  # fmt: skip
