"""Sites and pavements of the town: the contractor's, manager's and town's lists lined up."""

from datetime import date
from typing import Any

from registry.actions.add_entry import add_entry
from registry.actions.number_pavement import number_pavement
from registry.demo.ground import GROUNDS, SITES, Ground
from registry.demo.people import CONTRACTOR, MANAGER, TOWN, Cast
from registry.demo.tables import NOTHING, Line, day, last_day, number, read_table, square_feet
from registry.models import Parcel, Pavement, Site
from registry.models.choices import Answer
from registry.units import Kind, System, to_si

PLACED = {"PP-19-06": "2019-09"}
"""What is written of a placing that no placement record tells to the day (table 2G)."""

NOTES = {
    "PP-19-06": "No placement record; the builder's firm is closed.",
    "PP-24-09": "Entered a second time under another spelling; the register had 446 as ft².",
    "PP-22-08": "Winter sand along the drive edge (town's audit of 2026-06-09).",
}


def author_of(ground: Ground) -> str:
    """Return who keeps a pavement's entry: its manager, else the town, else its contractor."""
    if ground.manager:
        return MANAGER
    return TOWN if ground.town else CONTRACTOR


def lay_out_sites(cast: Cast) -> dict[str, Site]:
    """Store the sites; each is found by its name here alone, never by the program."""
    return {
        place.name: add_entry(
            Site(
                name=place.name,
                address=place.address,
                lat=place.lat,
                lon=place.lon,
                time_zone="America/New_York",
                other_names=[{"name": n, "used_by": TOWN} for n in place.other_names],
                note="The position is invented, as the town is.",
            ),
            **cast.as_author(TOWN),
        )
        for place in SITES
    }


def lay_out_pavements(cast: Cast, sites: dict[str, Site]) -> dict[str, Pavement]:
    """Store the pavements by their key, with every number side by side."""
    register = {line["town no."]: line for line in read_table("3A_register")}
    jobs = {line["job"]: line for line in read_table("1A_pavements")}
    made = {}
    for ground in GROUNDS:
        entry, job = register.get(ground.town), jobs.get(ground.job)
        row = _pavement(ground, sites[ground.site], entry, job)
        add_entry(row, **cast.as_author(author_of(ground)))
        for name, its_number in (
            (TOWN, ground.town),
            (MANAGER, ground.manager),
            (CONTRACTOR, ground.job),
        ):
            if its_number:
                number_pavement(row, number=its_number, **cast.as_author(name))
        if entry is not None and entry["maintenance agreement"] not in NOTHING:
            _parcel(row, entry, cast)
        made[ground.key] = row
    return made


def _pavement(ground: Ground, site: Site, entry: Line | None, job: Line | None) -> Pavement:
    source = entry or job or {}
    area_ft2 = number(source["area ft²"].split()[0])
    by_register = {"area_m2": f"{source['area ft²'].split()[0]} ft²"}
    lat, lon, bearing = ground.at or (None, None, None)
    row = Pavement(
        site=site,
        name=_name(source["pavement"]),
        surface=ground.surface,
        use=ground.use,
        area_m2=square_feet(area_ft2) if area_ft2 else None,
        as_written=by_register,
        note=NOTES.get(ground.key, ""),
        datum_lat=lat,
        datum_lon=lon,
        bearing_of_up_deg=bearing,
        winter_sand=Answer.YES if ground.key == "PP-22-08" else "",
        bare_soil_run_on=Answer.YES if ground.key == "PP-22-05" else "",
    )
    if job is not None:
        for name, value in _placed(job).items():
            setattr(row, name, value)
    else:
        row.empties = {"placed_on": "nk", "thickness_mm": "nk"}
        if ground.key in PLACED:
            row.as_written["placed_on"] = PLACED[ground.key]
    return row


def _name(written: str) -> str:
    return written.split(" (duplicate")[0]


def _placed(job: Line) -> dict[str, Any]:
    """Return what the contractor's list tells of a pavement."""
    completed = day(job["substantial completion"])
    return {
        "placed_on": day(job["placed"]),
        "placed_until_on": last_day(job["placed"]),
        "substantial_completion_on": completed,
        "thickness_mm": to_si(float(job["thickness in"]), Kind.SMALL_LENGTH, System.INCH_POUND),
    }


def _parcel(pavement: Pavement, entry: Line, cast: Cast) -> Parcel:
    """Store what the register says of the maintenance agreement; it has no parcel numbers."""
    written = entry["maintenance agreement"]
    is_found = written.startswith("recorded")
    row = Parcel(
        site=pavement.site,
        number=f"under {entry['town no.']}",
        agreement="" if written in ("recorded", "not found") else written,
        agreement_state="recorded" if is_found else "not_found",
        as_written={"agreement_state": written},
        note="The register has no parcel number; the pavement's stands here instead.",
    )
    return add_entry(row, **cast.as_author(TOWN))


def placed_year(ground: Ground) -> date:
    """Return the first day of the year in a town number: PP-18-02 was entered in 2018."""
    return date(2000 + int(ground.town[3:5]), 1, 1)
