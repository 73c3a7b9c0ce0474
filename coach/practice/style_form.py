"""One field of each kind, for the style page."""

from __future__ import annotations

from django import forms

_CHOICES = [("core", "core"), ("legs", "legs"), ("mobility", "mobility")]


class StyleForm(forms.Form):
    """Shown bound, so that the page has fields with and without errors."""

    title = forms.CharField(label="Title", help_text="As it will be read.")
    day = forms.DateField(label="Day", widget=forms.DateInput(attrs={"type": "date"}))
    focus = forms.ChoiceField(label="Focus", choices=_CHOICES)
    suits = forms.MultipleChoiceField(
        label="Suits", choices=_CHOICES, required=False, widget=forms.CheckboxSelectMultiple
    )
    which = forms.ChoiceField(
        label="Which", choices=_CHOICES, required=False, widget=forms.RadioSelect
    )
    agreed = forms.BooleanField(label="Wanted soon", required=False)
    note = forms.CharField(label="Note", required=False, widget=forms.Textarea(attrs={"rows": 3}))
