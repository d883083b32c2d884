"""A plan drawn anew: the dated list of old panel names and the new ones beside them.

Old records keep the old name and show the new one beside it; old sheets still read true.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from registry.plan.faults import PlanError
from registry.plan.layout import Layout


@dataclass(frozen=True)
class Renaming:
    """Old name -> new name, valid from a day on. A name not in `pairs` has no counterpart."""

    from_plan: int
    to_plan: int
    on: date
    pairs: tuple[tuple[str, str], ...]

    def __post_init__(self) -> None:
        if self.to_plan <= self.from_plan:
            raise PlanError("A new plan has a higher number than the one it follows.")
        for names in zip(*self.pairs, strict=True):
            if len(set(names)) != len(names):
                raise PlanError("Each old and each new panel name stands once in the list.")

    def new_name(self, old: str) -> str | None:
        return dict(self.pairs).get(old)

    def old_name(self, new: str) -> str | None:
        return {after: before for before, after in self.pairs}.get(new)

    def beside(self, old: str) -> str:
        """ "C8 (plan 2: D8)"; the old name alone if it stayed; "no panel" if there is none now."""
        new = self.new_name(old)
        if new == old:
            return old
        return f"{old} (plan {self.to_plan}: {new or 'no panel'})"


def renaming_by_place(old: Layout, new: Layout, on: date) -> Renaming:
    """Pair the panels of two plans with the same datum by the place of their middles.

    Both ways have to agree: the old panel's middle lies in the new panel and the reverse;
    others stay without counterpart, for a person to decide.
    """
    pairs = []
    for panel in old.panels_on(on):
        there = new.panel_at(*panel.centre, on)
        if there is not None and old.panel_at(*there.centre, on) == panel:
            pairs.append((panel.name, there.name))
    return Renaming(old.number, new.number, on, tuple(pairs))


def from_mapping(old: Layout, new: Layout, on: date, names: Mapping[str, str]) -> Renaming:
    """A list written by hand; every name must be on its plan that day. Raises PlaceError if not."""
    for before, after in names.items():
        old.panel_named(before, on)
        new.panel_named(after, on)
    return Renaming(old.number, new.number, on, tuple(names.items()))
