"""Which loads count as covered late, by which limit, and where that limit comes from.

Two limits stand side by side wherever late loads are set against the rest: 25 min for all loads,
and what each load's own day allows, where its placing day has such a limit. Both are always shown
with their source, on page, paper and in the record of a dossier, so that nobody has picked the one
that suits. A load whose time to cover is not known, or whose day has no limit, is in neither group.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

LATE_MIN = 25.0
"""For comparing, of all loads alike. House rule, no source."""


@dataclass(frozen=True)
class LateRule:
    """A limit in minutes for each load, None where it has none.

    words   "25 min"
    source  where the limit comes from, as it is printed beside it
    """

    words: str
    source: str
    limits: Mapping[str, float | None]

    def late(self, minutes: Mapping[str, float | None]) -> tuple[str, ...]:
        """Loads covered later than their limit; minutes from discharge to cover, by load."""
        return tuple(load for load in self.decided(minutes) if self._is_over(load, minutes))

    def decided(self, minutes: Mapping[str, float | None]) -> tuple[str, ...]:
        """Loads of which it is known whether they were late."""
        return tuple(
            load
            for load, limit in self.limits.items()
            if limit is not None and minutes.get(load) is not None
        )

    def _is_over(self, load: str, minutes: Mapping[str, float | None]) -> bool:
        took, limit = minutes.get(load), self.limits[load]
        return took is not None and limit is not None and took > limit


def house_rule(loads: Iterable[str]) -> LateRule:
    """The one limit for comparing, of all loads alike."""
    limits = dict.fromkeys(loads, LATE_MIN)
    return LateRule(f"{LATE_MIN:g} min", "house rule, no source", limits)


def chosen_rule(loads: Iterable[str], over_min: float) -> LateRule:
    """A limit that somebody typed, to try what it gives."""
    limits = dict.fromkeys(loads, over_min)
    return LateRule(f"{over_min:g} min", "typed here to try it, kept nowhere", limits)


def day_rule(by_load: Mapping[str, tuple[str, float | None]]) -> LateRule | None:
    """The limit of each load's own placing day; None where no day has one.

    by_load  load to its day, as 2023-08-22, and the minutes within which that day was to be covered
    """
    days = dict(sorted(by_load.values(), key=lambda one: one[0]))
    known = {limit for limit in days.values() if limit is not None}
    if not known:
        return None
    if len(known) == 1 and None not in days.values():
        words = f"{known.pop():g} min"
    else:
        told = (
            f"{on}: {'no limit' if limit is None else f'{limit:g} min'}"
            for on, limit in days.items()
        )
        words = ", ".join(told)
    limits = {load: limit for load, (_, limit) in by_load.items()}
    return LateRule(words, "limit of the placing day", limits)


def late_rules(by_load: Mapping[str, tuple[str, float | None]]) -> tuple[LateRule, ...]:
    """The limits by which loads are set against the rest, the one for comparing first."""
    own = day_rule(by_load)
    return (house_rule(by_load), *([] if own is None else [own]))
