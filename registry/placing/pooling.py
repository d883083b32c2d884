"""Which jobs may be put together for one pattern by load (N18), and why the others may not.

Loads of two jobs are compared only where they were looked at in the same way, at about the same
age, in the same units and of the same mix: else the difference between the jobs would pass for
one of the factor. Raveling from drying out starts within weeks and has mostly run its course by
about 4 months, and a winter adds its own: a first look counts from 4 weeks to 4 months after
placing and before the first December (common practice, no source).
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from registry.placing.faults import NotGiven

FROM_DAYS, TO_DAYS = 28, 122
MOST_LOADS = 120
"""More take many seconds to shuffle 20 000 times."""


@dataclass(frozen=True)
class JobLoads:
    """Loads of one job that have a raveled share at its first look.

    mixes  of its loads, as written; empty where one has none written
    """

    job: str
    loads: int
    graded_by: str
    units: str
    mixes: tuple[str, ...]


@dataclass(frozen=True)
class Pooled:
    """The jobs put together, and (job, why not) of the others."""

    jobs: tuple[str, ...]
    apart: tuple[tuple[str, str], ...]


def first_look(placed_on: date, looks: Iterable[date]) -> date | NotGiven:
    """Return the first day of looks that shows what came of placing, and not of a winter."""
    seen = sorted(looks)
    if not seen:
        return NotGiven("No raveled shares are on the record that you may see.")
    winter = date(placed_on.year, 12, 1)
    for on in seen:
        if FROM_DAYS <= (on - placed_on).days <= TO_DAYS and on < winter:
            return on
    return NotGiven(
        f"Its first look, {(seen[0] - placed_on).days} days after placing, does not lie from "
        f"{FROM_DAYS} to {TO_DAYS} days and before the first December."
    )


def pool(jobs: Sequence[JobLoads]) -> Pooled:
    """Return the largest group of jobs that may stand together; a job alone is a group too."""
    groups: dict[tuple[object, ...], list[JobLoads]] = {}
    for job in jobs:
        groups.setdefault(_key(job), []).append(job)
    if not groups:
        return Pooled((), ())
    taken = max(groups.values(), key=lambda group: sum(job.loads for job in group))
    names = {job.job for job in taken}
    apart = tuple((job.job, _why(job, taken[0])) for job in jobs if job.job not in names)
    return Pooled(tuple(job.job for job in taken), apart)


def _key(job: JobLoads) -> tuple[object, ...]:
    """A job whose mix is not written down stands alone."""
    alone = "" if job.mixes else job.job
    return job.graded_by, job.units, _folded(job), alone


def _folded(job: JobLoads) -> tuple[str, ...]:
    return tuple(sorted({" ".join(mix.casefold().split()) for mix in job.mixes}))


def _why(job: JobLoads, taken: JobLoads) -> str:
    if job.graded_by != taken.graded_by:
        return f"Graded {job.graded_by}, and not {taken.graded_by}."
    if job.units != taken.units:
        return "Read in other units: the two forms of evaporation differ by about 5 %."
    if not job.mixes or not taken.mixes:
        return "The mix of each load is not written down: another mix may ravel otherwise."
    return f"Another mix: {', '.join(job.mixes)}."
