"""Background work: each a thin call of an action, and safe to be done twice.

A worker that is killed leaves its job half done in the list; `take_up_lost_work` hands it out
again, and what a job did in a transaction that never ended is not there.
"""

from django_tasks import task

from registry.actions.make_dossier import make_dossier
from registry.actions.make_photo_sizes import make_photo_copy, make_photo_sizes
from registry.actions.refresh_dues import (
    refresh_dues,
    refresh_dues_at,
    refresh_dues_kept_by,
    refresh_stale_dues,
)
from registry.actions.refresh_standing import refresh_stale_standings, refresh_standings
from registry.actions.work_on_import import work_on_import
from registry.actions.work_on_round import work_on_round
from registry.actions.work_out_outlooks import work_out_outlooks as foretell


@task()
def work_on_spreadsheet(batch_id: int) -> None:
    """Read a spreadsheet, or store it where that was asked for."""
    work_on_import(batch_id)


@task()
def work_out_standings(pavement_ids: list[int]) -> int:
    """Work out the conditions of pavements anew, and what is due there."""
    changed = refresh_standings(pavement_ids)
    refresh_dues(pavement_ids)
    return changed


@task()
def work_out_stale_standings() -> int:
    """Work out the conditions that time alone may have changed."""
    return refresh_stale_standings()


@task()
def work_out_stale_dues() -> int:
    """Work out what is due where that was done on an earlier day or never."""
    return refresh_stale_dues()


@task()
def work_out_dues_kept_by(organisation_id: int) -> int:
    """Work out what is due where an organisation keeps or sweeps."""
    return refresh_dues_kept_by(organisation_id)


@task()
def work_out_dues_at(site_id: int) -> int:
    """Work out what is due at a site."""
    return refresh_dues_at(site_id)


@task()
def work_out_outlooks(organisation_id: int) -> int:
    """Fit and foretell the pools near an organisation, where records came in."""
    return foretell(near=organisation_id)


@task()
def work_out_all_outlooks() -> int:
    """Fit every pool whose records changed, and work out all outlooks as of today."""
    return foretell()


@task()
def work_out_round(round_id: int) -> str:
    """Work out a round of crews."""
    return work_on_round(round_id)


@task()
def put_dossier_together(dossier_id: int) -> str:
    """Put the dossier of a callback together."""
    return make_dossier(dossier_id)


@task()
def make_sizes_of_photo(file_id: int) -> str:
    """Make the sizes in which a photo is shown."""
    return make_photo_sizes(file_id)


@task()
def make_copy_of_photo(photo_id: int) -> bool:
    """Make the copy of a photo that may be handed out."""
    return make_photo_copy(photo_id)
