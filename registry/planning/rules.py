"""The rules that a stop on a crew-day must keep, each with its words, and what broke one.

Source: the constraints of fitting work into crew-days and N22 of the number sheet (window, cars
out, surface and rain gap, temperature, truck, hose, water and its permit, dump hours, decant place,
hopper, licence and hours with breaks, two people, after-test), with shift, days and pins beside.
"""

from dataclasses import dataclass
from enum import Enum


class Rule(Enum):
    """A rule and what it asks, as it is said to people."""

    METHOD = "the machine can do the method"
    AXLE = "the axle load is within the limit of slab and way in"
    HEIGHT = "the machine is low enough for the way in"
    WIDTH = "the machine is narrow enough for the way in"
    TURNING = "the machine can turn"
    HOSE = "the hose reaches"
    LICENCE = "the operator holds the licence"
    PEOPLE = "there are enough people"
    HOPPER = "the hopper holds the debris"
    WATER = "the tank holds the water"
    WATER_PERMIT = "the water point is used within its permit"
    WATER_HOURS = "the water point is open"
    DUMP_HOURS = "the dump place is open"
    DECANT = "wash water goes to a place that takes it"
    HOLIDAY = "no work on a holiday"
    WORKING_DAY = "work on working days of the crew"
    PAST = "nothing is planned for an hour that is past"
    CALLED_OFF = "no work on a day that is called off"
    DAYS = "from the earliest to the latest day"
    SEASON = "in the season of the method"
    DRY_SURFACE = "the surface is dry"
    TEMPERATURE = "warm enough"
    AFTER_TEST = "a dry day for the after-test follows in time"
    WINDOW = "inside the hours of the site"
    NOISE = "inside the hours in which noise is allowed"
    NOTICE = "the notice is given in time"
    SERVICE = "the whole time on site is kept"
    TRAVEL = "there is time to drive"
    SHIFT = "inside the shift"
    BREAK = "the breaks are kept"
    WORK_HOURS = "no more hours of work than allowed"
    DOUBLE_VISIT = "each order is done once"
    PINNED = "on the day and by the crew it is pinned to"
    LOCKED = "locked days stay as they are"
    UNKNOWN = "crews, orders and places are known"
    ACCOUNTED_FOR = "each order is placed or listed as left out"
    NO_ROOM = "what carries more risk goes first"


@dataclass(frozen=True)
class Breach:
    """A broken rule and, in words, what broke it."""

    rule: Rule
    words: str

    def __str__(self) -> str:
        return self.words
