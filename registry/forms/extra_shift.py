"""The form of a shift out of the week's."""

from typing import Any

from registry.forms.entry import PartForm
from registry.forms.hours import ClockTimeField
from registry.models import Crew, ExtraShift


class ExtraShiftForm(PartForm):
    """Overtime, or an early start, of one crew on one day."""

    parent_name = "organisation"
    plain = frozenset({"note", "because", "from_clock", "to_clock"})
    from_clock = ClockTimeField(label="from")
    to_clock = ClockTimeField(label="to")

    class Meta:
        model = ExtraShift
        fields = ("crew", "on", "from_clock", "to_clock", "because", "note")

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["crew"].queryset = Crew.objects.standing().filter(organisation=self.parent.pk)
        self.fields["crew"].empty_label = "choose"
