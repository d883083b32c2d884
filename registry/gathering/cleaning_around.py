"""What stands beside one cleaning: its panels, and the other cleanings that bring the rate back."""

from registry.models import CleanedPanel, Cleaning, Panel
from registry.models.cleaning import with_parts
from registry.models.together import together


def around_cleaning(row: Cleaning) -> tuple[list[CleanedPanel], list[Cleaning]]:
    """Return the panels it covered and missed, and the pavement's other restorative cleanings.

    Each panel is fetched with its row; the cleaning and the others have their `parts`.
    """
    told, panels, others = together(
        CleanedPanel.objects.filter(cleaning=row),
        Panel.objects.filter(cleaned__cleaning=row),
        Cleaning.objects.filter(pavement=row.pavement_id).restorative().exclude(pk=row.pk),
    )
    named = {panel.pk: panel for panel in panels}
    for part in told:
        part.panel = named[part.panel_id]
    with_parts([row, *others])
    return told, others
