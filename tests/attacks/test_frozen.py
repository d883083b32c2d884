"""What lies under a callback in dispute is changed by no way round the correction."""

import pytest
from django.apps import apps
from django.urls import reverse

from registry.actions.correct_entry import CannotBeCorrected, correct_entry
from registry.actions.take_back_import import CannotBeTakenBack, take_back_import
from registry.actions.void_entry import CannotBeVoided, void_entry
from registry.actions.write_journal import write_line
from registry.gathering.frozen import frozen_under
from registry.models import BatchState, Callback, ImportBatch
from registry.models.choices import Role
from registry.models.entry import Change, Entry
from registry.views.parents import NOUNS
from tests.claim_rows import NOBODY
from tests.factories import (
    CleaningFactory,
    InfiltrationTestFactory,
    MembershipFactory,
    PanelFactory,
    SeatFactory,
)
from tests.placing_factories import (
    CallbackAttachmentFactory,
    CallbackFactory,
    CoreFactory,
    LoadFactory,
    PlacingDayFactory,
    WarrantyFactory,
)
from tests.test_factories import FACTORIES

pytestmark = pytest.mark.django_db


@pytest.fixture
def dispute():
    return CallbackFactory(state="disputed")


@pytest.fixture
def batch(dispute):
    side = SeatFactory(pavement=dispute.pavement, role=Role.MANAGER).organisation
    stored = {"state": BatchState.STORED, "file_name": "old.csv", "digest": "0" * 64}
    row = ImportBatch.objects.create(organisation=side, **stored)
    write_line(row, "stored", pavement=dispute.pavement, **NOBODY)
    return row


def test_spreadsheet_with_an_attached_cleaning_is_not_taken_back(dispute, batch):
    swept = CleaningFactory(pavement=dispute.pavement, import_batch=batch)
    CallbackAttachmentFactory(callback=dispute, cleaning=swept, winter_entry=None)
    with pytest.raises(CannotBeTakenBack, match="frozen while"):
        take_back_import(batch, why="we would rather not", by=None)
    swept.refresh_from_db()
    assert not swept.is_void


@pytest.mark.parametrize("state", ["disputed", "closed"])
def test_spreadsheet_with_an_acceptance_test_is_not_taken_back(dispute, batch, state):
    there = {"pavement": dispute.pavement, "spot__pavement": dispute.pavement}
    run = InfiltrationTestFactory(**there, import_batch=batch, reason="acceptance")
    type(dispute).objects.update(state=state)
    if state == "closed":
        take_back_import(batch, why="wrong town", by=None)
    else:
        with pytest.raises(CannotBeTakenBack, match="frozen while"):
            take_back_import(batch, why="we would rather not", by=None)
    run.refresh_from_db()
    assert run.is_void is (state == "closed")


def test_core_of_a_callback_that_is_closed_is_frozen_by_another_in_dispute(dispute):
    closed = CallbackFactory(pavement=dispute.pavement, state="closed")
    with pytest.raises(CannotBeVoided, match="in dispute"):
        void_entry(CoreFactory(pavement=dispute.pavement, callback=closed), why="no", **NOBODY)


PARENTS = ("callback", "warranty", "placing_day", "load", "panel", "pavement")
FREE = {
    "SettlementLine": "ends the dispute; closed by the first signature",
}
"""Kinds that hang on what a dispute freezes and stay free, with the reason."""


def hangs_below(model):
    """Say whether a kind hangs on a callback, a warranty, a placing day or a load."""
    names = {field.name for field in model._meta.fields if field.is_relation}
    return bool(names & set(PARENTS[:4]))


KINDS = sorted(
    (one for one in apps.get_app_config("registry").get_models()
     if issubclass(one, Entry) and hangs_below(one)),
    key=lambda one: one.__name__,
)  # fmt: skip
"""Every kind of entry there is on such a thing, out of the tables themselves."""


def made_below(model, dispute):
    """Return a row of a kind that hangs on the dispute's own callback, terms, day or load."""
    factory = next(one for one in FACTORIES if one._meta.model is model)
    pavement = dispute.pavement
    above = {
        "callback": lambda: dispute,
        "warranty": lambda: dispute.warranty,
        "placing_day": lambda: PlacingDayFactory(pavement=pavement),
        "load": lambda: LoadFactory(placing_day__pavement=pavement),
        "panel": lambda: PanelFactory(pavement=pavement),
        "pavement": lambda: pavement,
    }
    names = {field.name: field for field in model._meta.fields if field.is_relation}
    needed = {
        name: make()
        for name, make in above.items()
        if name in names and not (names[name].null and name in ("panel", "load"))
    }
    return factory(**needed)


@pytest.mark.parametrize("model", KINDS, ids=lambda one: one.__name__)
def test_every_kind_below_a_dispute_refuses_correction_void_and_post(client, model):
    callback = CallbackFactory(state="disputed")
    callback.warranty = WarrantyFactory(pavement=callback.pavement, contractor=callback.contractor)
    callback.save(update_fields=["warranty"])
    row = callback if model is Callback else made_below(model, callback)
    if model.__name__ in FREE:
        assert frozen_under(row) is None
        return
    assert frozen_under(row) == callback
    with pytest.raises(CannotBeCorrected, match="in dispute"):
        correct_entry(row, changes={"note": Change("other", "other")}, why="misread", **NOBODY)
    with pytest.raises(CannotBeVoided, match="in dispute"):
        void_entry(row, why="misread", **NOBODY)
    _post(client, row, callback)
    before = row.note
    row.refresh_from_db()
    assert not row.is_void and row.note == before


def _post(client, row, callback):
    """Ask for its void by its own address, as either side that might have written it."""
    noun = next((n for n, kind in NOUNS.items() if kind.form._meta.model is type(row)), None)
    if noun is None:
        return
    parent = getattr(row, NOUNS[noun].form.parent_name)
    owner = SeatFactory(pavement=callback.pavement, role=Role.OWNER).organisation
    SeatFactory(pavement=callback.pavement, role=Role.CONTRACTOR, organisation=callback.contractor)
    answers = set()
    for side in (owner, callback.contractor):
        type(row).objects.filter(pk=row.pk).update(entered_for=side)
        client.force_login(MembershipFactory(organisation=side).person)
        answer = client.post(reverse("entry_void", args=[noun, parent.pk, row.pk]), {"why": "no"})
        answers.add(answer.status_code)
        assert answer.status_code in (200, 403, 404)
    assert 200 in answers  # one of them reached the action, which refused
