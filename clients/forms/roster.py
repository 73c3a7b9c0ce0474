"""The filters of the roster. What it cannot read it leaves out: an old address still works."""

from __future__ import annotations

from typing import Any

from django import forms
from django.http import QueryDict

from clients.rules.roster import CURRENT, EVERYBODY, Sort
from coach.scheduling.values import Stage

_STAGES = [("", "any stage"), *((str(stage), stage.label) for stage in Stage)]
_STANDINGS = [
    (CURRENT, "being coached or paused"),
    ("active", "being coached"),
    ("paused", "paused"),
    ("former", "former"),
    (EVERYBODY, "everybody"),
]
_SORTS = {
    Sort.NAME: "name",
    Sort.STAGE: "stage",
    Sort.WEEKS: "what is next",
    Sort.CHANGED: "last changed",
}
_DEFAULTS = {"find": "", "stage": "", "standing": CURRENT, "sort": str(Sort.NAME)}


class RosterForm(forms.Form):
    """Find, stage, standing, order; without what would tell a stage where that may not be seen."""

    find = forms.CharField(
        label="Find",
        required=False,
        max_length=100,
        widget=forms.TextInput(
            attrs={
                "type": "search",
                "placeholder": "name, e-mail or phone",
                "autocomplete": "off",
                "spellcheck": "false",
            }
        ),
    )
    stage = forms.ChoiceField(label="Stage", choices=_STAGES, required=False)
    standing = forms.ChoiceField(label="Who", choices=_STANDINGS, required=False)
    sort = forms.ChoiceField(label="Order by", choices=list(_SORTS.items()), required=False)

    def __init__(self, *args: Any, with_stage: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if not with_stage:
            del self.fields["stage"]
            self.fields["sort"].choices = [  # type: ignore[attr-defined]  # a ChoiceField's
                (sort, label) for sort, label in _SORTS.items() if not sort.by_stage
            ]

    @classmethod
    def read(cls, asked: QueryDict, *, with_stage: bool) -> RosterForm:
        """The form showing what was asked as far as it can be followed."""
        bound = cls(asked, with_stage=with_stage)
        bound.full_clean()
        known = {name: value for name, value in bound.cleaned_data.items() if value}
        return cls(initial={**_DEFAULTS, **known}, with_stage=with_stage)

    @property
    def filters(self) -> dict[str, Any]:
        """Keywords of `queries.roster`."""
        stage = self.initial["stage"]
        return {
            "search": self.initial["find"],
            "stage": Stage(stage) if stage else None,
            "standing": self.initial["standing"],
            "sort": Sort(self.initial["sort"]),
        }

    @property
    def narrowed(self) -> bool:
        """Whether anything but the order differs from the roster as it first shows."""
        return any(self.initial[name] != _DEFAULTS[name] for name in ("find", "stage", "standing"))

    @property
    def address(self) -> str:
        """The query string that shows the same again: only what differs from the first view."""
        query = QueryDict(mutable=True)
        query.update({n: v for n, v in self.initial.items() if v != _DEFAULTS[n]})
        return query.urlencode()
