"""Forms of making: a tick, and an item of the checklist."""

from __future__ import annotations

from django import forms

from content.rules.making import TITLES

LONGEST_WORDS = 120


class TickForm(forms.Form):
    """One item of a class, ticked or not."""

    code = forms.SlugField(max_length=60)
    done = forms.BooleanField(required=False)


class CheckItemForm(forms.Form):
    """An item of the checklist; without a code a new one."""

    code = forms.SlugField(max_length=60, required=False, widget=forms.HiddenInput)
    words = forms.CharField(
        label="What is looked at",
        max_length=LONGEST_WORDS,
        widget=forms.TextInput({"autocomplete": "off"}),
        error_messages={
            "required": "Write what is looked at.",
            "max_length": f"At most {LONGEST_WORDS} letters.",
        },
    )
    step = forms.ChoiceField(
        label="In which step",
        choices=list(TITLES.items()),
        error_messages={"required": "Choose a step.", "invalid_choice": "Choose one of the steps."},
    )

    def clean_words(self) -> str:
        """Without spaces too many."""
        return " ".join(self.cleaned_data["words"].split())


class MoveForm(forms.Form):
    """Which way an item of the checklist goes."""

    code = forms.SlugField(max_length=60)
    move = forms.ChoiceField(choices=[("earlier", "earlier"), ("later", "later")])


class RetireForm(forms.Form):
    """Whether an item is retired, or taken back."""

    retired = forms.BooleanField(required=False)
