"""What is known of a site: its other names first, each thing not known by its kind of empty."""

from registry.gathering.site_facts import site_facts
from registry.models import Site
from registry.units import System


def facts_of(system=System.SI, **fields):
    return site_facts(Site(name="Mill Lane", **fields), system)


def test_other_names_come_first_with_who_uses_them():
    names = [{"name": "Lot 4", "used_by": "the town"}, {"name": "North lot"}, "Old mill"]
    first = facts_of(other_names=names)[0]
    assert first.text == "Lot 4 (used by the town); North lot; Old mill"


def test_no_other_names_says_whether_anybody_asked():
    assert facts_of()[0].empty == "not filled in yet"
    assert facts_of(empties={"other_names": "na"})[0].empty == "does not apply"


def test_measures_are_told_in_the_units_asked_for():
    told = {
        system: {fact.label: fact.text for fact in facts_of(system, clearance_m=3.048)}
        for system in System
    }
    label = Site._meta.get_field("clearance_m").verbose_name
    assert told[System.INCH_POUND][label].startswith("10")
    assert told[System.SI][label].startswith("3.04"), "a limit is never told as more than it is"
