"""The smallest valid row of each table of the placing day, the warranty and the callback."""

from datetime import UTC, date, datetime
from decimal import Decimal

import factory
from factory.django import DjangoModelFactory

from registry import models
from tests.factories import OrganisationFactory, PavementFactory

PLACED_ON = date(2023, 8, 22)
SIX = datetime(2023, 8, 22, 10, tzinfo=UTC)
"""06:00 of the placing day in New York."""
A_YEAR_LATER = datetime(2024, 8, 22, 10, tzinfo=UTC)


class PlacingDayFactory(DjangoModelFactory):
    """A day in feet and pounds."""

    class Meta:
        model = models.PlacingDay

    pavement = factory.SubFactory(PavementFactory)
    system = "inch_pound"
    placed_on = PLACED_ON


class _OfADay(DjangoModelFactory):
    class Meta:
        abstract = True

    placing_day = factory.SubFactory(PlacingDayFactory)


class LoadFactory(_OfADay):
    """A load of which the number alone is known."""

    class Meta:
        model = models.Load

    system = "inch_pound"
    number = factory.Sequence(lambda n: f"{n + 1}")


class SpreadFactory(DjangoModelFactory):
    """A part of a load in lane A."""

    class Meta:
        model = models.Spread

    load = factory.SubFactory(LoadFactory)
    lane = "A"
    from_m, to_m = 0.0, 9.3


class WeatherReadingFactory(_OfADay):
    """A reading at six in the morning."""

    class Meta:
        model = models.WeatherReading

    system = "inch_pound"
    at = SIX


class StrikeOffFactory(_OfADay):
    """One pass of a roller."""

    class Meta:
        model = models.StrikeOff

    lane = "A"
    tool = "roller"


class BlemishFactory(_OfADay):
    """A footprint."""

    class Meta:
        model = models.Blemish

    kind = "footprint"


class CoverFactory(_OfADay):
    """A strip under a sheet."""

    class Meta:
        model = models.Cover

    panels = factory.LazyFunction(lambda: ["A1"])
    panels_text = "A1"


class CoverWalkFactory(_OfADay):
    """A walk at six."""

    class Meta:
        model = models.CoverWalk

    at = SIX
    walked_by = "the foreman"


class CoverBreakFactory(_OfADay):
    """A gust at six."""

    class Meta:
        model = models.CoverBreak

    panels = factory.LazyFunction(lambda: ["A1"])
    from_at = SIX


class UncoverFactory(_OfADay):
    """A strip laid bare."""

    class Meta:
        model = models.Uncover

    panels = factory.LazyFunction(lambda: ["A1"])
    at = SIX


class EarlyLoadFactory(_OfADay):
    """A cat on A1."""

    class Meta:
        model = models.EarlyLoad

    what = "animal"
    panels = factory.LazyFunction(lambda: ["A1"])
    at = SIX


class LotFactory(DjangoModelFactory):
    """A lot of one day."""

    class Meta:
        model = models.Lot

    pavement = factory.SubFactory(PavementFactory)
    name = factory.Sequence(lambda n: f"{n + 1}")
    made_on = PLACED_ON


class CoreFactory(DjangoModelFactory):
    """A core."""

    class Meta:
        model = models.Core

    pavement = factory.SubFactory(PavementFactory)
    number = factory.Sequence(lambda n: f"K{n + 1}")
    taken_on = date(2024, 8, 20)


class RaveledShareFactory(DjangoModelFactory):
    """A panel of which a tenth is raveled."""

    class Meta:
        model = models.RaveledShare

    pavement = factory.SubFactory(PavementFactory)
    panel = "A1"
    looked_on = date(2023, 10, 3)
    share = 0.1
    graded_by = "tape"


class HolidayListFactory(DjangoModelFactory):
    """A list without a holiday; Saturday and Sunday are days of rest."""

    class Meta:
        model = models.HolidayList

    organisation = factory.SubFactory(OrganisationFactory)
    name = factory.Sequence(lambda n: f"contract {n}")
    rest_days = factory.LazyFunction(lambda: [5, 6])


class WarrantyFactory(DjangoModelFactory):
    """Two years of which the start is not agreed."""

    class Meta:
        model = models.Warranty
        skip_postgeneration_save = True

    pavement = factory.SubFactory(PavementFactory)
    contractor = factory.SubFactory(OrganisationFactory)
    years = 2

    @factory.post_generation
    def started(obj, create, extracted, **kwargs):
        """One that runs was started by its contractor."""
        if create and obj.state != "not_started":
            obj.moves.create(
                from_state="not_started",
                to_state="running",
                on=obj.start_on or date(2023, 9, 15),
                by_organisation=obj.contractor,
            )


class WarrantyPartFactory(DjangoModelFactory):
    """A renewed panel."""

    class Meta:
        model = models.WarrantyPart

    warranty = factory.SubFactory(WarrantyFactory)
    name = "replaced panels"
    panels = factory.LazyFunction(lambda: ["A1"])
    years = 1


class WarrantyCoverFactory(DjangoModelFactory):
    """Raveling is covered."""

    class Meta:
        model = models.WarrantyCover

    warranty = factory.SubFactory(WarrantyFactory)
    subject = "raveling"


class AnswerLimitFactory(DjangoModelFactory):
    """Five working days to acknowledge."""

    class Meta:
        model = models.AnswerLimit

    warranty = factory.SubFactory(WarrantyFactory)
    step = "acknowledge"
    days = 5
    counting = "working"
    after = "counted"


class CallbackFactory(DjangoModelFactory):
    """A notice of raveling in A1."""

    class Meta:
        model = models.Callback

    pavement = factory.SubFactory(PavementFactory)
    contractor = factory.SubFactory(OrganisationFactory)
    number = factory.Sequence(lambda n: f"CB-{n + 1}")
    claim = "raveling"
    panels = factory.LazyFunction(lambda: ["A1"])


class _OfACallback(DjangoModelFactory):
    class Meta:
        abstract = True

    callback = factory.SubFactory(CallbackFactory)


class CallbackNoteFactory(_OfACallback):
    """A letter that both sides see."""

    class Meta:
        model = models.CallbackNote

    kind = "letter_in"
    happened_on = date(2024, 4, 26)
    text = "Stones come off."


class CallbackAttachmentFactory(_OfACallback):
    """A line of the winter log."""

    class Meta:
        model = models.CallbackAttachment

    winter_entry = factory.SubFactory(
        "tests.placing_factories.WinterEntryFactory",
        pavement=factory.SelfAttribute("..callback.pavement"),
    )


class PanelFindingFactory(_OfACallback):
    """Covered late, likely."""

    class Meta:
        model = models.PanelFinding

    panel = "A1"
    cause = "covered_late"
    confidence = "likely"


class PanelEvidenceFactory(_OfACallback):
    """A sign that somebody saw."""

    class Meta:
        model = models.PanelEvidence

    panel = "A1"
    sign = "starts_early"
    is_there = True


class CallbackAnswerFactory(_OfACallback):
    """Accepted."""

    class Meta:
        model = models.CallbackAnswer

    kind = "accepted"
    answered_on = date(2024, 6, 17)


class ThirdPartyFactory(_OfACallback):
    """An evaluator."""

    class Meta:
        model = models.ThirdParty

    name = "an evaluator"


class SettlementLineFactory(_OfACallback):
    """One panel, paid by the contractor."""

    class Meta:
        model = models.SettlementLine

    panels = factory.LazyFunction(lambda: ["A1"])
    area, area_unit, currency = 144.0, "ft2", "$"
    unit_price = Decimal("26.00")
    share_percents = factory.LazyFunction(lambda: [["contractor", "100"], ["owner", "0"]])


class AgreedDateFactory(_OfACallback):
    """A new date for the remedy."""

    class Meta:
        model = models.AgreedDate

        exclude = ("is_confirmed",)

    step = "remedy"
    due_on = date(2025, 6, 30)
    is_confirmed = False
    confirmed_at = factory.Maybe("is_confirmed", datetime(2024, 10, 2, 12, tzinfo=UTC), None)
    confirmed_for = factory.Maybe("is_confirmed", factory.SubFactory(OrganisationFactory), None)


class DossierFactory(_OfACallback):
    """A dossier that waits for the worker."""

    class Meta:
        model = models.Dossier

    system = "inch_pound"


class WinterEntryFactory(DjangoModelFactory):
    """Salt in December."""

    class Meta:
        model = models.WinterEntry

    pavement = factory.SubFactory(PavementFactory)
    done_on = date(2023, 12, 19)
    deicer = "sodium"


class RepairFactory(DjangoModelFactory):
    """A panel to be replaced."""

    class Meta:
        model = models.Repair

    pavement = factory.SubFactory(PavementFactory)
    reason = "warranty"
    method = "panel"


class HandOverFactory(DjangoModelFactory):
    """A certificate drawn up."""

    class Meta:
        model = models.HandOver

    pavement = factory.SubFactory(PavementFactory)
    giver = factory.SubFactory(OrganisationFactory)
    taker = factory.SubFactory(OrganisationFactory)
    effective_at = datetime(2023, 9, 15, 16, tzinfo=UTC)


class PourPlanFactory(DjangoModelFactory):
    """One lane, planned without a forecast."""

    class Meta:
        model = models.PourPlan

    pavement = factory.SubFactory(PavementFactory)
    system = "inch_pound"
    planned_on = PLACED_ON
    first_at = SIX
    lanes = factory.LazyFunction(lambda: [["A", 0.0, 40.0]])
    thickness_mm, load_m3, placing_speed_m_min, cover_min = 152.4, 5.35, 0.7, 15.0
