"""The worker takes up what a killed one left, and ends when its queue is empty."""

from datetime import timedelta
from pathlib import Path

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.core.management import call_command, get_commands
from django.utils import timezone

from registry.actions.receive_spreadsheet import receive_spreadsheet
from registry.actions.take_up_lost_work import take_up_lost_work
from registry.models import ImportBatch
from tests.exchange.folders import folder, pavement
from tests.factories import MembershipFactory


def test_the_worker_of_the_project_stands_before_that_of_the_queue():
    assert get_commands()["db_worker"] == "registry"


@pytest.mark.django_db(transaction=True)
def test_a_batch_left_by_a_killed_worker_is_read_by_the_next(tmp_path: Path):
    member = MembershipFactory()
    path = folder(tmp_path, pavements=(pavement(),)) / "pavements.csv"
    batch = receive_spreadsheet(
        [SimpleUploadedFile(path.name, path.read_bytes())],
        organisation=member.organisation,
        by=member.person,
    )
    long_ago = timezone.now() - timedelta(minutes=5)
    ImportBatch.objects.filter(pk=batch.pk).update(state="reading", worked_at=long_ago)
    take_up_lost_work()
    call_command("db_worker", batch=True, interval=0, startup_delay=False, verbosity=0)
    batch.refresh_from_db()
    assert (batch.state, batch.counts["pavements"]) == ("checked", 1)
