"""Which pour a panel is of on a day: the new work of its pavement, or the concrete of a repair.

A defect, a look and a load are of a certain pour: the one under the same name before, or after,
is other concrete with a record of its own.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from zoneinfo import ZoneInfo

from registry.gathering.layouts import link_cuts
from registry.models import Callback, Panel, PlacingDay, RaveledShare

NO_RECORD = "no placing record of this concrete"


@dataclass(frozen=True)
class Pour:
    """Panels of one pour that were there on a day, and its placing days that are seen.

    panels  by name, None for a name that the plan does not have on that day
    days    oldest first; none where nobody wrote them down, or whoever asks may not see them
    poured  days on which the plan, or a placing day, says that it was placed
    is_new_work  False for what was placed in the place of older concrete, or after all new work
    """

    panels: Mapping[str, Panel | None]
    days: tuple[PlacingDay, ...]
    poured: frozenset[date]
    is_new_work: bool

    @property
    def since(self) -> date | None:
        """Return the day before which a look is of other concrete; None for new work."""
        return None if self.is_new_work else min(self.poured, default=None)

    @property
    def until(self) -> date:
        """Return the day after which what was poured is other concrete."""
        return max(self.poured, default=date.max)

    @property
    def missing(self) -> str:
        """Return why nothing is known of its placing, nothing where a day is seen."""
        if self.days or self.is_new_work:
            return ""
        on = " and ".join(str(day) for day in sorted(self.poured))
        told = f"{NO_RECORD[0].upper()}{NO_RECORD[1:]} that you may see"
        return f"{told}: the plan says placed {on}." if on else f"{told}."

    @property
    def told(self) -> str:
        """Return of which repair it is, nothing for new work."""
        repair = self.days[0].repair if self.days else None
        if self.is_new_work or repair is None:
            return ""
        on = " and ".join(str(day) for day in sorted(self.poured))
        return f"new concrete of repair {repair.number or repair.pk}, placed {on}"


def notice_day(row: Callback) -> date:
    """Return the day at the site from which a notice counts, on which its panels are names."""
    at = row.received_at or row.entered_at
    return row.counted_on or at.astimezone(ZoneInfo(row.pavement.site.time_zone)).date()


def pours_of(
    panels: Sequence[Panel], on: date, days: Sequence[PlacingDay], *, names: Iterable[str] = ()
) -> list[Pour]:
    """Return the pours whose panels are there on a day, new work first; no query is made.

    panels  all of the pavement that stand, those that are no more included
    days    placing days that may be seen, each with its repair
    names   more names to put under a pour; those not on the plan are taken for new work
    """
    link_cuts(panels)
    new = [day for day in days if day.repair_id is None]
    groups: dict[tuple[int, date | None], dict[str, Panel | None]] = {(0, None): {}}
    there = {row.name: row for row in panels if row.is_there_on(on)}
    for name, row in {**dict.fromkeys(names), **there}.items():
        groups.setdefault(_pour(row, new, days), {})[name] = row
    found = []
    for (repair, alone), own in groups.items():
        of_it = new if not (repair or alone) else [day for day in days if day.repair_id == repair]
        of_it = [] if alone else sorted(of_it, key=lambda day: (day.placed_on, day.pk))
        said = {root_of(row).placed_on for row in own.values() if row is not None}
        poured = frozenset({day.placed_on for day in of_it} | {on for on in said if on})
        if own:
            found.append(Pour(own, tuple(of_it), poured, not (repair or alone)))
    return found


def _pour(
    row: Panel | None, new: Sequence[PlacingDay], days: Sequence[PlacingDay]
) -> tuple[int, date | None]:
    """Return (0, None) for new work, a repair's key, or 0 and the day of what has no record."""
    root = root_of(row) if row is not None else None
    poured = poured_on(root) if root is not None else None
    if root is None or (root.replaces_id is None and poured is None):
        return 0, None
    newest = max((day.placed_on for day in new), default=date.max)
    if root.replaces_id is None and poured is not None and poured <= newest:
        return 0, None
    for day in days:
        if day.repair_id is not None and poured and _placed_it(day, root.name, poured):
            return day.repair_id, None
    return 0, poured or date.min


def _placed_it(day: PlacingDay, name: str, poured: date) -> bool:
    """Say whether a repair placed a panel: it names it, and was at work there on that day."""
    repair = day.repair
    if repair is None or not repair.panels:
        return poured == day.placed_on
    begun = min(on for on in (repair.out_on, repair.in_on, day.placed_on) if on)
    ended = max(on for on in (repair.in_on, day.placed_on) if on)
    return name in repair.panels and begun <= poured <= ended


def root_of(panel: Panel) -> Panel:
    """Return the panel as it was poured: a saw cut makes no new concrete."""
    while panel.cut_from is not None:
        panel = panel.cut_from
    return panel


def poured_on(panel: Panel) -> date | None:
    """Return the day a panel was placed on, None where neither plan nor replacement says."""
    root = root_of(panel)
    return root.placed_on or (root.exists_from_on if root.replaces_id else None)


def shares_of_pour(
    typed: Iterable[RaveledShare], panels: Sequence[Panel], *, since: date | None, until: date
) -> list[RaveledShare]:
    """Leave out raveled shares of panels that were other concrete on the day of the look.

    panels  of the pavement, those that are no more included, linked to what they were cut from
    """
    by_name: dict[str, list[Panel]] = {}
    for row in panels:
        by_name.setdefault(row.name, []).append(row)
    return [row for row in typed if _is_of(row, by_name.get(row.panel, ()), since, until)]


def _is_of(row: RaveledShare, panels: Iterable[Panel], since: date | None, until: date) -> bool:
    there = next((panel for panel in panels if panel.is_there_on(row.looked_on)), None)
    poured = poured_on(there) if there is not None else None
    if poured is None:
        return since is None
    return (since is None or since <= poured) and poured <= until
