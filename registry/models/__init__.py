"""Tables, constraints and querysets; one noun a file."""

from registry.models.agreed_date import AgreedDate
from registry.models.blemish import Blemish
from registry.models.calendar_feed import CalendarFeed
from registry.models.callback import Callback, CallbackMove
from registry.models.callback_answer import CallbackAnswer
from registry.models.callback_attachment import CallbackAttachment
from registry.models.callback_note import CallbackNote, NoteKind
from registry.models.cleaning import CLASS_OF, CleanedPanel, Cleaning, CleaningMethod, CleaningState
from registry.models.cover import Cover, CoverBreak, CoverWalk, EarlyLoad, Uncover
from registry.models.crew import Crew
from registry.models.crew_holiday import CrewHoliday
from registry.models.criteria import Criteria
from registry.models.defect import Defect, DefectLink, DefectMove
from registry.models.depot import Depot
from registry.models.dirt_source import DirtSource
from registry.models.dossier import Dossier, DossierState
from registry.models.drilled_core import Core
from registry.models.due import LATEST_BY, Due
from registry.models.dump_place import DumpPlace
from registry.models.extra_shift import ExtraShift
from registry.models.fit import Fit
from registry.models.hand_over import HandOver, HandOverMove
from registry.models.holiday_list import HolidayList
from registry.models.import_batch import BatchState, ImportBatch
from registry.models.infiltration_test import (
    Ended,
    InfiltrationTest,
    ReasonForTest,
    TestMethod,
    UseOfTest,
)
from registry.models.invitation import Invitation, digest_of
from registry.models.journal import JournalLine
from registry.models.load import Load, LoadMove, Spread
from registry.models.lot import Lot, LotMove
from registry.models.machine import Machine
from registry.models.number import PavementNumber
from registry.models.observation import Observation
from registry.models.organisation import Membership, Organisation
from registry.models.outlook import Outlook
from registry.models.panel import Edge, Joint, Panel
from registry.models.panel_finding import PanelEvidence, PanelFinding
from registry.models.parcel import Parcel
from registry.models.pavement import Pavement, PavementStanding, PavementState, Surface, Use
from registry.models.permit_minimum import PermitMinimum
from registry.models.person import Person
from registry.models.photo import Photo, PhotoExtent, PhotoFile, PhotoMarks
from registry.models.placing_day import PlacingDay
from registry.models.plan import Plan, PlanKind
from registry.models.pool import Pool, PoolPlace
from registry.models.pour_plan import DryingChoice, PourPlan
from registry.models.price import METHOD_CLASSES, Price
from registry.models.printed_sheet import LETTERS, PrintedSheet, SheetCounter, SheetKind
from registry.models.raveled_share import GradedBy, RaveledShare
from registry.models.repair import Repair, RepairMethod, RepairMove
from registry.models.ring import Ring
from registry.models.round import (
    HAVE_A_PLAN,
    Round,
    RoundCallOff,
    RoundLeftOut,
    RoundPin,
    RoundState,
)
from registry.models.round_day import RoundDay, RoundStop, StopKind
from registry.models.rule import RuleName, RuleSetting
from registry.models.run_on import RunOnArea
from registry.models.season import Season
from registry.models.season_day import SeasonDay
from registry.models.seat import Seat
from registry.models.section import Section
from registry.models.sent_form import SentForm
from registry.models.settlement_line import SettlementLine
from registry.models.sheet_copy import SheetCopy
from registry.models.site import Site
from registry.models.site_window import SiteWindow, WindowKind
from registry.models.spot import Spot, SpotDraw
from registry.models.stratum import Stratum
from registry.models.strike_off import StrikeOff
from registry.models.structure import Layer, ObservationWell, Structure
from registry.models.third_party import ThirdParty
from registry.models.travel_table import TravelTable
from registry.models.visit import DrainState, Visit, VisitState, WalkedPanel, WellReading
from registry.models.waiting_correction import WaitingCorrection
from registry.models.warranty import (
    AfterEvent,
    AnswerLimit,
    Step,
    Warranty,
    WarrantyCover,
    WarrantyMove,
    WarrantyPart,
)
from registry.models.water_point import WaterPoint
from registry.models.weather_reading import WeatherReading
from registry.models.winter_entry import Deicer, WinterEntry
from registry.models.work_order import OrderedPanel, WorkOrder
from registry.models.work_order_move import WorkOrderMove

__all__ = [
    "CLASS_OF",
    "HAVE_A_PLAN",
    "LATEST_BY",
    "LETTERS",
    "METHOD_CLASSES",
    "AfterEvent",
    "AgreedDate",
    "AnswerLimit",
    "BatchState",
    "Blemish",
    "CalendarFeed",
    "Callback",
    "CallbackAnswer",
    "CallbackAttachment",
    "CallbackMove",
    "CallbackNote",
    "CleanedPanel",
    "Cleaning",
    "CleaningMethod",
    "CleaningState",
    "Core",
    "Cover",
    "CoverBreak",
    "CoverWalk",
    "Crew",
    "CrewHoliday",
    "Criteria",
    "Defect",
    "DefectLink",
    "DefectMove",
    "Deicer",
    "Depot",
    "DirtSource",
    "Dossier",
    "DossierState",
    "DrainState",
    "DryingChoice",
    "Due",
    "DumpPlace",
    "EarlyLoad",
    "Edge",
    "Ended",
    "ExtraShift",
    "Fit",
    "GradedBy",
    "HandOver",
    "HandOverMove",
    "HolidayList",
    "ImportBatch",
    "InfiltrationTest",
    "Invitation",
    "Joint",
    "JournalLine",
    "Layer",
    "Load",
    "LoadMove",
    "Lot",
    "LotMove",
    "Machine",
    "Membership",
    "NoteKind",
    "Observation",
    "ObservationWell",
    "OrderedPanel",
    "Organisation",
    "Outlook",
    "Panel",
    "PanelEvidence",
    "PanelFinding",
    "Parcel",
    "Pavement",
    "PavementNumber",
    "PavementStanding",
    "PavementState",
    "PermitMinimum",
    "Person",
    "Photo",
    "PhotoExtent",
    "PhotoFile",
    "PhotoMarks",
    "PlacingDay",
    "Plan",
    "PlanKind",
    "Pool",
    "PoolPlace",
    "PourPlan",
    "Price",
    "PrintedSheet",
    "RaveledShare",
    "ReasonForTest",
    "Repair",
    "RepairMethod",
    "RepairMove",
    "Ring",
    "Round",
    "RoundCallOff",
    "RoundDay",
    "RoundLeftOut",
    "RoundPin",
    "RoundState",
    "RoundStop",
    "RuleName",
    "RuleSetting",
    "RunOnArea",
    "Season",
    "SeasonDay",
    "Seat",
    "Section",
    "SentForm",
    "SettlementLine",
    "SheetCopy",
    "SheetCounter",
    "SheetKind",
    "Site",
    "SiteWindow",
    "Spot",
    "SpotDraw",
    "Spread",
    "Step",
    "StopKind",
    "Stratum",
    "StrikeOff",
    "Structure",
    "Surface",
    "TestMethod",
    "ThirdParty",
    "TravelTable",
    "Uncover",
    "Use",
    "UseOfTest",
    "Visit",
    "VisitState",
    "WaitingCorrection",
    "WalkedPanel",
    "Warranty",
    "WarrantyCover",
    "WarrantyMove",
    "WarrantyPart",
    "WaterPoint",
    "WeatherReading",
    "WellReading",
    "WindowKind",
    "WinterEntry",
    "WorkOrder",
    "WorkOrderMove",
    "digest_of",
]
