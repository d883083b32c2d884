"""The evidence of a callback, panel by panel: what the record says, what people say beside it."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from registry.access.callbacks import acting_side, get_callback, visible_winter_log
from registry.access.defects import visible_defects, visible_observations, visible_visits
from registry.access.holding import rights_at
from registry.access.placing import visible_cores, visible_placing_days, visible_raveled_shares
from registry.defects.evidence import CAUTIONS
from registry.gathering.claim_words import CUTTING, NOT_LIABLE
from registry.gathering.claimed_files import claimed_files
from registry.gathering.outlined_shares import raveling_rows
from registry.gathering.panel_records import PanelFile
from registry.models import Callback
from registry.views.pavement import local_today
from registry.views.title import title_block_of


@require_safe
def callback_panels(request: HttpRequest, pk: int) -> HttpResponse:
    """List the signs of each claimed panel; those filled from the record are marked as such."""
    row = get_callback(request.user, pk)
    rights = rights_at(request.user, row.pavement)
    context = {
        "row": row,
        "pavement": row.pavement,
        "head": title_block_of(request.user, row.pavement, as_of=local_today(row.pavement)),
        "files": _files(request, row),
        "may_find": acting_side(rights, row, "find") is not None,
        "may_add": acting_side(rights, row, "add") is not None,
        "cautions": CAUTIONS,
        "not_liable": NOT_LIABLE,
        "cutting": CUTTING,
    }
    return render(request, "callback/panels.html", context)


def _files(request: HttpRequest, row: Callback) -> list[PanelFile]:
    person, pavement = request.user, row.pavement
    days = visible_placing_days(person, pavement).standing().in_order().select_related("repair")
    return claimed_files(
        row,
        list(days),
        visible_raveled_shares(person, pavement).standing(),
        visible_winter_log(person, pavement).standing(),
        visible_cores(person, pavement).standing(),
        raveling_rows(
            pavement,
            visible_defects(person, pavement),
            visible_observations(person, pavement),
            visible_visits(person, pavement),
        ),
    )
