"""Small forms that ask for a reason, for whoever takes back, voids or answers."""

from django import forms

from registry.forms.quantity import DayField


class ReasonForm(forms.Form):
    """Why an entry is void, corrected or kept out."""

    why = forms.CharField(label="because", max_length=280, widget=forms.Textarea(attrs={"rows": 2}))


class AnswerForm(forms.Form):
    """The answer to one doubt."""

    code = forms.CharField(widget=forms.HiddenInput)
    text = forms.CharField(
        label="who answered, and what", max_length=280, widget=forms.Textarea(attrs={"rows": 2})
    )
    lifts = forms.BooleanField(label="the readings hold as written", required=False)


class UseForm(ReasonForm):
    """What a person decides a test may be used for."""

    use = forms.ChoiceField(
        label="use",
        choices=[("looked_at", "looked at only"), ("rule", "as the rules say")],
    )


class EndForm(ReasonForm):
    """On which day something came to its end, and why."""

    on = DayField(label="first day without it")
    field_order = ("on", "why")
