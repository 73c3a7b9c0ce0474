"""The filters of the roster. What it cannot read it leaves out: an old address still works."""

from __future__ import annotations

from typing import Any

from django import forms
from django.http import QueryDict

from clients.rules.go_ahead_words import STRICTEST_FIRST
from clients.rules.roster import CURRENT, EVERYBODY, Sort, allowed
from coach.practice.filters import find_field
from coach.scheduling.values import GoAheadWord, Stage

_STAGES = [("", "any stage"), *((str(stage), stage.label) for stage in Stage)]
_WORDS = [("", "any"), *((str(word), str(word)) for word in STRICTEST_FIRST)]
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
    Sort.WORD: "go-ahead",
}
_FILTERS = ("find", "stage", "word", "standing")
_DEFAULTS = {"find": "", "stage": "", "word": "", "standing": CURRENT, "sort": str(Sort.NAME)}


class RosterForm(forms.Form):
    """Find, stage, standing, order; without what would tell a stage where that may not be seen."""

    find = find_field("name, e-mail or phone")
    stage = forms.ChoiceField(label="Stage", choices=_STAGES, required=False)
    word = forms.ChoiceField(label="Go-ahead", choices=_WORDS, required=False)
    standing = forms.ChoiceField(label="Who", choices=_STANDINGS, required=False)
    sort = forms.ChoiceField(label="Order by", choices=list(_SORTS.items()), required=False)

    def __init__(self, *args: Any, with_stage: bool, with_word: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if not with_stage:
            del self.fields["stage"]
        if not with_word:
            del self.fields["word"]
        self.fields["sort"].choices = [  # type: ignore[attr-defined]  # a ChoiceField's
            (sort, label)
            for sort, label in _SORTS.items()
            if allowed(sort, with_stage=with_stage, with_word=with_word) is sort
        ]

    @classmethod
    def read(cls, asked: QueryDict, *, with_stage: bool, with_word: bool) -> RosterForm:
        """The form showing what was asked as far as it can be followed."""
        bound = cls(asked, with_stage=with_stage, with_word=with_word)
        bound.full_clean()
        known = {name: value for name, value in bound.cleaned_data.items() if value}
        initial = {**_DEFAULTS, **known}
        return cls(initial=initial, with_stage=with_stage, with_word=with_word)

    @property
    def filters(self) -> dict[str, Any]:
        """Keywords of `queries.roster`."""
        stage, word = self.initial["stage"], self.initial["word"]
        return {
            "search": self.initial["find"],
            "stage": Stage(stage) if stage else None,
            "word": GoAheadWord(word) if word else None,
            "standing": self.initial["standing"],
            "sort": Sort(self.initial["sort"]),
        }

    @property
    def narrowed(self) -> bool:
        """Whether anything but the order differs from the roster as it first shows."""
        return any(self.initial[name] != _DEFAULTS[name] for name in _FILTERS)

    @property
    def address(self) -> str:
        """The query string that shows the same again: only what differs from the first view."""
        query = QueryDict(mutable=True)
        query.update({n: v for n, v in self.initial.items() if v != _DEFAULTS[n]})
        return query.urlencode()
