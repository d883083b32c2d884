"""States of the placing day and of the repair that follows, and what may come next.

load        ordered -> arrived -> accepted -> placed; arrived -> sent back; accepted -> wasted in
            part
cover       bare -> covered -> broken -> covered again, as often as it is; covered -> uncovered;
            uncovered before time -> covered again, or short
acceptance  waiting for tests -> accepted, accepted with list -> list done -> accepted, or not
            accepted -> repaired -> waiting for tests, or removed
repair      ordered -> waiting for season -> under way -> done -> curing -> accepted;
            done -> not accepted -> ordered

Every move is dated and signed by the caller; the way back is a new line with a reason. (House
rule, no source.) Where that rule leaves an end open: a load of which a part is wasted is placed
with the rest; a repair that needs no season begins at once.
"""

from registry.moves import MoveRules
from registry.placing.faults import CannotMovePlacing

LOAD = MoveRules(
    "load",
    {
        "ordered": "ordered",
        "arrived": "arrived",
        "accepted": "accepted",
        "placed": "placed",
        "sent_back": "sent back",
        "wasted_in_part": "wasted in part",
    },
    {
        "ordered": ("arrived",),
        "arrived": ("accepted", "sent_back"),
        "accepted": ("placed", "wasted_in_part"),
        "wasted_in_part": ("placed",),
    },
    CannotMovePlacing,
)

COVER = MoveRules(
    "strip",
    {
        "bare": "bare",
        "covered": "covered",
        "broken": "broken",
        "covered_again": "covered again",
        "uncovered": "uncovered",
        "uncovered_early": "uncovered before time",
        "short": "short",
    },
    {
        "bare": ("covered",),
        "covered": ("broken", "uncovered", "uncovered_early"),
        "broken": ("covered_again", "uncovered_early"),
        "covered_again": ("broken", "uncovered", "uncovered_early"),
        "uncovered_early": ("covered_again", "short"),
    },
    CannotMovePlacing,
)

LOT_ACCEPTANCE = MoveRules(
    "lot",
    {
        "waiting": "waiting for tests",
        "accepted": "accepted",
        "with_list": "accepted with list",
        "list_done": "list done",
        "not_accepted": "not accepted",
        "repaired": "repaired",
        "removed": "removed",
    },
    {
        "waiting": ("accepted", "with_list", "not_accepted", "removed"),
        "with_list": ("list_done",),
        "list_done": ("accepted",),
        "not_accepted": ("repaired", "removed"),
        "repaired": ("waiting",),
    },
    CannotMovePlacing,
)

REPAIR = MoveRules(
    "repair",
    {
        "ordered": "ordered",
        "waiting": "waiting for season",
        "under_way": "under way",
        "done": "done",
        "curing": "curing",
        "accepted": "accepted",
        "not_accepted": "not accepted",
    },
    {
        "ordered": ("waiting", "under_way"),
        "waiting": ("under_way",),
        "under_way": ("done",),
        "done": ("curing", "not_accepted"),
        "curing": ("accepted", "not_accepted"),
        "not_accepted": ("ordered",),
    },
    CannotMovePlacing,
)
