"""A dossier that is made has its files, and one that is not says why."""

import pytest

from registry.models import Dossier
from tests.models.refusals import AT, refused
from tests.placing_factories import DossierFactory

pytestmark = pytest.mark.django_db
FILES = {"pdf_sha256": "a" * 64, "archive_sha256": "b" * 64}


@pytest.mark.parametrize(
    ("rule", "fields"),
    [
        ("dossier_made_has_its_files", {"state": "made"}),
        ("dossier_made_has_its_files", {"state": "made", "made_at": AT, "pdf_sha256": "a" * 64}),
        ("dossier_made_has_its_files", {"state": "made", **FILES}),
        ("dossier_refused_says_why", {"state": "refused"}),
    ],
)
def test_what_cannot_be_is_refused(rule, fields):
    refused(rule, DossierFactory, **fields)


def test_those_under_way_wait_or_are_put_together():
    waiting, working = DossierFactory(), DossierFactory(state="working")
    DossierFactory(state="made", made_at=AT, **FILES)
    DossierFactory(state="refused", why="The callback was void.")
    assert set(Dossier.objects.under_way()) == {waiting, working}
