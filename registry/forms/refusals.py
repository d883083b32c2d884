"""What the tables refuse, in the words of the person who wrote it."""

NAME_TAKEN = "This name is in use already. Names stay apart so that old entries stay readable."

WORDS: dict[str, tuple[str | None, str]] = {
    "pavement_area_is_positive": ("area_m2", "An area is more than zero; write nk if not known."),
    "pavement_thickness_is_positive": (
        "thickness_mm",
        "A thickness is more than zero; write nk if not known.",
    ),
    "pavement_bearing_is_of_a_compass": (
        "bearing_of_up_deg",
        "A bearing is from 0 to less than 360 degrees, clockwise from north.",
    ),
    "site_position_is_whole_and_on_earth": (
        "lon",
        "A position needs both longitude (-180 to 180) and latitude (-90 to 90).",
    ),
    "criteria_rates_are_positive": (
        "action_rate_mm_h",
        "Action level and design intensity are more than zero; write nk if not known.",
    ),
    "run_on_coefficient_is_a_share": (
        "runoff_coefficient",
        "A runoff coefficient lies between 0 and 1.",
    ),
    "run_on_area_is_positive": ("area_m2", "An area is more than zero; write nk if not known."),
    "panel_has_a_size": ("width_m", "A panel has a width and a length above zero."),
    "panel_ends_after_it_begins": (
        "exists_to_on",
        "A panel ends on the day it began or later, not before.",
    ),
    "panel_name_once_at_a_time": ("name", NAME_TAKEN),
    "spot_name_once_at_a_time": ("name", NAME_TAKEN),
    "stratum_once_in_a_pavement": (
        "kind",
        "This stratum is written down already; correct it there.",
    ),
    "core_fines_not_below_0": ("fines_mm", "Fines reach down to 0 (none seen) or deeper."),
    "core_fines_within_length": ("fines_mm", "Fines cannot reach deeper than the core is long."),
    "visit_rain_is_some_rain": (
        "rain_mm",
        "Write depth and hours of the rain as more than 0, or leave them empty.",
    ),
    "ring_name_once_in_an_organisation": (
        "name",
        "This organisation has a ring of this name already.",
    ),
    "ring_has_a_diameter": ("inside_diameter", "A ring has a diameter of more than zero."),
    "price_is_not_negative": ("per_m2", "A price is zero or more."),
    "season_day_once": ("on", "This is written down already; correct it there."),
    "permit_minimum_fits_into_a_year": (
        "times",
        "A year has room for 1 to 52 cleanings, and they must fit into it.",
    ),
}


def words_for(constraint: str) -> tuple[str | None, str]:
    """Return the field a refusal stands beside (None: the whole form) and what it says."""
    if constraint in WORDS:
        return WORDS[constraint]
    if constraint.endswith("_from_before_to"):
        return "to_on", "“to” is the first day on which it no longer holds: after “from”."
    return None, f"The record does not hold together: {constraint.replace('_', ' ')}."
