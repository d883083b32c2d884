"""What was given up of a photo can be asked for once more by a person, and only then."""

import pytest
from django.core.files.storage import default_storage
from django_tasks import TaskResultStatus
from django_tasks_db.models import DBTaskResult

from registry.actions.add_photo import add_photo
from registry.actions.make_photo_sizes import give_up_sizes, make_photo_copy, make_photo_sizes
from registry.actions.try_photo_again import NothingToTry, try_photo_again
from registry.gathering.photo_files import copy_name, original_name
from registry.gathering.photo_jobs import copy_broke_off, sizes_broke_off
from registry.models import JournalLine, Photo
from tests import factories
from tests.imaging import photos

pytestmark = pytest.mark.django_db


@pytest.fixture
def photo(request):
    """Sent, its two jobs waiting for a worker."""
    row = Photo(pavement=factories.PavementFactory())
    data = photos.jpeg(comment=request.node.name.encode())  # a file of its own for each test
    return add_photo(row, data, name="a.jpg", by=None, organisation=None).photo


def fail(task):
    jobs = DBTaskResult.objects.filter(task_path=f"registry.tasks.{task}")
    jobs.update(status=TaskResultStatus.FAILED)


def again(photo):
    photo.refresh_from_db()
    return try_photo_again(photo, by=None, organisation=None)


def queued():
    names = DBTaskResult.objects.filter(status=TaskResultStatus.READY)
    return sorted(path.rsplit(".", 1)[1] for path in names.values_list("task_path", flat=True))


def test_a_photo_in_the_making_is_not_asked_for_twice(photo):
    assert not sizes_broke_off(photo.file)
    assert not copy_broke_off(photo)
    with pytest.raises(NothingToTry, match="being made ready at this moment"):
        again(photo)
    assert queued() == ["make_copy_of_photo", "make_sizes_of_photo"]


def test_a_photo_given_up_is_made_when_asked_for_again(photo):
    DBTaskResult.objects.update(status=TaskResultStatus.FAILED)
    give_up_sizes(photo.file_id, begun=3)
    again(photo)
    photo.file.refresh_from_db()
    assert (photo.file.sizes_state, photo.file.sizes_why) == ("waiting", "")
    assert queued() == ["make_copy_of_photo", "make_sizes_of_photo"]
    assert make_photo_sizes(photo.file_id) == "made"
    assert make_photo_copy(photo.pk)
    assert JournalLine.objects.about(photo).filter(verb="tried again").count() == 1
    with pytest.raises(NothingToTry):
        again(photo)


def test_a_job_that_failed_without_a_word_leaves_the_photo_to_be_tried_again(photo):
    default_storage.delete(original_name(photo.file.sha256, "jpeg"))
    with pytest.raises(FileNotFoundError):
        make_photo_sizes(photo.file_id)
    fail("make_sizes_of_photo")
    assert sizes_broke_off(photo.file)
    assert not copy_broke_off(photo)
    again(photo)
    assert not sizes_broke_off(photo.file)
    assert queued() == ["make_copy_of_photo", "make_sizes_of_photo"]


def test_a_copy_alone_that_broke_off_is_tried_alone(photo):
    make_photo_sizes(photo.file_id)
    DBTaskResult.objects.update(status=TaskResultStatus.FAILED)
    assert copy_broke_off(photo)
    again(photo)
    assert queued() == ["make_copy_of_photo"]
    make_photo_copy(photo.pk)
    assert default_storage.exists(copy_name(photo))
    assert not copy_broke_off(photo)
