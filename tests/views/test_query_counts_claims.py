"""Pages of placing, warranty and callback ask no more with 20 rows more of everything they show."""

from datetime import date, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from registry.actions.write_journal import write_line
from registry.models import Callback, CallbackMove, Person, PlacingDay
from registry.models.choices import Role
from tests import placing_factories as make
from tests.claim_rows import CLAIMED, lived_through, notice, settled_later, terms
from tests.factories import MembershipFactory, OrganisationFactory, SeatFactory
from tests.placing_rows import north_lot
from tests.views.test_access_table import MOST_QUESTIONS

pytestmark = pytest.mark.django_db
MORE = 20
OF_A_DAY = (
    make.WeatherReadingFactory,
    make.StrikeOffFactory,
    make.BlemishFactory,
    make.CoverFactory,
    make.CoverWalkFactory,
    make.CoverBreakFactory,
    make.UncoverFactory,
    make.EarlyLoadFactory,
)
OF_A_CALLBACK = (
    make.CallbackNoteFactory,
    make.CallbackAttachmentFactory,
    make.CallbackAnswerFactory,
    make.ThirdPartyFactory,
)


class Claim:
    """The dispute with one row of each kind, each written by a side of its own."""

    def __init__(self) -> None:
        self.callback = lived_through(notice(terms(pavement=north_lot()), panels=CLAIMED[:3]))
        settled_later(self.callback)
        self.pavement, self.warranty = self.callback.pavement, self.callback.warranty
        self.day = PlacingDay.objects.filter(pavement=self.pavement).earliest("placed_on")
        self.load = self.day.loads.earliest("pk")
        seats = {"pavement": self.pavement}
        placer = SeatFactory(**seats, role=Role.CONTRACTOR, organisation=self.callback.contractor)
        keeper = SeatFactory(**seats, role=Role.MANAGER)
        self.sides = {"contractor": self.member(placer), "manager": self.member(keeper)}
        placing = {"entered_for": placer.organisation}
        self.lot = make.LotFactory(pavement=self.pavement, placing_day=self.day, **placing)
        self.repair = make.RepairFactory(pavement=self.pavement, callback=self.callback)
        self.hand_over = make.HandOverFactory(
            pavement=self.pavement, giver=placer.organisation, taker=keeper.organisation
        )
        self.dossiers = {
            name: make.DossierFactory(callback=self.callback, for_organisation=one.organisation)
            for name, one in self.sides.items()
        }
        self.add(1)

    @staticmethod
    def member(seat):
        return MembershipFactory(organisation=seat.organisation)

    def add(self, count: int) -> None:
        """Add rows of each kind, by sides and persons that wrote nothing before."""
        for nth in range(count):
            side, person = OrganisationFactory(), MembershipFactory().person
            self._placed(nth, side)
            self._claimed(side, person)
            self._beside(nth, side, person)

    def _placed(self, nth, side) -> None:
        for factory in OF_A_DAY:
            factory(placing_day=self.day, entered_for=side)
        number = f"M{self.day.loads.count()}"
        make.LoadFactory(placing_day=self.day, entered_for=side, number=number)
        number = self.load.spreads.count()
        make.SpreadFactory(load=self.load, entered_for=side, from_m=number, to_m=number + 1)
        given = {"pavement": self.pavement, "entered_for": side}
        make.LotFactory(**given)
        make.CoreFactory(**given, callback=self.callback)
        looked = date(2024, 1, 1) + timedelta(days=nth + Callback.objects.count())
        make.RaveledShareFactory(**given, panel="A1", looked_on=looked)

    def _claimed(self, side, person) -> None:
        for factory in OF_A_CALLBACK:
            factory(callback=self.callback, entered_for=side)
        given = {"callback": self.callback, "entered_for": side, "panel": CLAIMED[0]}
        make.PanelFindingFactory(**given, found_by=f"finder {side.pk}")
        make.PanelEvidenceFactory(**given)
        CallbackMove.objects.create(
            callback=self.callback, from_state="settled", to_state="closed", on=date(2025, 6, 6),
            by=person, by_organisation=side,
        )  # fmt: skip
        for name, one in self.sides.items():
            row = make.DossierFactory(callback=self.callback, for_organisation=one.organisation)
            for subject in (row, self.dossiers[name]):
                write_line(subject, "taken away", by=person, organisation=side)

    def _beside(self, nth, side, person) -> None:
        given = {"pavement": self.pavement, "entered_for": side}
        terms_more = {"warranty": self.warranty, "entered_for": side}
        make.WarrantyPartFactory(**terms_more, panels=[f"B{nth % 11 + 1}"])
        make.WarrantyCoverFactory(**terms_more)
        make.CallbackFactory(**given, warranty=self.warranty, contractor=side)
        make.WarrantyFactory(**given, contractor=side)
        make.WinterEntryFactory(**given)
        make.RepairFactory(**given, callback=self.callback)
        make.HandOverFactory(**given, giver=side)
        make.PourPlanFactory(**given)
        for row in (self.warranty, self.repair, self.day, self.load):
            write_line(row, "corrected", by=person, organisation=side, why="as on the sheet")

    def pages(self, name: str):
        """Addresses of the pages that either side reads."""
        pavement, callback = self.pavement.pk, self.callback.pk
        return {
            "callback_list": (),
            "callback_page": (callback,),
            "callback_panels": (callback,),
            "callback_move": (callback,),
            "dossier_list": (callback,),
            "dossier_page": (self.dossiers[name].pk,),
            "hand_over_page": (pavement, self.hand_over.pk),
            "load_panels": (pavement,),
            "load_spreads": (self.load.pk,),
            "lot_list": (pavement,),
            "placing_day_list": (pavement,),
            "placing_day_page": (self.day.pk,),
            "pour_plan_list": (pavement,),
            "repair_list": (pavement,),
            "repair_page": (pavement, self.repair.pk),
            "warranty_list": (pavement,),
            "warranty_page": (self.warranty.pk,),
            "winter_log": (pavement,),
        }

    def counts(self, client, name: str) -> dict[str, int]:
        person: Person = self.sides[name].person
        client.force_login(person)
        found = {}
        for page, args in self.pages(name).items():
            with CaptureQueriesContext(connection) as asked:
                assert client.get(reverse(page, args=args)).status_code == 200, page
            found[page] = len(asked)
        return found


def test_pages_of_a_claim_ask_the_same_however_much_is_on_record(client):
    claim = Claim()
    few = {name: claim.counts(client, name) for name in claim.sides}
    claim.add(MORE)
    many = {name: claim.counts(client, name) for name in claim.sides}
    assert many == few
    over = {
        (name, page)
        for name, pages in many.items()
        for page in pages
        if pages[page] > MOST_QUESTIONS
    }
    assert over == set()
