"""Defects: their kinds, how bad they are, how they grow, and what may follow.

Pure: measures, places and dates in, frozen results out. No clock, no settings, no database. SI
inside; kinds, states and severities are short codes. Where no number or word may be given, the
result says why in its place.
"""

from registry.defects.counted import Counted, Extended, count_once
from registry.defects.evidence import CAUSES, RAVELING_SIGNS, Evidence, evidence_for
from registry.defects.faults import CannotCompare, CannotMove, MeasureError, UnknownKind
from registry.defects.grading import Grade, compare, grade
from registry.defects.growth import NORTH, SOUTH, Growth, Sized, Winter, growth
from registry.defects.kinds import KINDS, SEVERITIES, Kind, kind_of
from registry.defects.limits import LIMITS, Limit, Source
from registry.defects.measured import DIRECTIONS, POURS, WORDS, Measured
from registry.defects.moves import (
    ANSWERS,
    OPEN,
    STATES,
    Answered,
    after_answer,
    next_states,
    refuse_move,
)
from registry.defects.same import Offer, Sighted, offers
from registry.defects.urgency import CrackFacts, Urgency, crack_advice, crack_reasons, urgent

__all__ = [
    "ANSWERS",
    "CAUSES",
    "DIRECTIONS",
    "KINDS",
    "LIMITS",
    "NORTH",
    "OPEN",
    "POURS",
    "RAVELING_SIGNS",
    "SEVERITIES",
    "SOUTH",
    "STATES",
    "WORDS",
    "Answered",
    "CannotCompare",
    "CannotMove",
    "Counted",
    "CrackFacts",
    "Evidence",
    "Extended",
    "Grade",
    "Growth",
    "Kind",
    "Limit",
    "MeasureError",
    "Measured",
    "Offer",
    "Sighted",
    "Sized",
    "Source",
    "UnknownKind",
    "Urgency",
    "Winter",
    "after_answer",
    "compare",
    "count_once",
    "crack_advice",
    "crack_reasons",
    "evidence_for",
    "grade",
    "growth",
    "kind_of",
    "next_states",
    "offers",
    "refuse_move",
    "urgent",
]
