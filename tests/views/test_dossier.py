"""Who asked for and took which dossier is read by every party; its files by one side alone."""

import hashlib

import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.urls import reverse
from django.utils import timezone

from registry.access import visible_journal
from registry.gathering.dossier_files import dossier_name
from registry.models import JournalLine
from registry.models.choices import Role
from tests.claim_rows import notice, terms
from tests.factories import MembershipFactory, SeatFactory
from tests.placing_factories import DossierFactory

pytestmark = pytest.mark.django_db
PDF = b"%PDF-1.4 made up"
SHA256 = hashlib.sha256(PDF).hexdigest()


@pytest.fixture
def callback(db):
    return notice(terms(), panels=["C4"])


@pytest.fixture
def placer(callback):
    given = {"pavement": callback.pavement, "role": Role.CONTRACTOR}
    seat = SeatFactory(**given, organisation=callback.contractor)
    return MembershipFactory(organisation=seat.organisation)


@pytest.fixture
def owner(callback):
    seat = SeatFactory(pavement=callback.pavement, role=Role.OWNER)
    return MembershipFactory(organisation=seat.organisation)


@pytest.fixture
def dossier(callback, placer):
    default_storage.save(dossier_name(SHA256, "pdf"), ContentFile(PDF))
    return DossierFactory(
        callback=callback,
        for_organisation=placer.organisation,
        state="made",
        made_at=timezone.now(),
        pdf_sha256=SHA256,
        pdf_bytes=len(PDF),
        archive_sha256="b" * 64,
        archive_bytes=1,
    )


def take(client, member, dossier, method="get"):
    """Status and bytes of the file as it is handed out."""
    client.force_login(member.person)
    answer = getattr(client, method)(reverse("dossier_file", args=[dossier.pk, "pdf"]))
    data = b"".join(answer) if answer.streaming else answer.content
    answer.close()
    return answer.status_code, data


def listed(client, member, callback):
    client.force_login(member.person)
    return client.get(reverse("dossier_list", args=[callback.pk]))


def test_taking_a_file_is_a_line_with_its_fingerprint_that_the_other_side_reads(
    client, callback, dossier, placer, owner
):
    assert take(client, placer, dossier) == (200, PDF)
    line = JournalLine.objects.get(verb="taken away")
    assert (line.by, line.by_organisation) == (placer.person, placer.organisation)
    assert line.why == f"PDF, SHA-256 {SHA256}"
    page = listed(client, owner, callback)
    assert list(page.context["rows"]) == []
    said = page.content.decode()
    assert dossier.number in said and SHA256 in said and str(placer.organisation) in said
    assert reverse("dossier_page", args=[dossier.pk]) not in said


def test_looking_whether_a_file_is_there_takes_nothing(client, dossier, placer, owner):
    assert take(client, placer, dossier, "head")[0] == 200
    assert take(client, owner, dossier)[0] == 404
    assert not JournalLine.objects.filter(verb="taken away").exists()


def test_the_contractor_reads_that_the_owner_asked_in_list_and_journal(
    client, callback, placer, owner
):
    client.force_login(owner.person)
    fields = {"system": "si", "paper": "a4", "prepared_by": "somebody"}
    client.post(reverse("dossier_list", args=[callback.pk]), fields)
    line = JournalLine.objects.get(verb="asked for")
    assert line in visible_journal(placer.person, callback.pavement)
    said = listed(client, placer, callback).content.decode()
    assert "asked for" in said and str(owner.organisation) in said


def test_a_contractor_of_another_callback_reads_nothing_of_it(client, callback, dossier, placer):
    take(client, placer, dossier)
    other = SeatFactory(pavement=callback.pavement, role=Role.CONTRACTOR)
    member = MembershipFactory(organisation=other.organisation)
    assert listed(client, member, callback).status_code == 404
    assert not visible_journal(member.person, callback.pavement).exists()
