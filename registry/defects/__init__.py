"""Defects: their kinds, how bad they are, how they grow, and what may follow.

Pure: measures, places and dates in, frozen results out. No clock, no settings, no database. SI
inside; kinds, states and severities are short codes. Where no number or word may be given, the
result says why in its place.
"""

from registry.defects.faults import CannotCompare, CannotMove, MeasureError, UnknownKind
from registry.defects.grading import Grade, compare, grade
from registry.defects.kinds import KINDS, SEVERITIES, Kind, kind_of
from registry.defects.limits import LIMITS, Limit, Source
from registry.defects.measured import POURS, WORDS, Measured
from registry.defects.moves import (
    ANSWERS,
    OPEN,
    STATES,
    Answered,
    after_answer,
    next_states,
    refuse_move,
)

__all__ = [
    "ANSWERS",
    "KINDS",
    "LIMITS",
    "OPEN",
    "POURS",
    "SEVERITIES",
    "STATES",
    "WORDS",
    "Answered",
    "CannotCompare",
    "CannotMove",
    "Grade",
    "Kind",
    "Limit",
    "MeasureError",
    "Measured",
    "Source",
    "UnknownKind",
    "after_answer",
    "compare",
    "grade",
    "kind_of",
    "next_states",
    "refuse_move",
]
