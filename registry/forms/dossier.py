"""What is asked when a dossier is to be made: units and paper."""

from django import forms

from registry.models.choices import ReadingSystem


class DossierForm(forms.Form):
    """A dossier to be put together."""

    system = forms.ChoiceField(label="units", choices=ReadingSystem.choices)
    paper = forms.ChoiceField(label="paper", choices=(("letter", "Letter"), ("a4", "A4")))
    prepared_by = forms.CharField(label="prepared by", max_length=160)
