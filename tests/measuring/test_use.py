"""What a run may be used for, from its result and the doubts about it."""

import pytest

from registry.measuring.doubts import Doubt
from registry.measuring.reading import Ended, Method, NoRate, Rate, RingReading
from registry.measuring.use import UseKind, decide_use, may_accept
from registry.units import System

READING = RingReading(System.SI, Method.C1701, Ended.DRAINED, 300.0, 18.0, 60.0)
PLAIN = Rate(500.0, "", System.SI, 1.0)
BOUND = Rate(500.0, "<", System.SI, 1.0)
WET = Doubt("wet", "It rained.", "Wait a day.", True, True)
NEAR = Doubt("near", "A spot is near.", "Move.", True, False)
EARLY = Doubt("early", "The concrete is young.", "Wait.", False, True)


@pytest.mark.parametrize(
    ("result", "doubts", "kind", "code"),
    [
        (PLAIN, (), UseKind.TREND, ""),
        (BOUND, (), UseKind.BOUND, ""),
        (PLAIN, (EARLY,), UseKind.TREND, ""),
        (BOUND, (EARLY, WET), UseKind.LOOKED_AT, "wet"),
        (NoRate("not_to_standard", "A quick pour."), (), UseKind.LOOKED_AT, "not_to_standard"),
        (NoRate("spoiled", "The ring leaked."), (WET,), UseKind.VOID, "spoiled"),
        (NoRate("no_ring", "No ring."), (), UseKind.NOT_COMPUTED, "no_ring"),
    ],
)
def test_use_of_a_run(result, doubts, kind, code):
    use = decide_use(READING, result, doubts)
    assert (use.kind, use.code) == (kind, code)


def test_every_reason_that_keeps_a_run_out_is_told():
    use = decide_use(READING, PLAIN, (WET, NEAR))
    assert (use.code, use.reason) == ("wet", "It rained. A spot is near.")


def test_acceptance_is_barred_by_its_own_doubts_and_by_a_missing_rate():
    assert may_accept(PLAIN, (NEAR,)) == (True, "")
    assert may_accept(PLAIN, (NEAR, EARLY, WET)) == (False, "The concrete is young. It rained.")
    assert may_accept(NoRate("no_ring", "No ring."), ()) == (False, "No ring.")
