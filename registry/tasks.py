"""Background work: each a thin call of an action, and safe to be done twice.

A worker that is killed leaves its job half done in the list; `take_up_lost_work` hands it out
again, and what a job did in a transaction that never ended is not there.
"""

from django_tasks import task

from registry.actions.refresh_standing import refresh_standings
from registry.actions.work_on_import import work_on_import


@task()
def work_on_spreadsheet(batch_id: int) -> None:
    """Read a spreadsheet, or store it where that was asked for."""
    work_on_import(batch_id)


@task()
def work_out_standings(pavement_ids: list[int]) -> int:
    """Work out the conditions of pavements anew."""
    return refresh_standings(pavement_ids)
