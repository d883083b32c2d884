"""A cause is found once a panel, and a sign said once a side."""

import pytest

from tests.factories import OrganisationFactory
from tests.models.refusals import VOID, refused
from tests.placing_factories import PanelEvidenceFactory, PanelFindingFactory

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("rule", "make", "fields"),
    [
        ("panel_finding_void_has_reason", PanelFindingFactory, VOID),
        ("panel_evidence_void_has_reason", PanelEvidenceFactory, VOID),
    ],
)
def test_what_cannot_be_is_refused(rule, make, fields):
    refused(rule, make, **fields)


def test_cause_is_named_once_a_panel_by_one_person():
    old = PanelFindingFactory()
    refused("panel_finding_once_a_cause", PanelFindingFactory, callback=old.callback)
    PanelFindingFactory(callback=old.callback, cause="plow")


def test_sign_is_said_once_a_side():
    side = OrganisationFactory()
    old = PanelEvidenceFactory(entered_for=side)
    again = {"callback": old.callback, "entered_for": side}
    refused("panel_evidence_once_a_side", PanelEvidenceFactory, **again)
    PanelEvidenceFactory(callback=old.callback, entered_for=OrganisationFactory())
