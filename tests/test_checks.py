"""The checks of a deployment say what would lose or leak something."""

from registry.checks import check_files_can_be_kept, check_scale_is_built, check_served_safely


def ids(found):
    return [message.id for message in found]


def test_public_name_without_https_is_warned_of(settings):
    settings.ALLOWED_HOSTS, settings.HTTPS, settings.DEBUG = ["town.example"], False, False
    assert ids(check_served_safely()) == ["registry.W001"]
    settings.HTTPS = True
    assert ids(check_served_safely()) == []


def test_debug_under_a_public_name_stops_the_start(settings):
    settings.ALLOWED_HOSTS, settings.HTTPS, settings.DEBUG = ["town.example"], True, True
    assert ids(check_served_safely()) == ["registry.E001"]


def test_this_machine_alone_needs_no_https(settings):
    settings.ALLOWED_HOSTS, settings.HTTPS = ["localhost", "127.0.0.1"], False
    assert ids(check_served_safely()) == []


def test_folder_that_cannot_be_made_stops_the_start(settings, tmp_path):
    file = tmp_path / "file"
    file.write_text("")
    settings.MEDIA_ROOT = file / "media"
    assert ids(check_files_can_be_kept()) == ["registry.E002"]
    settings.MEDIA_ROOT = tmp_path / "media"
    assert ids(check_files_can_be_kept()) == []


def test_what_is_not_built_yet_is_refused(settings):
    settings.TASKS_RUNNER, settings.STORAGE_URL = "celery", "s3://bucket"
    assert ids(check_scale_is_built()) == ["registry.E003", "registry.E003"]
    settings.TASKS_RUNNER, settings.STORAGE_URL = "embedded", ""
    assert ids(check_scale_is_built()) == []
