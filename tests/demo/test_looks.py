"""What is read out of the observations of table 2F, and what is left to a person."""

from registry.demo.defects import KINDS, NEVER_LOOKS
from registry.demo.observations import read_looks
from registry.demo.tables import read_table


def test_no_digit_of_a_look_is_lost_but_in_remarks():
    """What no pattern takes is left in `rest`, so that it is read by a person."""
    left = {}
    for line in read_table("2F_defects"):
        kind = KINDS[line["kind"]]
        for look in read_looks(line["observations"], kind, never_looks=NEVER_LOOKS)[0]:
            if look.rest not in ("", "same", "none"):
                left[line["defect"], str(look.on)] = look.rest
    assert left == {
        ("D-113", "2023-05-18"): "(over 1/4 in on accessible route)",
        ("D-113", "2026-05-21"): "beside ramp",
        ("D-116", "2025-05-20"): '"small"',
        ("D-116", "2026-05-19"): "not found (three light poles)",
        ("D-117", "2026-06-28"): "(buyer's photo, no scale)",
    }
