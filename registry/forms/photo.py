"""The photo as a person sends it, its true time, its pair."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.db.models import QuerySet

from registry.forms.many_files import ManyFilesField, ManyFilesInput
from registry.forms.quantity import ElapsedField, MarkedEmpty
from registry.forms.row_choice import LONGEST_ID, RowsOnce, SortedRows
from registry.forms.seen import SeenForm
from registry.models import Pavement, Photo
from registry.models.panel import plan_order
from registry.models.seen import Changes

MOST_PHOTOS = 40
THINGS = ("defect", "visit", "infiltration_test", "panel")
NONE_CAME = "No photo arrived. Choose one or several."
PLAIN = (
    "subject",
    *THINGS,
    "place",
    "place_known_by",
    "facing",
    "scale",
    "taken_by",
    "sent_by",
    "number",
    "note",
    "shown_to",
)
BLANK = ("", "not filled in")


def _words(name: str) -> list[tuple[str, str]]:
    """Return the choices of a column, with the blank first."""
    choices = Photo._meta.get_field(name).flatchoices
    return [BLANK, *((value, str(label)) for value, label in choices if value)]


class RowField(forms.ModelChoiceField):
    """One row of the record; an id that no row can have is refused like one that no row has."""

    iterator = RowsOnce

    def to_python(self, value: Any) -> Any:
        """Return the row."""
        if len(str(value or "")) > LONGEST_ID:
            raise ValidationError(self.error_messages["invalid_choice"], "invalid_choice")
        return super().to_python(value)


class PanelField(RowField):
    """A panel, in the order of the plan."""

    iterator = SortedRows

    @staticmethod
    def order_of(row: Any) -> Any:
        """Sort A2 before A10."""
        return plan_order(row.name), row.pk

    def label_from_instance(self, obj: Any) -> str:
        """Return the name on the plan."""
        return str(obj.name)


class DefectField(RowField):
    """A defect, told from the others by its kind and place."""

    def label_from_instance(self, obj: Any) -> str:
        """Return number, kind and place."""
        return f"{obj}, {obj.get_kind_display()}, {obj.place or 'no place written'}"


class PhotoForm(forms.Form):
    """One or several photos of one thing."""

    chosen = ManyFilesField(
        label="photos",
        most=MOST_PHOTOS,
        too_many=f"Send up to {MOST_PHOTOS} photos at once.",
        error_messages={"required": NONE_CAME},
        allow_empty_file=True,  # told file by file, so that the others are stored
        help_text=(
            f"JPEG, PNG or HEIC as the camera stored them, up to 60 MB each, {MOST_PHOTOS} and "
            "250 MB at once. What came by a message service has lost its time: send the original."
        ),
        widget=ManyFilesInput(attrs={"accept": "image/*,.heic,.heif"}),
    )
    subject = forms.ChoiceField(label="shows", choices=Photo.Subject.choices, initial="whole")
    defect = DefectField(label="defect", queryset=None, required=False)
    visit = RowField(label="inspection visit", queryset=None, required=False)
    infiltration_test = RowField(label="infiltration test", queryset=None, required=False)
    panel = PanelField(label="panel", queryset=None, required=False)
    place = forms.CharField(label="place in words", max_length=120, required=False)
    place_known_by = forms.ChoiceField(
        label="place known by",
        choices=_words("place_known_by"),
        required=False,
        help_text="A card in the picture is followed; a phone's position only names the site.",
    )
    facing = forms.ChoiceField(label="facing", choices=_words("facing"), required=False)
    scale = forms.ChoiceField(label="scale in the picture", choices=_words("scale"), required=False)
    taken_by = forms.CharField(label="taken by", max_length=160, required=False)
    sent_by = forms.ChoiceField(label="came by way of", choices=_words("sent_by"), required=False)
    number = forms.CharField(label="photo no.", max_length=40, required=False)
    shown_to = forms.ChoiceField(
        label="may be shown to",
        choices=Photo._meta.get_field("shown_to").flatchoices,
        initial="all",
        help_text="Others get a copy without position and device, never the file itself.",
    )
    note = forms.CharField(label="remark", widget=forms.Textarea(attrs={"rows": 2}), required=False)

    def __init__(
        self, *args: Any, pavement: Pavement, rows: dict[str, QuerySet], **options: Any
    ) -> None:
        super().__init__(*args, **options)
        self.pavement = pavement
        for name in THINGS:
            field = self.fields[name]
            assert isinstance(field, forms.ModelChoiceField)
            field.queryset, field.empty_label = rows[name], "none"
            if not field.queryset:
                del self.fields[name]

    def clean(self) -> dict[str, Any]:
        """Check what belongs together."""
        cleaned = super().clean() or self.cleaned_data
        if (cleaned.get("panel") or cleaned.get("place")) and not cleaned.get("place_known_by"):
            self.add_error("place_known_by", "Say how the place is known: card or memory.")
        if cleaned.get("number") and len(cleaned.get("chosen") or ()) > 1:
            self.add_error("number", "A number stands for one photo. Send them one by one.")
        if cleaned.get("subject") == "defect" and "defect" in cleaned and not cleaned["defect"]:
            self.add_error("defect", "Say which defect it shows.")
        return cleaned

    @property
    def more(self) -> list[forms.BoundField]:
        """Return the fields that a page may fold away."""
        names = "place facing scale taken_by sent_by number note"
        return [self[name] for name in names.split()]

    @property
    def things(self) -> list[forms.BoundField]:
        """Return the fields of what there is to choose from here."""
        return [self[name] for name in THINGS if name in self.fields]

    def entry(self) -> Photo:
        """Return an unsaved row of a valid form; call it once for each file."""
        given = {name: self.cleaned_data.get(name) for name in PLAIN}
        row = Photo(
            **{name: value for name, value in given.items() if value}, pavement=self.pavement
        )
        if row.defect_id and row.panel_id is None and row.defect is not None:
            row.panel = row.defect.panel
        return row


class PhotoCorrectForm(SeenForm, PhotoForm):
    """What is said of a photo on record. Who may see it is said where it is covered."""

    why = forms.CharField(label="corrected because", max_length=280)

    def __init__(self, *args: Any, stored: Photo, **options: Any) -> None:
        options["initial"] = {name: getattr(stored, name) for name in PLAIN}
        super().__init__(*args, **options)
        self.stored = stored
        del self.fields["chosen"], self.fields["shown_to"]
        for name in THINGS:
            # What this person may not see any more stays as it is and is not asked for.
            before = getattr(stored, f"{name}_id")
            if name in self.fields and before is not None:
                field = self.fields[name]
                assert isinstance(field, forms.ModelChoiceField)
                assert field.queryset is not None
                if all(row.pk != before for row in field.queryset):
                    del self.fields[name]
        self.show_stored(stored)

    def changes(self) -> Changes:
        """Return what its writer changed of what the form showed."""
        given = {name: self.cleaned_data.get(name) for name in PLAIN if name in self.fields}
        return self.changes_from(given, {})


class PhotoTimeForm(forms.Form):
    """What the camera's clock was wrong by, and how that is known."""

    way = forms.ChoiceField(
        label="the camera's clock was",
        choices=[("slow", "slow (behind)"), ("fast", "fast (ahead)"), ("right", "right")],
    )
    error = ElapsedField(label="by", help_text="1 h, 58 min, 3:42 for minutes and seconds")
    fold = forms.ChoiceField(
        label="where an hour came twice that night",
        choices=[("", "it did not"), ("0", "the first time round"), ("1", "the second time round")],
        required=False,
    )
    why = forms.CharField(
        label="how this is known",
        max_length=200,
        help_text="A clock in the picture, a photo of the same moment, who saw it.",
    )

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        # An error that is not known puts nothing right, so there are no keys for it.
        self.fields["error"].widget.attrs.pop("data-empties", None)

    def clean(self) -> dict[str, Any]:
        """Ask for the error of a clock that was wrong, and for none of one that was right."""
        cleaned = super().clean() or self.cleaned_data
        error = cleaned.get("error")
        if isinstance(error, MarkedEmpty):
            self.add_error("error", "What is not known puts nothing right. Leave the time open.")
        elif cleaned.get("way") == "right" and error is not None:
            self.add_error(
                "error", "A clock that was right was wrong by nothing: leave this empty."
            )
        elif cleaned.get("way") in ("slow", "fast") and error is None and "error" in cleaned:
            self.add_error("error", "Say by how much.")
        return cleaned

    @property
    def clock_error_s(self) -> float:
        """Return the seconds the clock was ahead; negative where it was slow."""
        error = self.cleaned_data["error"]
        seconds = 0.0 if error is None else float(error.seconds)
        return -seconds if self.cleaned_data["way"] == "slow" else seconds

    @property
    def chosen_fold(self) -> int | None:
        """Return which pass of a doubled hour is meant."""
        fold = self.cleaned_data.get("fold")
        return int(fold) if fold else None


class EarlierPhotoField(RowField):
    """A photo, told by what it is of and when."""

    def label_from_instance(self, obj: Any) -> str:
        """Return its id and its caption."""
        return f"{obj.pk}: {obj.caption}"


class PairForm(forms.Form):
    """The earlier photo from the same stand."""

    then = EarlierPhotoField(
        label="the earlier photo", queryset=None, required=False, empty_label="none"
    )

    def __init__(self, *args: Any, photos: QuerySet, **options: Any) -> None:
        super().__init__(*args, **options)
        field = self.fields["then"]
        assert isinstance(field, forms.ModelChoiceField)
        field.queryset = photos
