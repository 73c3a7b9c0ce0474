"""The form of the practice's policy of the go-ahead: its numbers, what is off, and why."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from django import forms
from django.forms.boundfield import BoundField

from clients.forms.fields import RefusableForm, day_field, text_field
from clients.rules.policy import (
    LEAST_WEEKS,
    MOST_WEEKS,
    PAST_DUE_DAYS,
    SWITCHES,
    Policies,
    Rule,
    policy,
    rules,
    switches,
)
from clients.rules.policy_words import LABELS, SUFFICES, number_words, since_words

_OFF = "off-"
_WEAKER = (
    "It then reads “screened, no letter”, a word of its own: weaker than a letter, since no "
    "clinician has looked at her."
)


@dataclass(frozen=True, slots=True)
class Line:
    """One rule as the page shows it: what of it can be changed, and how it stands today.

    `stands` says whether it is checked and since when; it is empty for what has no switch.
    """

    rule: Rule
    numbers: tuple[BoundField, ...] = ()
    switch: BoundField | None = None
    off: bool = False
    stands: str = ""

    @property
    def fixed(self) -> bool:
        """True for a rule of which nothing can be set."""
        return not self.numbers and self.switch is None


def _whole(label: str, least: int, most: int) -> forms.IntegerField:
    return forms.IntegerField(
        label=label,
        min_value=least,
        max_value=most,
        error_messages={
            "required": "Write a whole number.",
            "invalid": "Write a whole number.",
            "min_value": f"Not under {least}.",
            "max_value": f"Not over {most}.",
        },
    )


class PolicyForm(RefusableForm):
    """Every number and every switch of the policy as it stands, from a day on, with a reason."""

    screening_suffices = forms.BooleanField(
        label="Take current answers, every one no, where no letter is in force", required=False
    )
    begins = day_field("From", required=True, missing="Write from which day.")
    reason = text_field(
        "Why", longest=500, required=True, missing="Say why: it stays beside the policy.", rows=2
    )

    def __init__(self, *args: Any, policies: Policies, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.policies, self.today, self.stands = policies, today, policies.on(today)
        for name, label in LABELS.items():
            self.fields[name] = _whole(label, *_bounds(name))
        for switch in SWITCHES:
            self.fields[_OFF + switch] = forms.BooleanField(
                label=f"Do not check {switches()[switch]}",
                required=False,
                initial=not self.stands.checks(switch),
            )
        for name in (*LABELS, SUFFICES):
            self.fields[name].initial = getattr(self.stands, name)
            self.fields[name].help_text = self._hint(name)
        self.fields["begins"].initial = today

    def _hint(self, name: str) -> str:
        """What it is to begin with, and since when it is as it is."""
        since = since_words(self.policies, self.today, lambda one: getattr(one, name))
        if name == SUFFICES:
            stands = "on" if self.stands.screening_suffices else "off"
            return f"{_WEAKER} Off to begin with; {stands} {since}."
        return f"To begin with {number_words(name, getattr(policy(), name))}; as it is {since}."

    @property
    def lines(self) -> list[Line]:
        """Every rule in the order of the data; a switch stands beside the first that it turns."""
        seen: set[str] = set()
        found = []
        for rule in rules().values():
            first = rule.switch and rule.switch not in seen
            seen.add(rule.switch)
            numbers = tuple(self[name] for name in rule.numbers)
            switch = self[_OFF + rule.switch] if first else None
            off = bool(rule.switch) and not self.stands.checks(rule.switch)
            found.append(Line(rule, numbers, switch, off, self._stands(rule)))
        return found

    def _stands(self, rule: Rule) -> str:
        if not rule.switch:
            return ""
        since = since_words(self.policies, self.today, lambda one: one.checks(rule.switch))
        return f"{'Checked' if self.stands.checks(rule.switch) else 'Not checked'} {since}."

    @property
    def values(self) -> dict[str, Any]:
        """The whole policy as the action takes it, when the form is valid."""
        data = self.cleaned_data
        numbers = {name: data[name] for name in LABELS}
        off = [switch for switch in SWITCHES if data[_OFF + switch]]
        return {**numbers, SUFFICES: data[SUFFICES], "off": off}


def _bounds(name: str) -> tuple[int, int]:
    if name == "past_due_days":
        return PAST_DUE_DAYS[0], PAST_DUE_DAYS[-1]
    return LEAST_WEEKS.get(name, 1), MOST_WEEKS
