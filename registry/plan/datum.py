"""The datum of a plan, its ties, and whether a re-survey still agrees with it.

Plan coordinates everywhere: `right_m` and `up_m` from the datum, in metres, looking up.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from registry.plan.faults import EarthError, PlanError

# 0.5 ft in 100 ft: within it the old plan is kept (house rule of the location scheme, no source).
RESURVEY_SHARE = 0.005
LEAST_JOINTS = 3


@dataclass(frozen=True)
class Tie:
    """A measured distance from the datum to a fixed object."""

    distance_m: float
    to: str

    def __post_init__(self) -> None:
        if not (math.isfinite(self.distance_m) and self.distance_m > 0):
            raise PlanError(f"The tie to {self.to or 'a fixed object'} needs a distance above 0.")
        if not self.to.strip():
            raise PlanError("A tie names the fixed object it is measured to.")


@dataclass(frozen=True)
class Datum:
    """The corner from which everything is measured.

    lonlat: WGS 84 longitude and latitude of the datum in degrees, or None when not known.
    bearing_of_up_deg: true bearing of "up", degrees clockwise from north, or None.
    check_length_between: the joints or marks it is taped between, "A1-A11".
    up_toward: the landmark in the reminder "UP, toward the canal".
    """

    description: str
    ties: tuple[Tie, ...] = ()
    second_mark: str = ""
    check_length_m: float | None = None
    lonlat: tuple[float, float] | None = None
    bearing_of_up_deg: float | None = None
    up_toward: str = ""
    check_length_between: str = ""

    def __post_init__(self) -> None:
        if self.check_length_m is not None and not self.check_length_m > 0:
            raise PlanError("The check length is a distance above 0.")
        if self.lonlat is not None:
            lon, lat = self.lonlat
            if not (-180 <= lon <= 180 and -90 < lat < 90):
                raise EarthError(
                    f"{lon}, {lat} is not a longitude and latitude; longitude comes first."
                )
        if self.bearing_of_up_deg is not None and not 0 <= self.bearing_of_up_deg < 360:
            raise EarthError("The bearing of up is from 0 to less than 360 degrees.")

    @property
    def can_be_rebuilt(self) -> bool:
        """Two ties find the cross again when the mark is gone."""
        return len(self.ties) >= 2


@dataclass(frozen=True)
class CheckedLength:
    """One length of a re-survey beside the same length on the plan, metres."""

    name: str
    plan_m: float
    found_m: float

    @property
    def difference_m(self) -> float:
        return self.found_m - self.plan_m

    @property
    def allowed_m(self) -> float:
        return RESURVEY_SHARE * self.plan_m

    @property
    def agrees(self) -> bool:
        # A micrometre of slack, for 100.5 ft against 100 ft must count as exactly on the limit.
        return abs(self.difference_m) <= self.allowed_m + 1e-6


@dataclass(frozen=True)
class ResurveyCheck:
    """`keep` is True when every length agrees; else a new plan with a list old to new is due."""

    lengths: tuple[CheckedLength, ...]

    @property
    def keep(self) -> bool:
        return all(length.agrees for length in self.lengths)

    @property
    def outside(self) -> tuple[CheckedLength, ...]:
        return tuple(length for length in self.lengths if not length.agrees)


def check_of_resurvey(
    old_length_m: float,
    new_length_m: float,
    joints: Sequence[tuple[str, float, float]],
) -> ResurveyCheck:
    """Compare a re-survey with the plan: the check length and three joints.

    joints: (name, distance from the datum on the plan, the same as found), metres.
    Each length may be out by 0.5 ft in 100 ft of its own length (common practice, no source).
    Raises PlanError with fewer than three joints or a length not above 0.
    """
    if len(joints) < LEAST_JOINTS:
        raise PlanError("A re-survey measures the check length and at least three joints.")
    rows = (("check length", old_length_m, new_length_m), *joints)
    for name, plan_m, found_m in rows:
        if not (plan_m > 0 and found_m > 0 and math.isfinite(plan_m + found_m)):
            raise PlanError(f"The {name} needs both lengths, each above 0.")
    return ResurveyCheck(tuple(CheckedLength(*row) for row in rows))
