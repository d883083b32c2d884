"""Bytes before rows, whole or not at all; jobs that commit with what they are about."""

from pathlib import Path

import pytest
from django.conf import settings
from django.core.files.storage import default_storage
from django.db import transaction
from django_tasks_db.models import DBTaskResult

from registry.actions.add_photo import CannotAddPhoto, add_photo
from registry.actions.keep_photo_file import keep_photo_file
from registry.actions.make_photo_sizes import make_photo_copy, make_photo_sizes
from registry.gathering.photo_files import original_name, read_original, size_name
from registry.imaging import PhotoRefused, accept
from registry.models import JournalLine, Photo, PhotoFile
from tests import factories
from tests.imaging import photos

pytestmark = pytest.mark.django_db


def added(pavement, data, **fields):
    organisation = fields.pop("organisation", None)
    row = Photo(pavement=pavement, **fields)
    return add_photo(row, data, name="a.jpg", by=None, organisation=organisation)


@pytest.fixture
def pavement():
    return factories.PavementFactory()


def unlike(shade):
    return photos.jpeg(photos.Image.new("RGB", (80, 60), (shade * 20, 10, 200 - shade * 20)))


def jobs():
    return sorted(
        path.rsplit(".", 1)[1] for path in DBTaskResult.objects.values_list("task_path", flat=True)
    )


def leftovers():
    return list(Path(settings.MEDIA_ROOT).rglob("*.part"))


def test_a_photo_is_kept_with_its_line_and_its_jobs(pavement):
    data = unlike(1)
    photo = added(pavement, data).photo
    assert read_original(photo.file) == data
    assert photo.site == pavement.site
    assert JournalLine.objects.about(photo).get().pavement == pavement
    assert jobs() == ["make_copy_of_photo", "make_sizes_of_photo"]
    assert photo.file.sizes_state == "waiting"


def test_what_is_rolled_back_leaves_a_whole_file_and_no_row_and_no_job(pavement):
    data = unlike(2)
    with pytest.raises(RuntimeError), transaction.atomic():
        added(pavement, data)
        raise RuntimeError("the machine stops")
    assert not Photo.objects.exists()
    assert not PhotoFile.objects.exists()
    assert jobs() == []
    facts = accept(data)
    with default_storage.open(original_name(facts.sha256, facts.kind)) as stored:
        assert stored.read() == data
    photo = added(pavement, data).photo
    assert read_original(photo.file) == data


def test_a_disk_that_is_full_leaves_neither_row_nor_half_a_file(pavement, monkeypatch):
    data = unlike(3)

    def full(_handle):
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patched:
        patched.setattr("registry.actions.keep_photo_file.os.fsync", full)
        with pytest.raises(OSError, match="No space"):
            added(pavement, data)
    assert not Photo.objects.exists()
    assert leftovers() == []
    assert not default_storage.exists(original_name(accept(data).sha256, "jpeg"))


def test_half_a_file_left_by_somebody_else_is_put_right():
    name = "photos/00/half.jpg"
    keep_photo_file(name, b"ha")
    keep_photo_file(name, b"half a file")
    with default_storage.open(name) as stored:
        assert stored.read() == b"half a file"
    assert leftovers() == []


def test_a_refused_file_leaves_nothing(pavement):
    data = b"<html>nothing of this stays</html>"
    with pytest.raises(PhotoRefused):
        added(pavement, data)
    assert not PhotoFile.objects.exists()
    kept = [p for p in Path(settings.MEDIA_ROOT).rglob("*") if p.is_file()]
    assert all(p.read_bytes() != data for p in kept)


def test_the_same_file_from_another_side_is_its_own_photo_of_one_file(pavement):
    data = unlike(4)
    ours = added(pavement, data, organisation=factories.OrganisationFactory())
    theirs = added(pavement, data, organisation=factories.OrganisationFactory())
    assert ours.is_new
    assert theirs.is_new
    assert ours.photo.file == theirs.photo.file
    assert PhotoFile.objects.count() == 1


def test_a_void_photo_is_not_taken_for_the_one_there(pavement):
    data = unlike(5)
    first = added(pavement, data).photo
    Photo.objects.filter(pk=first.pk).update(void_at="2024-05-01T00:00Z", void_why="wrong lot")
    assert added(pavement, data).is_new


@pytest.mark.parametrize("thing", ["defect", "visit", "infiltration_test", "panel"])
def test_a_thing_of_another_pavement_is_refused(pavement, thing):
    factory = {
        "defect": factories.DefectFactory,
        "visit": factories.VisitFactory,
        "infiltration_test": factories.InfiltrationTestFactory,
        "panel": factories.PanelFactory,
    }[thing]
    with pytest.raises(CannotAddPhoto, match="not on this pavement"):
        added(pavement, unlike(6), **{thing: factory()})


def test_sizes_made_twice_change_nothing(pavement):
    photo = added(pavement, unlike(7)).photo
    assert make_photo_sizes(photo.file_id) == "made"
    path = Path(default_storage.path(size_name(photo.file.sha256, "page")))
    before = path.stat().st_mtime_ns
    row = PhotoFile.objects.values().get(pk=photo.file_id)
    assert make_photo_sizes(photo.file_id) == "made"
    assert make_photo_copy(photo.pk)
    assert make_photo_copy(photo.pk)
    assert path.stat().st_mtime_ns == before
    assert PhotoFile.objects.values().get(pk=photo.file_id) == row


def test_what_cannot_be_decoded_is_kept_with_its_reason(pavement, monkeypatch):
    photo = added(pavement, unlike(8)).photo

    def refuse(_data, *_more):
        raise PhotoRefused("The photo cannot be read: the file is cut short or damaged.")

    monkeypatch.setattr("registry.actions.make_photo_sizes.make_sizes", refuse)
    monkeypatch.setattr("registry.actions.make_photo_sizes.copy_to_hand_out", refuse)
    assert make_photo_sizes(photo.file_id) == "refused"
    assert not make_photo_copy(photo.pk)
    file = PhotoFile.objects.get(pk=photo.file_id)
    assert (file.sizes_state, file.sizes_why) == (
        "refused",
        "The photo cannot be read: the file is cut short or damaged.",
    )


def test_a_long_or_strange_name_of_a_file_is_kept_as_far_as_it_can_be(pavement):
    row = Photo(pavement=pavement)
    name = "a\0b\n" + "x" * 300 + ".jpg"
    photo = add_photo(row, unlike(9), name=name, by=None, organisation=None).photo
    assert photo.file_name.endswith("xxx.jpg")
    assert len(photo.file_name) == 200


def test_a_photo_that_finds_no_memory_says_so_and_has_no_copy(pavement, monkeypatch):
    photo = added(pavement, unlike(11)).photo

    def none_left(*_data):
        raise MemoryError

    monkeypatch.setattr("registry.actions.make_photo_sizes.make_sizes", none_left)
    monkeypatch.setattr("registry.actions.make_photo_sizes.copy_to_hand_out", none_left)
    assert make_photo_sizes(photo.file_id) == "refused"
    assert not make_photo_copy(photo.pk)
    photo.file.refresh_from_db()
    assert "more memory" in photo.file.sizes_why
