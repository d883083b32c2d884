"""Raveling: what speaks for and against each cause. An aid to list evidence, panel by panel.

It gives no total, no order and no verdict. ++ speaks strongly for, + for, 0 says nothing,
- against, -- strongly against. Common practice, no source, but for the cautions that name one.
Of the density of cores the trade says only which way it points, not how strongly: those cells
stand as +.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from registry.defects.faults import CannotCompare

CAUSES: dict[str, str] = {
    "covered_late": "covered late, dried out",
    "too_dry": "load too dry",
    "too_wet": "load too wet",
    "sheet_lost": "sheet lost or uncovered early",
    "early_traffic": "early traffic",
    "salt_frost": "salt, frost",
    "plow": "plow",
    "wear": "wear, turning",
    "edge_work": "edge or joint work",
    "dirt": "dirt, clogging",
}
"""Code to label, in the order of the columns."""

SIGNS = {
    "++": "speaks strongly for it",
    "+": "speaks for it",
    "-": "speaks against it",
    "--": "speaks strongly against it",
}


@dataclass(frozen=True)
class Sign:
    """One thing to look for, and what it says of each cause, in the order of CAUSES.

    provisos  cause to what has to be shown besides, before the cell says anything
    """

    code: str
    label: str
    cells: tuple[str, ...]
    provisos: tuple[tuple[str, str], ...] = ()


def _sign(code: str, label: str, cells: str, *provisos: tuple[str, str]) -> Sign:
    return Sign(code, label, tuple(cells.split()), provisos)


# fmt: off
_TABLE = (
    #                                              late dry wet sheet early salt plow wear edge dirt
    _sign("starts_early", "starts under 4 months, then levels", "++ ++ + ++ + -- -- - ++ --"),
    _sign("jumps_in_winter", "starts or jumps in a winter",     "- - 0 - 0 ++ ++ 0 - +"),
    _sign("grows_all_year", "keeps growing all year",           "- 0 0 - 0 0 - ++ 0 0"),
    _sign("follows_loads", "follows load limits, not panels",   "++ ++ ++ - -- -- -- -- - --"),
    _sign("worst_late_in_day", "worst in the late, hot, windy part of the day",
                                                                "++ + - + 0 -- -- 0 0 --"),
    _sign("same_along_edges", "same along every edge",          "0 0 0 0 0 0 0 - ++ 0"),
    _sign("blade_lines", "lines, one direction, blade width",   "-- -- -- -- 0 - ++ - - --"),
    _sign("at_entrance", "at entrance, stairs, salt box",       "0 0 0 0 + ++ + + 0 -"),
    _sign("wheel_tracks", "two wheel tracks",                   "- - - - ++ 0 - ++ -- -",
          ("early_traffic", "if dated before release")),
    _sign("bare_dull_loose", "stones bare and clean, dull grey paste, pulls by hand",
                                                                "++ ++ -- ++ 0 - - - + -"),
    _sign("shiny_closed", "shiny closed skin, water stands, bottom closed in the core",
                                                                "-- -- ++ -- -- - -- -- - 0"),
    _sign("sound_below", "paste sound below a few mm, scaled top, chloride high there and low in a "
          "sound core",                                         "-- - 0 - - ++ 0 - - 0"),
    _sign("core_density_low", "density of the core low",        "+ + 0 0 0 0 0 0 0 0"),
    _sign("core_density_high_top", "density of the core high at the top",
                                                                "0 0 + 0 0 0 0 0 0 0"),
    _sign("core_density_low_at_edge", "density of the core low at the edge",
                                                                "0 0 0 0 0 0 0 0 + 0"),
    _sign("sheet_gap", "sheet log shows a gap at these panels", "+ 0 0 ++ 0 0 0 0 0 0"),
    _sign("sheet_rectangle", "rectangle of the lost sheet",     "0 0 0 ++ -- -- -- -- -- --"),
)
# fmt: on

RAVELING_SIGNS: dict[str, Sign] = {sign.code: sign for sign in _TABLE}

CAUTIONS = (
    "This lists evidence, panel by panel. It gives no total: engineers, contracts and permits "
    "decide.",
    "Two causes in one panel is normal: say which came first by the dated photos.",
    "Delay, heat and evaporation rise together through one morning, so the figures cannot tell "
    "them apart.",
    "Sodium chloride, calcium chloride and urea did most damage in a published freezing test, "
    "acetates least; concrete that stays saturated is damaged sooner, while clogging by itself "
    "gave no clear effect (from memory).",
)
UNDECIDED = (
    "Undecided: there is no dated picture from before the first winter, and the limits of the "
    "loads are not known. Core one sound and one raveled spot of each pattern before any answer."
)


@dataclass(frozen=True)
class Spoken:
    """One sign that speaks for or against a cause.

    strength  "++", "+", "-" or "--"
    proviso   what has to be shown besides, "" if nothing
    """

    sign: str
    label: str
    strength: str
    proviso: str

    @property
    def words(self) -> str:
        proviso = f" {self.proviso}" if self.proviso else ""
        return f"{self.label}: {SIGNS[self.strength]}{proviso}"


@dataclass(frozen=True)
class ForCause:
    """What speaks for and against one cause, in the order of the table."""

    cause: str
    label: str
    speaks_for: tuple[Spoken, ...]
    against: tuple[Spoken, ...]


@dataclass(frozen=True)
class Evidence:
    """Every cause in the order of the table, whatever is found.

    not_so     labels of the signs looked for and not there; they say nothing
    not_known  labels of the signs nobody has looked for
    """

    causes: tuple[ForCause, ...]
    not_so: tuple[str, ...]
    not_known: tuple[str, ...]
    cautions: tuple[str, ...]


def evidence_for(
    facts: Mapping[str, bool | None],
    *,
    photo_before_first_winter: bool | None = None,
    load_limits_known: bool | None = None,
) -> Evidence:
    """List what speaks for and against each cause.

    facts  code of a sign to whether it is there; None or absent where nobody has looked
    Raises CannotCompare on a sign that is not in the table.
    """
    if strange := [code for code in facts if code not in RAVELING_SIGNS]:
        raise CannotCompare(f"“{strange[0]}” is not a sign of the table of raveling.")
    seen = [sign for sign in RAVELING_SIGNS.values() if facts.get(sign.code)]
    proven = photo_before_first_winter or load_limits_known
    return Evidence(
        tuple(_for_cause(cause, seen) for cause in CAUSES),
        tuple(sign.label for sign in RAVELING_SIGNS.values() if facts.get(sign.code) is False),
        tuple(sign.label for sign in RAVELING_SIGNS.values() if facts.get(sign.code) is None),
        CAUTIONS if proven else (UNDECIDED, *CAUTIONS),
    )


def _for_cause(cause: str, seen: list[Sign]) -> ForCause:
    column = list(CAUSES).index(cause)
    spoken = [
        Spoken(sign.code, sign.label, sign.cells[column], dict(sign.provisos).get(cause, ""))
        for sign in seen
        if sign.cells[column] != "0"
    ]
    return ForCause(
        cause,
        CAUSES[cause],
        tuple(one for one in spoken if one.strength in {"+", "++"}),
        tuple(one for one in spoken if one.strength in {"-", "--"}),
    )
