"""A person's choice between two corrections of one entry."""

from django import forms


class ChoiceForm(forms.Form):
    """Which of two corrections holds; nothing is chosen beforehand."""

    choice = forms.ChoiceField(
        label="which holds",
        choices=[("standing", "what stands now"), ("waiting", "the correction that waits")],
        widget=forms.RadioSelect,
        error_messages={"required": "Choose one of the two, or correct the entry a third time."},
    )
    why = forms.CharField(
        label="because", max_length=240, error_messages={"required": "Say why you chose so."}
    )
