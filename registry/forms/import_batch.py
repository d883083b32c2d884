"""What is asked for a spreadsheet."""

from typing import Any
from zoneinfo import available_timezones

from django import forms
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import UploadedFile
from django.db.models import QuerySet

from registry.forms.many_files import ManyFilesField, ManyFilesInput, lost_of
from registry.models import Organisation

MOST_FILES = 4


class SpreadsheetForm(forms.Form):
    """Files, whose they are, and the local time at sites that are new."""

    organisation = forms.ModelChoiceField(label="for", queryset=Organisation.objects.none())
    chosen = ManyFilesField(
        most=MOST_FILES,
        too_many=f"Choose one workbook, or up to {MOST_FILES} CSV files.",
        label="files",
        help_text=(
            "One .xlsx workbook, or the CSV files pavements, infiltration_tests, sweeps and "
            "defects. "
            "Nothing is stored before you have seen what was found."
        ),
        widget=ManyFilesInput(attrs={"accept": ".csv,.xlsx"}),
    )
    time_zone = forms.CharField(
        label="local time at new sites",
        required=False,
        max_length=60,
        help_text="Such as America/New_York. Left blank: the local time of the organisation. "
        "Sites of the record keep their own.",
    )

    def __init__(self, *args: Any, organisations: QuerySet[Organisation], **options: Any):
        super().__init__(*args, **options)
        field = self.fields["organisation"]
        assert isinstance(field, forms.ModelChoiceField)
        field.queryset = organisations
        self.only = organisations[0] if len(organisations) == 1 else None
        if self.only is not None:
            field.initial, field.widget = self.only.pk, forms.HiddenInput()
            self.fields["time_zone"].help_text = (
                f"Such as America/New_York. Left blank: that of {self.only}, "
                f"{self.only.time_zone}. Sites of the record keep their own."
            )

    def clean_chosen(self) -> list[UploadedFile]:
        if lost := lost_of(self, "chosen"):
            raise ValidationError(f"{lost} Choose them all anew.")
        return list(self.cleaned_data["chosen"])

    def clean_time_zone(self) -> str:
        zone = str(self.cleaned_data["time_zone"]).strip()
        if zone and zone not in available_timezones():
            raise ValidationError(f"“{zone}” is not a time zone; write America/New_York.")
        return zone
