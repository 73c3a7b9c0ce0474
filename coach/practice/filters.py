"""The forms above a list: what to find and which to show. They follow an address as far as it
can be followed; what cannot be read counts as not asked, so that old addresses work.
"""

from __future__ import annotations

from django import forms


def find_field(hint: str) -> forms.CharField:
    """What to find, with a hint of where it is looked for."""
    attrs = {"type": "search", "placeholder": hint, "autocomplete": "off", "spellcheck": "false"}
    return forms.CharField(
        label="Find", required=False, max_length=100, widget=forms.TextInput(attrs=attrs)
    )


class FilterForm(forms.Form):
    """Always bound to the address."""

    def asked(self, name: str) -> str:
        """What was chosen or typed, as far as it can be followed."""
        self.is_valid()
        return str(self.cleaned_data.get(name) or "")

    @property
    def narrowed(self) -> bool:
        """Whether not everything is asked for."""
        return any(self.asked(name) for name in self.fields)
