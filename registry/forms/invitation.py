"""The form of an invitation."""

from django import forms


class InvitationForm(forms.Form):
    """Whom to invite, and whether they may invite others."""

    email = forms.EmailField(
        label="E-mail address",
        max_length=254,
        widget=forms.EmailInput(attrs={"autocomplete": "off"}),
    )
    may_invite = forms.BooleanField(
        label="May invite others, and end people's work here", required=False
    )
