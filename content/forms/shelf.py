"""The filters of the shelf."""

from __future__ import annotations

from collections.abc import Collection
from typing import Any

from django import forms

from coach.scheduling.values import SERVABLE_STAGES
from content.models import Focus, Series
from content.rules import classes as rules

_STAGES = [(str(stage), stage.label) for stage in SERVABLE_STAGES]


class ShelfForm(forms.Form):
    """The filters; what is not among the choices counts as not chosen."""

    q = forms.CharField(
        label="Find",
        required=False,
        widget=forms.TextInput(attrs={"type": "search", "placeholder": "title, series or note"}),
    )
    group = forms.ChoiceField(
        label="State",
        required=False,
        choices=[("", "every state"), *((group.code, group.title) for group in rules.GROUPS)],
    )
    focus = forms.ChoiceField(
        label="Focus", required=False, choices=[("", "every focus"), *Focus.choices]
    )
    stage = forms.ChoiceField(
        label="Suits",
        required=False,
        choices=[("", "whatever stage"), *_STAGES, ("unknown", rules.STAGES_NOT_KNOWN)],
    )
    series = forms.ChoiceField(label="Series", required=False)
    sort = forms.ChoiceField(
        label="Order",
        required=False,
        choices=[
            ("", "finished first"),
            ("newest", "last added first"),
            ("title", "by title"),
            ("series", "by series"),
            ("day", "by publish day"),
            ("length", "by length"),
        ],
    )

    def __init__(self, data: Any, *, series: Collection[Series]) -> None:
        super().__init__(data, auto_id="filter_%s")
        field = self.fields["series"]
        assert isinstance(field, forms.ChoiceField)  # declared above; fields is typed loosely
        field.choices = [("", "every series"), *((str(s.pk), s.title) for s in series)]

    def wanted(self) -> dict[str, Any]:
        """The arguments of queries.shelf."""
        self.is_valid()
        given = self.cleaned_data
        return {
            "search": given.get("q", ""),
            "group": given.get("group", ""),
            "focus": given.get("focus", ""),
            "stage": given.get("stage", ""),
            "series": int(given["series"]) if given.get("series") else None,
            "sort": given.get("sort") or "done",
        }

    def opened(self) -> bool:
        """Whether one of the filters that a phone folds away is in use."""
        return any(self.data.get(name) for name in ("focus", "stage", "series", "sort"))

    def narrowed(self) -> bool:
        """Whether anything but the order is chosen."""
        return any(value for name, value in self.wanted().items() if name != "sort")
