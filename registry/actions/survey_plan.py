"""Measure a plan again, say that its datum is gone, mark it anew."""

from collections.abc import Sequence
from datetime import date

from django.db import transaction

from registry.actions.correct_entry import correct_entry
from registry.actions.write_journal import write_line
from registry.faults import DomainError
from registry.models import Organisation, Person, Plan
from registry.models.entry import Change
from registry.plan.datum import ResurveyCheck, check_of_resurvey
from registry.plan.lengths import with_unit
from registry.units import System


class CannotSurvey(DomainError):
    """The plan has no check length, or its datum is not known to be gone."""


@transaction.atomic
def resurvey_plan(
    plan: Plan,
    *,
    check_length_m: float,
    joints: Sequence[tuple[str, float, float]],
    measured_on: date,
    measured_by: str,
    system: System,
    by: Person | None,
    organisation: Organisation | None,
) -> ResurveyCheck:
    """Compare lengths in metres with the plan, and keep every one in a line of the journal.

    joints: (name, on the plan, as found). Within 0.5 ft in 100 ft the plan is kept; else a new
    plan with a list of names is due. Raises CannotSurvey and PlanError.
    """
    if plan.check_length_m is None:
        raise CannotSurvey("This plan has no check length to measure again. Write it down first.")
    check = check_of_resurvey(plan.check_length_m, check_length_m, joints)
    changes = {
        length.name: [with_unit(length.plan_m, system), with_unit(length.found_m, system)]
        for length in check.lengths
    }
    verdict = "within 0.5 in 100: the plan is kept"
    if not check.keep:
        verdict = "not within 0.5 in 100: " + ", ".join(length.name for length in check.outside)
    who = f" by {measured_by}" if measured_by else ""
    why = f"measured on {measured_on.isoformat()}{who}; {verdict}"
    write_line(plan, "re-surveyed", by=by, organisation=organisation, why=why, changes=changes)
    return check


@transaction.atomic
def lose_datum(
    plan: Plan, *, on: date, why: str, by: Person | None, organisation: Organisation | None
) -> Plan:
    """Say that the datum was found gone: until it is marked anew, new places are provisional."""
    if plan.datum_lost_on is not None:
        raise CannotSurvey(f"It is known to be gone since {plan.datum_lost_on.isoformat()}.")
    changes = {"datum_lost_on": Change(on, "")}
    return correct_entry(  # type: ignore[return-value]
        plan, changes=changes, why=why, by=by, organisation=organisation
    )


@transaction.atomic
def rebuild_datum(
    plan: Plan,
    *,
    on: date,
    datum: str,
    misfit_m: float,
    why: str,
    by: Person | None,
    organisation: Organisation | None,
) -> Plan:
    """Store that the datum was marked anew, with the misfit that the plan shows from then on."""
    if plan.datum_lost_on is None:
        raise CannotSurvey("The datum of this plan is not known to be gone.")
    if on < plan.datum_lost_on:
        raise CannotSurvey(f"It was found gone later, on {plan.datum_lost_on.isoformat()}.")
    changes = {
        "datum": Change(datum, ""),
        "misfit_m": Change(misfit_m, ""),
        "datum_lost_on": Change(None, ""),
    }
    why = f"marked anew on {on.isoformat()}: {why}"
    return correct_entry(  # type: ignore[return-value]
        plan, changes=changes, why=why, by=by, organisation=organisation
    )
