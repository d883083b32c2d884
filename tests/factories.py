"""Smallest valid rows, one factory for each noun; nothing in them is random.

Instants lie in the past and have a zone; a person has no password unless one is given, since
hashing costs a tenth of a second: sign in with `client.force_login`.
"""

from datetime import UTC, date, datetime, time

import factory
from factory.django import DjangoModelFactory

from registry import models
from registry.models.choices import Role

LONG_AGO = datetime(2015, 1, 1, tzinfo=UTC)


class PersonFactory(DjangoModelFactory):
    class Meta:
        model = models.Person

    email = factory.Sequence(lambda n: f"person{n}@example.org")
    name = factory.Sequence(lambda n: f"Person {n}")

    @classmethod
    def _create(cls, model_class, *args, **fields):
        return model_class.objects.create_user(**fields)


class OrganisationFactory(DjangoModelFactory):
    class Meta:
        model = models.Organisation

    name = factory.Sequence(lambda n: f"Organisation {n}")
    usual_role = Role.OWNER


class MembershipFactory(DjangoModelFactory):
    class Meta:
        model = models.Membership

    person = factory.SubFactory(PersonFactory)
    organisation = factory.SubFactory(OrganisationFactory)
    from_at = LONG_AGO


class SiteFactory(DjangoModelFactory):
    class Meta:
        model = models.Site

    name = factory.Sequence(lambda n: f"Site {n}")
    time_zone = "America/New_York"


class PavementFactory(DjangoModelFactory):
    class Meta:
        model = models.Pavement

    site = factory.SubFactory(SiteFactory)
    name = factory.Sequence(lambda n: f"Pavement {n}")
    surface = models.Surface.PERVIOUS_CONCRETE
    area_m2 = 100.0


class SeatFactory(DjangoModelFactory):
    class Meta:
        model = models.Seat

    pavement = factory.SubFactory(PavementFactory)
    organisation = factory.SubFactory(OrganisationFactory)
    role = Role.OWNER
    from_at = LONG_AGO


class SectionFactory(DjangoModelFactory):
    class Meta:
        model = models.Section

    pavement = factory.SubFactory(PavementFactory)
    name = factory.Sequence(lambda n: f"Section {n}")


class PanelFactory(DjangoModelFactory):
    """A panel 10 ft by 15 ft with its home corner at the datum."""

    class Meta:
        model = models.Panel

    pavement = factory.SubFactory(PavementFactory)
    name = factory.Sequence(lambda n: f"A{n % 999 + 1}")
    right_m = 0.0
    up_m = 0.0
    width_m = 3.048
    length_m = 4.572


class PlanFactory(DjangoModelFactory):
    class Meta:
        model = models.Plan

    pavement = factory.SubFactory(PavementFactory)
    number = factory.Sequence(lambda n: n + 1)
    kind = models.PlanKind.PANELS


class StratumFactory(DjangoModelFactory):
    class Meta:
        model = models.Stratum

    pavement = factory.SubFactory(PavementFactory)
    kind = "field"


class SpotFactory(DjangoModelFactory):
    class Meta:
        model = models.Spot

    pavement = factory.SubFactory(PavementFactory)
    name = factory.Sequence(lambda n: f"P{n + 1}")


class InfiltrationTestFactory(DjangoModelFactory):
    """A run that drained: 12 in ring, 40 lb of water, 60 s. Its result is not worked out."""

    class Meta:
        model = models.InfiltrationTest

    spot = factory.SubFactory(SpotFactory, pavement=factory.SelfAttribute("..pavement"))
    pavement = factory.SubFactory(PavementFactory)
    method = models.TestMethod.C1701
    started_on = date(2022, 5, 2)
    system = "inch_pound"
    ring = 12.0
    water = 40.0
    seconds = 60.0
    ended = models.Ended.DRAINED
    use = models.UseOfTest.TREND


class CleaningFactory(DjangoModelFactory):
    class Meta:
        model = models.Cleaning

    pavement = factory.SubFactory(PavementFactory)
    done_on = date(2022, 4, 11)
    method = models.CleaningMethod.VACUUM


class CriteriaFactory(DjangoModelFactory):
    """A set with an action level of 10 in/h (254 mm/h) written in its document."""

    class Meta:
        model = models.Criteria

    pavement = factory.SubFactory(PavementFactory)
    source_document = "house rule"
    action_rate_mm_h = 254.0
    action_rate_is_given = True


class StandingFactory(DjangoModelFactory):
    """A stored condition: working as the holder sees it, not due before 2999."""

    class Meta:
        model = models.PavementStanding

    pavement = factory.SubFactory(PavementFactory)
    viewpoint = "holder"
    as_of_on = date(2024, 1, 1)
    word = "working"
    reason = "The lowest usable result is at least 2 times the action level."
    next_test_due_on = date(2999, 1, 1)
    input_digest = "0" * 64


class NumberFactory(DjangoModelFactory):
    class Meta:
        model = models.PavementNumber

    pavement = factory.SubFactory(PavementFactory)
    organisation = factory.SubFactory(OrganisationFactory)
    number = factory.Sequence(lambda n: f"N-{n}")


class DirtSourceFactory(DjangoModelFactory):
    class Meta:
        model = models.DirtSource

    pavement = factory.SubFactory(PavementFactory)
    kind = "mulch"


class InvitationFactory(DjangoModelFactory):
    """An invitation whose link holds `token`."""

    class Meta:
        model = models.Invitation

    class Params:
        token = factory.Sequence(lambda n: f"token-{n}")

    organisation = factory.SubFactory(OrganisationFactory)
    email = factory.Sequence(lambda n: f"invited{n}@example.org")
    token_digest = factory.LazyAttribute(lambda row: models.digest_of(row.token))
    invited_by = factory.SubFactory(PersonFactory)
    expires_at = datetime(2999, 1, 1, tzinfo=UTC)


class VisitFactory(DjangoModelFactory):
    class Meta:
        model = models.Visit

    pavement = factory.SubFactory(PavementFactory)
    done_on = date(2024, 4, 18)
    walked_by = "M. Ferrand"


class DefectFactory(DjangoModelFactory):
    """Raveling noted in the spring of 2024, at a place nobody drew."""

    class Meta:
        model = models.Defect

    pavement = factory.SubFactory(PavementFactory)
    number = factory.Sequence(lambda n: n + 1)
    kind = "raveling"
    first_seen_on = date(2024, 4, 18)


class ObservationFactory(DjangoModelFactory):
    class Meta:
        model = models.Observation

    defect = factory.SubFactory(DefectFactory)
    seen_on = date(2024, 4, 18)
    method = "tape"
    area_m2 = 0.5


class PhotoFileFactory(DjangoModelFactory):
    class Meta:
        model = models.PhotoFile

    sha256 = factory.Sequence(lambda n: f"{n:064x}")
    kind = "jpeg"
    bytes_long = 1000
    width_px = 40
    height_px = 30


class PhotoFactory(DjangoModelFactory):
    class Meta:
        model = models.Photo

    file = factory.SubFactory(PhotoFileFactory)
    pavement = factory.SubFactory(PavementFactory)
    site = factory.SelfAttribute("pavement.site")


class WaitingCorrectionFactory(DjangoModelFactory):
    """A second correction of the pavement's own name."""

    class Meta:
        model = models.WaitingCorrection

    pavement = factory.SubFactory(PavementFactory)
    subject_kind = "pavement"
    subject_id = factory.SelfAttribute("pavement.pk")
    subject_name = "pavement"
    changes = factory.LazyFunction(lambda: {"name": {"value": "B", "text": "B", "empty": ""}})
    lines = factory.LazyFunction(lambda: {"name": ["A", "B"]})
    why = "read again"


class SentFormFactory(DjangoModelFactory):
    class Meta:
        model = models.SentForm

    key = factory.Sequence(lambda n: f"{n:064x}")
    person = factory.SubFactory(PersonFactory)


class MachineFactory(DjangoModelFactory):
    """A full vacuum sweeper with nothing measured yet."""

    class Meta:
        model = models.Machine

    organisation = factory.SubFactory(OrganisationFactory)
    name = factory.Sequence(lambda n: f"machine {n}")
    methods = factory.LazyFunction(lambda: ["vacuum"])


class CrewFactory(DjangoModelFactory):
    """A crew that works Monday to Friday, 07:00 to 15:30."""

    class Meta:
        model = models.Crew

    organisation = factory.SubFactory(OrganisationFactory)
    name = factory.Sequence(lambda n: f"crew {n}")
    shifts = factory.LazyFunction(lambda: [[n, "07:00", "15:30"] for n in range(5)])


class DepotFactory(DjangoModelFactory):
    class Meta:
        model = models.Depot

    organisation = factory.SubFactory(OrganisationFactory)
    name = factory.Sequence(lambda n: f"place {n}")


class DumpPlaceFactory(DepotFactory):
    class Meta:
        model = models.DumpPlace


class WaterPointFactory(DepotFactory):
    class Meta:
        model = models.WaterPoint


class CrewHolidayFactory(DjangoModelFactory):
    class Meta:
        model = models.CrewHoliday

    organisation = factory.SubFactory(OrganisationFactory)
    first_on = last_on = date(2026, 7, 4)
    because = "Independence Day"


class ExtraShiftFactory(DjangoModelFactory):
    class Meta:
        model = models.ExtraShift

    crew = factory.SubFactory(CrewFactory)
    organisation = factory.SelfAttribute("crew.organisation")
    on = date(2026, 9, 19)
    from_clock = time(7)
    to_clock = time(11)


class SiteWindowFactory(DjangoModelFactory):
    class Meta:
        model = models.SiteWindow

    site = factory.SubFactory(SiteFactory)
    kind = "access"
    hours = factory.LazyFunction(lambda: [[5, "05:00", "09:00"]])


class SeasonFactory(DjangoModelFactory):
    """March and April."""

    class Meta:
        model = models.Season

    organisation = factory.SubFactory(OrganisationFactory)
    name = "after the last sand"
    from_month, from_day, to_month, to_day = 3, 1, 4, 30


class SeasonDayFactory(DjangoModelFactory):
    class Meta:
        model = models.SeasonDay

    organisation = factory.SubFactory(OrganisationFactory)
    fact = "last_sand"
    on = date(2026, 3, 20)


class PermitMinimumFactory(DjangoModelFactory):
    """Twice in each calendar year."""

    class Meta:
        model = models.PermitMinimum

    pavement = factory.SubFactory(PavementFactory)
    set_by = "the town"
    source_document = "permit 7"


class DueFactory(DjangoModelFactory):
    """Worked out, with nothing decided."""

    class Meta:
        model = models.Due

    pavement = factory.SubFactory(PavementFactory)
    as_of_on = date(2026, 6, 1)
    worked_out_at = LONG_AGO
    no_method = "Not decided: nothing is known."
    no_gain = "Not decided: nothing is known."


class WorkOrderFactory(DjangoModelFactory):
    """An order that was asked for."""

    class Meta:
        model = models.WorkOrder

    pavement = factory.SubFactory(PavementFactory)
    organisation = factory.SubFactory(OrganisationFactory)
    number = factory.Sequence(lambda n: f"W-26-{n:03d}")
    method = models.CleaningMethod.VACUUM
    asked_by = "the keeper"
    asked_on = date(2024, 5, 1)


class RoundFactory(DjangoModelFactory):
    """A week that waits for the worker."""

    class Meta:
        model = models.Round

    organisation = factory.SubFactory(OrganisationFactory)
    first_on, last_on = date(2026, 9, 14), date(2026, 9, 20)
    time_zone = "America/New_York"
    iterations = 50


class RoundDayFactory(DjangoModelFactory):
    """A Monday from 07:00 to 10:00 in New York."""

    class Meta:
        model = models.RoundDay

    round = factory.SubFactory(RoundFactory)
    crew = factory.SubFactory(
        CrewFactory, organisation=factory.SelfAttribute("..round.organisation")
    )
    on = date(2026, 9, 14)
    leaves_at = datetime(2026, 9, 14, 11, tzinfo=UTC)
    returns_at = datetime(2026, 9, 14, 14, tzinfo=UTC)


class RoundStopFactory(DjangoModelFactory):
    """Two hours of sweeping from 07:30 in New York."""

    class Meta:
        model = models.RoundStop

    day = factory.SubFactory(RoundDayFactory)
    sequence = factory.Sequence(lambda n: n + 1)
    kind = models.StopKind.WORK
    order = factory.SubFactory(
        WorkOrderFactory, organisation=factory.SelfAttribute("..day.crew.organisation")
    )
    drive_min = 30
    arrives_at = begins_at = datetime(2026, 9, 14, 11, 30, tzinfo=UTC)
    ends_at = datetime(2026, 9, 14, 13, 30, tzinfo=UTC)


class RoundPinFactory(DjangoModelFactory):
    class Meta:
        model = models.RoundPin

    round = factory.SubFactory(RoundFactory)
    order = factory.SubFactory(WorkOrderFactory)
    on = date(2026, 9, 15)


class RoundLeftOutFactory(DjangoModelFactory):
    class Meta:
        model = models.RoundLeftOut

    round = factory.SubFactory(RoundFactory)
    order = factory.SubFactory(WorkOrderFactory)
    rule = "NO_ROOM"
    words = "No room: lower risk than what was placed."


SECRET = "rain-that-nobody-guesses"
"""Of the feeds of the factory: the first made answers to it."""


class CalendarFeedFactory(DjangoModelFactory):
    """The calendar of an organisation, made by somebody who works there."""

    class Meta:
        model = models.CalendarFeed

    organisation = factory.SubFactory(OrganisationFactory)
    made_by = factory.LazyAttribute(
        lambda row: MembershipFactory(organisation=row.organisation).person
    )
    secret_digest = factory.LazyAttribute(lambda row: models.digest_of(row.secret))

    class Params:
        secret = factory.Sequence(lambda n: f"{SECRET}-{n}")
