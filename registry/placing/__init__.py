"""The placing day, the load in the panel, and the warranty that follows: numbers, dates, states.

Pure: readings, feet along lanes, instants and terms in, frozen results out. No clock, no settings,
no database; `today` and `seed` are arguments. Where a number or date may not be given, `NotGiven`
stands in its place with the reason. It lists evidence and computes; it never says who is liable.
"""

from registry.placing.claim_moves import CALLBACK, WARRANTY
from registry.placing.clocks import Clock, Counting, Due, Limit, Result, clock, due
from registry.placing.cores import DensityCheck, density_check, length_deviation_mm
from registry.placing.covered import (
    Break,
    Covered,
    age_h,
    days_without_a_walk,
    duration_words,
    hours_covered,
)
from registry.placing.dated_looks import Answer, Look
from registry.placing.day_patterns import DayLoad, follows_loads, sheet_gap, worst_late
from registry.placing.evaporation import (
    NO_BLEED,
    PLAIN,
    DryingLimit,
    DryingWeather,
    Evaporation,
    evaporation,
)
from registry.placing.evidence_from_record import (
    FROM_RECORD,
    Disagreement,
    FilledSign,
    PanelRecord,
    facts_with,
    fill_from_record,
)
from registry.placing.faults import CannotMovePlacing, ClaimError, NotGiven, PlacingError
from registry.placing.groups import Compared, Side, SideBySide, against_the_rest, over, side_by_side
from registry.placing.lags import Lags, LoadTimes, lags
from registry.placing.load_shares import (
    LoadShares,
    Piece,
    Spread,
    change_by_load,
    lay_over,
    raveled_by_load,
)
from registry.placing.moves import COVER, LOAD, LOT_ACCEPTANCE, REPAIR
from registry.placing.pattern import (
    AIR,
    DENSITY,
    EVAPORATION,
    FACTORS,
    LAG,
    WAIT,
    WATER,
    Factor,
    FactorLine,
    LoadRow,
    Pattern,
    Together,
    pattern,
)
from registry.placing.pour_plan import (
    ForecastHour,
    PlannedLoad,
    PourPlan,
    Strip,
    pour_plan,
    when_passes,
)
from registry.placing.repair_quantity import RepairQuantity, repair_quantity
from registry.placing.settlement import SettledLine, Settlement, SettlementLine, settle
from registry.placing.spacing import Placing
from registry.placing.transfer import Transfer, TransferRule, transfer
from registry.placing.warranty import (
    NoticeTime,
    Part,
    last_day,
    notice_time,
    part_of,
    remind_on,
    split_claim,
)
from registry.placing.water import LoadWater, WaterCement, water_cement, water_left
from registry.placing.winter import (
    WinterEntry,
    WinterLoad,
    bags_kg,
    days_to_first_deicer,
    winter_loads,
)
from registry.placing.working_days import (
    Counted,
    NoticeRule,
    WorkCalendar,
    counted_received,
    holiday_list,
)
from registry.placing.yield_check import YieldCheck, yield_check

__all__ = [
    "AIR",
    "CALLBACK",
    "COVER",
    "DENSITY",
    "EVAPORATION",
    "FACTORS",
    "FROM_RECORD",
    "LAG",
    "LOAD",
    "LOT_ACCEPTANCE",
    "NO_BLEED",
    "PLAIN",
    "REPAIR",
    "WAIT",
    "WARRANTY",
    "WATER",
    "Answer",
    "Break",
    "CannotMovePlacing",
    "ClaimError",
    "Clock",
    "Compared",
    "Counted",
    "Counting",
    "Covered",
    "DayLoad",
    "DensityCheck",
    "Disagreement",
    "DryingLimit",
    "DryingWeather",
    "Due",
    "Evaporation",
    "Factor",
    "FactorLine",
    "FilledSign",
    "ForecastHour",
    "Lags",
    "Limit",
    "LoadRow",
    "LoadShares",
    "LoadTimes",
    "LoadWater",
    "Look",
    "NotGiven",
    "NoticeRule",
    "NoticeTime",
    "PanelRecord",
    "Part",
    "Pattern",
    "Piece",
    "Placing",
    "PlacingError",
    "PlannedLoad",
    "PourPlan",
    "RepairQuantity",
    "Result",
    "SettledLine",
    "Settlement",
    "SettlementLine",
    "Side",
    "SideBySide",
    "Spread",
    "Strip",
    "Together",
    "Transfer",
    "TransferRule",
    "WaterCement",
    "WinterEntry",
    "WinterLoad",
    "WorkCalendar",
    "YieldCheck",
    "against_the_rest",
    "age_h",
    "bags_kg",
    "change_by_load",
    "clock",
    "counted_received",
    "days_to_first_deicer",
    "days_without_a_walk",
    "density_check",
    "due",
    "duration_words",
    "evaporation",
    "facts_with",
    "fill_from_record",
    "follows_loads",
    "holiday_list",
    "hours_covered",
    "lags",
    "last_day",
    "lay_over",
    "length_deviation_mm",
    "notice_time",
    "over",
    "part_of",
    "pattern",
    "pour_plan",
    "raveled_by_load",
    "remind_on",
    "repair_quantity",
    "settle",
    "sheet_gap",
    "side_by_side",
    "split_claim",
    "transfer",
    "water_cement",
    "water_left",
    "when_passes",
    "winter_loads",
    "worst_late",
    "yield_check",
]
