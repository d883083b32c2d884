"""Hand work to the background. The job commits with the rows it is about, or not at all.

Jobs are found by their names, as any worker finds them: `registry.tasks` imports the actions, so
no action can import it.
"""

from collections.abc import Sequence

from django.utils.module_loading import import_string

STANDINGS_A_JOB = 200


def queue_standings(pavement_ids: Sequence[int]) -> None:
    """Have the conditions of these pavements worked out anew."""
    for start in range(0, len(pavement_ids), STANDINGS_A_JOB):
        _queue("work_out_standings", list(pavement_ids[start : start + STANDINGS_A_JOB]))


def queue_import(batch_id: int) -> None:
    """Have a spreadsheet read, or stored where that was asked for."""
    _queue("work_on_spreadsheet", batch_id)


def _queue(name: str, argument: object) -> None:
    import_string(f"registry.tasks.{name}").enqueue(argument)
