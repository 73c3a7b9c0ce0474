"""The form of a measure of the practice's own."""

from __future__ import annotations

from django import forms

from clients.forms.fields import RefusableForm, radios, text_field
from clients.rules.own_measures import BETTER, LONGEST_NAME, LONGEST_UNIT, OwnFacts

_NEITHER = "neither"


def _limit(label: str) -> forms.DecimalField:
    return forms.DecimalField(
        label=label,
        required=False,
        max_digits=8,
        decimal_places=2,
        error_messages={
            "invalid": "Write a number.",
            "max_decimal_places": "At most two decimals.",
            "max_digits": "A number under a million.",
            "max_whole_digits": "A number under a million.",
        },
    )


class OwnMeasureForm(RefusableForm):
    """What is measured, in what, which way is better, and what cannot be."""

    name = text_field(
        "What is measured", longest=LONGEST_NAME, required=True, missing="Write what is measured.",
        hint="As you would say it to her, such as “side plank, left”.",
    )  # fmt: skip
    unit = text_field("Unit", longest=LONGEST_UNIT, hint="Such as s, cm, kg or times.")
    better = radios(
        "Which way is better",
        [(code or _NEITHER, words) for code, words in BETTER.items()],
        missing="Choose one: a page says so beside a change.",
    )
    least = _limit("Least")
    most = _limit("Most")

    @property
    def facts(self) -> OwnFacts:
        """What the action takes, when the form is valid."""
        data = dict(self.cleaned_data)
        better = data.pop("better")
        return OwnFacts(**data, better="" if better == _NEITHER else better)


def initial_of(facts: OwnFacts) -> dict[str, object]:
    """What the form of a measure holds to begin with."""
    return {**facts.columns, "better": facts.better or _NEITHER}
