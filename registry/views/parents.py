"""To what an entry of the record belongs, and for which organisation a person may write there."""

from dataclasses import dataclass
from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db.models import QuerySet
from django.http import Http404
from django.urls import reverse

from registry import access
from registry.access.callbacks import acting_side, get_callback, get_warranty, warranty_side
from registry.access.placing import correcting_side, get_load, get_placing_day, writing_side
from registry.actions.add_entry import add_entry
from registry.actions.add_load import add_load
from registry.actions.correct_entry import correct_entry
from registry.actions.describe_structure import correct_structure, describe_structure
from registry.actions.set_criteria import correct_criteria, set_criteria
from registry.forms.blemish import BlemishForm
from registry.forms.callback import AgreedDateForm, CallbackNoteForm, ThirdPartyForm
from registry.forms.callback_answer import CallbackAnswerForm, SettlementLineForm
from registry.forms.cover import (
    CoverBreakForm,
    CoverForm,
    CoverWalkForm,
    EarlyLoadForm,
    UncoverForm,
)
from registry.forms.crew import CrewForm
from registry.forms.crew_holiday import CrewHolidayForm
from registry.forms.criteria import CriteriaForm
from registry.forms.depot import DepotForm
from registry.forms.dirt_source import DirtSourceForm
from registry.forms.drilled_core import CoreForm
from registry.forms.dump_place import DumpPlaceForm
from registry.forms.edge import EdgeForm
from registry.forms.entry import PartForm
from registry.forms.extra_shift import ExtraShiftForm
from registry.forms.holiday_list import HolidayListForm
from registry.forms.joint import JointForm
from registry.forms.load import LoadForm, SpreadForm
from registry.forms.lot import LotForm
from registry.forms.machine import MachineForm
from registry.forms.panel_finding import PanelEvidenceForm, PanelFindingForm
from registry.forms.parcel import ParcelForm
from registry.forms.permit_minimum import PermitMinimumForm
from registry.forms.placing_day import PlacingDayForm
from registry.forms.pour_plan import PourPlanForm
from registry.forms.price import PriceForm
from registry.forms.repair import RepairForm
from registry.forms.ring import RingForm
from registry.forms.rule_setting import RuleSettingForm
from registry.forms.run_on import RunOnForm
from registry.forms.season import SeasonForm
from registry.forms.season_day import SeasonDayForm
from registry.forms.section import SectionForm
from registry.forms.site_window import SiteWindowForm
from registry.forms.stratum import StratumForm
from registry.forms.strike_off import StrikeOffForm
from registry.forms.structure import StructureForm
from registry.forms.warranty import (
    AnswerLimitForm,
    WarrantyCoverForm,
    WarrantyForm,
    WarrantyPartForm,
)
from registry.forms.water_point import WaterPointForm
from registry.forms.weather_reading import WeatherReadingForm
from registry.forms.well import WellForm
from registry.forms.winter_entry import WinterEntryForm
from registry.models import (
    Callback,
    Load,
    Organisation,
    Pavement,
    Person,
    PlacingDay,
    Site,
    Warranty,
)
from registry.models.rights import KEEPERS

Parent = Pavement | Site | Organisation | Warranty | Callback | PlacingDay | Load


@dataclass(frozen=True)
class Noun:
    """A kind of entry: what it is called, its form, who may write it, by which actions.

    `page` names the address at which a parent's are listed. `by_author` says that only the side
    that wrote an entry corrects or voids it: both sides of a callback write beside each other.
    """

    word: str
    many: str
    form: type[PartForm]
    right: str = "edit"
    ends: str = ""
    add: object = add_entry
    correct: object = correct_entry
    page: str = "pavement_edit"
    by_author: bool = False


NOUNS: dict[str, Noun] = {
    "criteria": Noun(
        "set of design criteria",
        "design criteria",
        CriteriaForm,
        "set_criteria",
        "ended",
        set_criteria,
        correct_criteria,
    ),
    "permit_minimum": Noun(
        "minimum of cleanings",
        "cleanings that a permit asks for",
        PermitMinimumForm,
        "set_criteria",
        ends="ended",
    ),
    "run_on": Noun("run-on area", "run-on areas", RunOnForm, ends="ended"),
    "dirt_source": Noun("source of dirt", "what brings dirt", DirtSourceForm, ends="stopped"),
    "structure": Noun(
        "structure below",
        "structure below",
        StructureForm,
        ends="ended",
        add=describe_structure,
        correct=correct_structure,
    ),
    "well": Noun("observation well", "observation wells", WellForm),
    "section": Noun("section", "sections", SectionForm, ends="ended"),
    "stratum": Noun("stratum", "strata", StratumForm),
    "joint": Noun("joint", "joints", JointForm),
    "edge": Noun("edge", "edges of panels", EdgeForm),
    "parcel": Noun("parcel", "parcels", ParcelForm, ends="ended", page="site_page"),
    "ring": Noun("test ring", "test rings", RingForm, page="ring_list"),
    "price": Noun(
        "price of cleaning", "prices of cleaning", PriceForm, ends="ended", page="price_list"
    ),
    "crew": Noun("crew", "crews", CrewForm, page="crew_list"),
    "machine": Noun("machine", "machines", MachineForm, page="crew_list"),
    "crew_holiday": Noun("holiday", "holidays and leave", CrewHolidayForm, page="crew_list"),
    "extra_shift": Noun("extra shift", "extra shifts", ExtraShiftForm, page="crew_list"),
    "depot": Noun("depot", "depots", DepotForm, page="crew_place_list"),
    "dump_place": Noun(
        "dump or decant place", "dump and decant places", DumpPlaceForm, page="crew_place_list"
    ),
    "water_point": Noun("water point", "water points", WaterPointForm, page="crew_place_list"),
    "season": Noun("season", "calendar of seasons", SeasonForm, page="season_list"),
    "season_day": Noun(
        "day of a season", "what happened in a year", SeasonDayForm, page="season_list"
    ),
    "rule_setting": Noun(
        "limit set otherwise",
        "limits set otherwise",
        RuleSettingForm,
        ends="ended",
        page="season_list",
    ),
    "site_window": Noun(
        "span of hours", "hours for crews", SiteWindowForm, ends="ended", page="site_page"
    ),
    "placing_day": Noun(
        "placing day",
        "placing days",
        PlacingDayForm,
        "record_placing",
        page="placing_day_list",
        by_author=True,
    ),
    "pour_plan": Noun(
        "pour plan",
        "pour plans",
        PourPlanForm,
        "record_placing",
        page="pour_plan_list",
        by_author=True,
    ),
    "load": Noun("load", "loads", LoadForm, page="placing_day_page", add=add_load),
    "spread": Noun("spread of a load", "spreads", SpreadForm, page="load_spreads"),
    "weather_reading": Noun(
        "reading of the weather", "weather", WeatherReadingForm, page="placing_day_page"
    ),
    "strike_off": Noun("strike-off", "strike-offs", StrikeOffForm, page="placing_day_page"),
    "blemish": Noun("blemish", "blemishes", BlemishForm, page="placing_day_page"),
    "cover": Noun("cover of a strip", "covers", CoverForm, page="placing_day_page"),
    "cover_walk": Noun("walk round the covers", "walks", CoverWalkForm, page="placing_day_page"),
    "cover_break": Noun("time without cover", "breaks", CoverBreakForm, page="placing_day_page"),
    "uncover": Noun("uncovering", "uncoverings", UncoverForm, page="placing_day_page"),
    "early_load": Noun("early load", "early loads", EarlyLoadForm, page="placing_day_page"),
    "lot": Noun("lot", "lots", LotForm, "record_placing", page="lot_list", by_author=True),
    "core": Noun("core", "cores", CoreForm, "record_core", page="lot_list", by_author=True),
    "holiday_list": Noun(
        "holiday list", "holiday lists of contracts", HolidayListForm, page="holiday_lists"
    ),
    "warranty": Noun(
        "warranty",
        "warranties",
        WarrantyForm,
        "record_warranty",
        page="warranty_list",
        by_author=True,
    ),
    "warranty_part": Noun(
        "part of a warranty", "parts", WarrantyPartForm, page="warranty_page", by_author=True
    ),
    "warranty_cover": Noun(
        "cover", "what is covered", WarrantyCoverForm, page="warranty_page", by_author=True
    ),
    "answer_limit": Noun(
        "limit of an answer", "limits", AnswerLimitForm, page="warranty_page", by_author=True
    ),
    "winter_entry": Noun(
        "line of the winter log", "winter log", WinterEntryForm, "record_winter", page="winter_log"
    ),
    "repair": Noun(
        "repair", "repairs", RepairForm, "record_repair", page="repair_list", by_author=True
    ),
    "callback_note": Noun(
        "note", "notes and letters", CallbackNoteForm, "add", page="callback_page", by_author=True
    ),
    "panel_finding": Noun(
        "finding for a panel",
        "findings",
        PanelFindingForm,
        "find",
        page="callback_panels",
        by_author=True,
    ),
    "panel_evidence": Noun(
        "sign in a panel",
        "signs",
        PanelEvidenceForm,
        "add",
        page="callback_panels",
        by_author=True,
    ),
    "callback_answer": Noun(
        "answer", "answers", CallbackAnswerForm, "answer", page="callback_page", by_author=True
    ),
    "third_party": Noun(
        "third party",
        "third parties",
        ThirdPartyForm,
        "add",
        page="callback_page",
        by_author=True,
    ),
    "settlement_line": Noun(
        "line of the settlement",
        "settlement",
        SettlementLineForm,
        "settle",
        page="callback_page",
        by_author=True,
    ),
    "agreed_date": Noun(
        "agreed date",
        "agreed dates",
        AgreedDateForm,
        "settle",
        page="callback_page",
        by_author=True,
    ),
}
OF_A_PAVEMENT = tuple(n for n, noun in NOUNS.items() if noun.page == "pavement_edit")
"""Kinds listed on the page of a pavement's record, which is read by whoever sees the pavement."""


def noun_called(name: str) -> Noun:
    """Return a kind of entry by its name in an address; 404 for any other."""
    if name not in NOUNS:
        raise Http404("No such kind of entry.")
    return NOUNS[name]


def parent_of(
    person: Person, noun: Noun, pk: int, *, correcting: bool = False
) -> tuple[Parent, Organisation]:
    """Return what the entry belongs to, and the organisation through which it may be written.

    A contractor corrects its placing record by lines for ever, and adds until the hand-over.
    """
    if noun.form.parent_name == "site":
        site = access.get_site(person, pk)
        return site, keeper_of(person, site)
    if noun.form.parent_name == "organisation":
        organisation = access.get_organisation(person, pk)
        return organisation, organisation
    if noun.form.parent_name == "warranty":
        terms = get_warranty(person, pk, to="write")
        return terms, _found(warranty_side(access.rights_at(person, terms.pavement), terms))
    if noun.form.parent_name in ("placing_day", "load"):
        return _of_a_day(person, noun, pk, correcting)
    if noun.form.parent_name == "callback":
        callback = get_callback(person, pk, to=noun.right)
        rights = access.rights_at(person, callback.pavement)
        return callback, _found(acting_side(rights, callback, noun.right))
    pavement = access.get_pavement(person, pk, to=noun.right)
    return pavement, access.acting_organisation(person, pavement, noun.right)


def _of_a_day(person: Person, noun: Noun, pk: int, correcting: bool) -> tuple[Parent, Organisation]:
    parent: Parent
    if noun.form.parent_name == "load":
        parent = get_load(person, pk)
        day = parent.placing_day
    else:
        parent = day = get_placing_day(person, pk)
    return parent, correcting_side(person, day) if correcting else writing_side(person, day)


def _found(side: Organisation | None) -> Organisation:
    if side is None:
        raise PermissionDenied("Your seat at this pavement does not allow this.")
    return side


def keeper_of(person: Person, site: Site) -> Organisation:
    """Return the organisation through which a person corrects a site.

    It is one that owns or manages a pavement there, or the one whose site it is.
    """
    for pavement in access.pavements_held_as(person, KEEPERS).filter(site=site)[:1]:
        return access.acting_organisation(person, pavement, "edit")
    is_own = access.own_sites(person).filter(pk=site.pk).exists()
    own = access.organisations_of(person).filter(pk=site.organisation_id or 0).first()
    if own is None or not is_own:
        raise PermissionDenied("Your seats do not allow you to change this site.")
    return own


def known_until_left(person: Person, pavement: Pavement, rows: QuerySet) -> QuerySet:
    """Return the entries that a person may know of: who left sees none that came in later."""
    return until(access.rights_at(person, pavement).last_end, rows)


def until(left_at: datetime | None, rows: QuerySet) -> QuerySet:
    """Return the entries that came in before an instant, or all where there is none."""
    return rows if left_at is None else rows.filter(entered_at__lt=left_at)


def page_of(parent: Parent, noun: Noun) -> str:
    """Return the address of the page that lists what belongs to a parent, `noun` among it."""
    return reverse(noun.page, args=[parent.pk])
