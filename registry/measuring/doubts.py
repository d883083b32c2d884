"""Doubts about a ring test. They ask; they never change a number.

Each rule names its source in its mend or here: the two pours and the 30 s rule, 24 h, 1 m (3 ft),
two runs a day and 5 min between them are ASTM C1701/C1701M and C1781/C1781M, from memory of the
standard. The rest is common practice, no source; its limits stand as named constants.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from registry.measuring.reading import (
    PREWET_LIMIT_S,
    Ended,
    Rate,
    RingReading,
    compute_rate,
    required_water,
)
from registry.measuring.repeatability import LIMIT, agree, difference_of_runs
from registry.measuring.surroundings import Surroundings
from registry.measuring.unit_slips import find_unit_slips, is_close
from registry.units import Kind, System, show, unit_sign

WATER_TOLERANCE = 0.05  # share of the nominal pour
SHORTEST_S = 5.0  # a ring does not drain faster with a head held on it
STOPPED_AT_S = 1800.0  # a run that still stands after 30 min is stopped
AS_BUILT_LIMIT = 1.25
RISE_LIMIT = 3.0
COLD_C = (40 - 32) / 1.8
WASH_H = 48.0
CURE_DAYS = 7
WAIT_S = 120.0
SECOND_RUN_S = 300.0
NEAREST_M = {System.INCH_POUND: 3 * 0.3048, System.SI: 1.0}


@dataclass(frozen=True)
class Doubt:
    """One question about one test.

    code     short word for stores and sheets
    message  what is odd, one sentence
    mend     what to do or whom to ask
    blocks_trend, blocks_acceptance  what the test may not be used for while it stands
    """

    code: str
    message: str
    mend: str
    blocks_trend: bool
    blocks_acceptance: bool


Doubts = Iterator[Doubt]
Rule = Callable[[RingReading, Surroundings], Doubts]


def find_doubts(reading: RingReading, surroundings: Surroundings) -> tuple[Doubt, ...]:
    """Every doubt about one run, those that keep it out of the trend first."""
    found = [doubt for rule in RULES for doubt in rule(reading, surroundings)]
    return tuple(sorted(found, key=lambda d: (not d.blocks_trend, not d.blocks_acceptance)))


def _keeps_out(code: str, message: str, mend: str) -> Doubt:
    return Doubt(code, message, mend, blocks_trend=True, blocks_acceptance=True)


def _not_to_standard(code: str, message: str, mend: str) -> Doubt:
    return Doubt(code, message, mend, blocks_trend=False, blocks_acceptance=True)


def _asks(code: str, message: str, mend: str) -> Doubt:
    return Doubt(code, message, mend, blocks_trend=False, blocks_acceptance=False)


def _prewet(reading: RingReading, around: Surroundings) -> Doubts:
    if around.run == 2 and not around.prewet_again:
        yield from _second_run(around)
        return
    if reading.prewet_seconds is None:
        yield _not_to_standard(
            "prewet_time_missing",
            "The prewet time is not written down, so the right amount of water is not known.",
            "Ask the tester for the prewet time.",
        )
    elif reading.water is not None:
        yield from _test_water(reading, reading.prewet_seconds, reading.water)
    if reading.prewet_water is None:
        yield _asks(
            "prewet_water_missing",
            "The prewet water is not written down.",
            "Ask the tester how much was poured.",
        )
    else:
        wanted = required_water(PREWET_LIMIT_S, reading.system)
        if not is_close(reading.prewet_water, wanted, WATER_TOLERANCE):
            yield _not_to_standard(
                "wrong_prewet_water",
                f"The prewet took {_water(reading.prewet_water, reading)}; "
                f"the standard takes {_water(wanted, reading)}.",
                "Repeat the test with the right prewet.",
            )


def _test_water(reading: RingReading, prewet_s: float, water: float) -> Doubts:
    wanted = required_water(prewet_s, reading.system)
    if not is_close(water, wanted, WATER_TOLERANCE):
        yield _not_to_standard(
            "wrong_water",
            f"After a prewet of {prewet_s:g} s the test takes {_water(wanted, reading)}; "
            f"{_water(water, reading)} was poured.",
            "Not to the standard: repeat it for acceptance.",
        )


def _second_run(around: Surroundings) -> Doubts:
    after = around.seconds_after_last_run
    if after is None:
        yield _asks(
            "second_run_time_unknown",
            "How soon the second run followed the first is not known, and it had no prewet.",
            "Ask for the clock times of both runs.",
        )
    elif after > SECOND_RUN_S:
        yield _asks(
            "second_run_late",
            f"The second run began {after / 60:.0f} min after the first, without a prewet.",
            "Later than 5 min a second run wants its own prewet.",
        )


def _wetness(reading: RingReading, around: Surroundings) -> Doubts:
    if around.rain_within_24h:
        yield _keeps_out(
            "wet_day", "Rain ended less than 24 h before the test.", "Test again when dry."
        )
    elif around.rain_within_24h is None:
        yield _not_to_standard(
            "rain_unknown",
            "Dry is not shown: nobody wrote when the last rain ended.",
            "Ask the tester or a rain gauge nearby.",
        )
    if around.standing_water:
        yield _keeps_out("standing_water", "Water stood on the surface.", "Test again when dry.")


def _surface(reading: RingReading, around: Surroundings) -> Doubts:
    if around.frost:
        yield _keeps_out("frost", "There was frost in the pores.", "Test again after the thaw.")
    if around.leaves_on:
        yield _keeps_out("leaves_on", "Leaves lay on the spot.", "Clear the spot and test again.")
    temperature = around.water_temperature_c
    if temperature is not None and temperature < COLD_C:
        shown = show(temperature, Kind.TEMPERATURE, reading.system)
        yield _keeps_out(
            "cold_water",
            f"The water was at {shown}, below {show(COLD_C, Kind.TEMPERATURE, reading.system)}.",
            "Test again with warmer water.",
        )
    if around.hours_since_wash is not None and around.hours_since_wash < WASH_H:
        yield _keeps_out(
            "washed_within_48h",
            f"The surface was washed {around.hours_since_wash:.0f} h before.",
            "If it is the test after that cleaning, give that as its reason; else test again when "
            "it has dried for 48 h. The outlook takes it in either way.",
        )
    age = around.pavement_age_days
    if age is not None and age < CURE_DAYS:
        old = f"The concrete was {age:.0f} days old."
        if age < 0:
            old = f"The concrete was placed {-age:.0f} days after this test."
        yield _not_to_standard("under_7_days", old, "Acceptance waits for 7 days.")


def _ring_and_water(reading: RingReading, around: Surroundings) -> Doubts:
    if around.crack_in_ring:
        yield _keeps_out(
            "crack_in_ring",
            "A crack, open joint or core hole lay inside the ring.",
            "Void the test if water went down it; test beside it.",
        )
    if around.seal_leaking:
        yield _keeps_out("seal_leaking", "Water leaked under the ring.", "Seal and test again.")
    if reading.ring_assumed:
        yield _not_to_standard(
            "ring_assumed",
            "The ring's diameter is assumed, not measured.",
            "Measure the ring and write it in the list of rings.",
        )
    if around.marked_bucket:
        yield _asks(
            "marked_bucket",
            "The water was measured by marks on a bucket.",
            "Weigh it next time.",
        )
    if around.wait_seconds is not None and around.wait_seconds > WAIT_S:
        yield _not_to_standard(
            "wait_too_long",
            f"The test began {around.wait_seconds:.0f} s after the prewet; the standard has 120 s.",
            "Prewet again and repeat.",
        )


def _ending(reading: RingReading, around: Surroundings) -> Doubts:
    seconds = reading.seconds
    if reading.ended is Ended.TOO_FAST:
        yield _asks(
            "too_fast",
            "The water ran away before a head could be held.",
            "Look for a core hole, crack or open joint in the ring; void the test if there is one.",
        )
    elif reading.ended is Ended.DRAINED and seconds is not None and seconds < SHORTEST_S:
        yield _keeps_out(
            "too_short",
            f"{seconds:g} s is too short for a ring with a head on it.",
            f"Ask whether minutes and seconds were meant ({_as_minutes(seconds)}).",
        )
    for code, what, took in (
        ("too_long", "The run", seconds),
        ("prewet_too_long", "The prewet", reading.prewet_seconds),
    ):
        if took is not None and took > STOPPED_AT_S:
            yield _asks(
                code,
                f"{what} took {took / 60:.4g} min; a run is stopped at {STOPPED_AT_S / 60:.0f} min "
                "with the water that still stands.",
                "Look at the clock time and the decimal point again. Ask whether minutes and "
                f"seconds were meant ({_less_by_sixty(took)}), and whether water still stood.",
            )


def _same_spot(reading: RingReading, around: Surroundings) -> Doubts:
    within = around.within_24h()
    if within:
        yield _keeps_out(
            "under_24_h", "This spot was tested less than 24 h before.", "Test again later."
        )
    elif within is None:
        yield _not_to_standard(
            "24_h_not_shown",
            "This spot was tested the day before, and a clock time is missing.",
            "Ask for the clock times of both tests.",
        )
    limit = NEAREST_M[reading.system]
    if around.nearest_spot_m is not None and around.nearest_spot_m < limit:
        yield _keeps_out(
            "too_near",
            f"Another spot {show(around.nearest_spot_m, Kind.LENGTH, reading.system)} away was "
            f"tested within 24 h; the least is {show(limit, Kind.LENGTH, reading.system)}.",
            "Test again after 24 h or farther off.",
        )
    if around.run > 2:
        yield _keeps_out(
            "third_run",
            f"This is run {around.run} at this spot on one day; the standard allows two.",
            "Kept to be looked at.",
        )


def _repeated(reading: RingReading, around: Surroundings) -> Doubts:
    rate, first = compute_rate(reading), around.first_run_mm_h
    if around.run != 2 or first is None or not isinstance(rate, Rate) or rate.is_bound:
        return
    if not agree(rate.mm_h, first):
        yield _asks(
            "runs_differ",
            f"The two runs differ by {100 * difference_of_runs(rate.mm_h, first):.1f} % of their "
            f"mean; one tester's runs differ by at most {100 * LIMIT:.1f} %, 19 times in 20.",
            "Look at the time and the water of both. Both are kept and averaged.",
        )


def _cleanings(reading: RingReading, around: Surroundings) -> Doubts:
    if around.same_day_cleaning == "order unknown":
        yield _keeps_out(
            "cleaning_order_unknown",
            "The surface was cleaned the same day and nobody wrote which came first.",
            "Ask for the clock times; until then it is neither before nor after.",
        )


def _history(reading: RingReading, around: Surroundings) -> Doubts:
    rate = compute_rate(reading)
    if not isinstance(rate, Rate) or rate.sign == "<":
        return
    built = around.as_built_mm_h
    if built is not None and rate.mm_h > AS_BUILT_LIMIT * built:
        yield _asks(
            "above_as_built",
            f"The rate is {100 * rate.mm_h / built:.0f} % of as-built.",
            "Check the seal, cracks inside the ring and core holes.",
        )
    last = around.last_number(reading.method)
    if last is None or last.mm_h is None or around.cleaning_since_last:
        return
    if rate.mm_h >= RISE_LIMIT * last.mm_h:
        yield _asks(
            "rise_without_cleaning",
            f"The rate rose {rate.mm_h / last.mm_h:.1f} times and no cleaning is logged between.",
            "Ask whether it was cleaned; no slope is drawn across it.",
        )


def _slips(reading: RingReading, around: Surroundings) -> Doubts:
    for slip in find_unit_slips(reading, around):
        yield Doubt(slip.code, slip.message, slip.mend, slip.keeps_out, slip.keeps_out)


RULES: tuple[Rule, ...] = (
    _slips,
    _ending,
    _wetness,
    _same_spot,
    _repeated,
    _cleanings,
    _surface,
    _ring_and_water,
    _prewet,
    _history,
)


def _water(value: float, reading: RingReading) -> str:
    return f"{value:g} {unit_sign(Kind.MASS, reading.system)}"


def _as_minutes(seconds: float) -> str:
    whole, part = divmod(round(seconds * 100), 100)
    return f"{whole}:{part:02d}"


def _less_by_sixty(seconds: float) -> str:
    """Hours and minutes as the minutes and seconds that may have been meant."""
    return "{}:{:02d}".format(*divmod(round(seconds / 60), 60))
