"""The form of what the practice has chosen about measuring, readiness and reassessment."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django import forms
from django.forms.boundfield import BoundField, BoundWidget

from clients.forms.fields import RefusableForm, radios, text_field
from clients.rules.assessment import MOST_TEST
from clients.rules.impact_tests import LOAD, STRENGTH, impact_tests
from clients.rules.measuring import Site, scheme
from clients.rules.measuring_policy import MOST_SITES, Measuring
from clients.rules.measuring_policy_words import BOUNDS, LABELS, wrong_words
from clients.rules.readiness_policy import ReadinessPolicy, policies
from coach.scheduling.reassessment import policy as reassessment_policy
from coach.scheduling.reassessment import rules_with
from coach.scheduling.reassessment.rules import COMMON

_AMOUNT, _REASSESS = "amount-", "reassess-"
_NUMBERS = tuple(BOUNDS)
_NOTHING = ("", "nothing chosen beforehand")


@dataclass(frozen=True, slots=True)
class SiteLine:
    """A site with its own tick."""

    site: Site
    tick: BoundWidget


@dataclass(frozen=True, slots=True)
class Amounts:
    """The tests of one kind, with where what is published of them is from."""

    title: str
    source: str
    fields: tuple[BoundField, ...]


@dataclass(frozen=True, slots=True)
class PolicyLine:
    """A policy of a return to impact with what it says, and its own radio."""

    policy: ReadinessPolicy
    radio: BoundWidget


def _whole(label: str, least: int, most: int, hint: str) -> forms.IntegerField:
    return forms.IntegerField(
        label=label,
        min_value=least,
        max_value=most,
        help_text=hint,
        error_messages={
            "required": "Write a whole number.",
            "invalid": "Write a whole number.",
            "min_value": f"Not under {least}.",
            "max_value": f"Not over {most}.",
        },
    )


class MeasuringForm(RefusableForm):
    """Every choice as it stands; what is sent takes the place of all of them."""

    sites = forms.MultipleChoiceField(
        label=LABELS["sites"],
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": wrong_words("sites")},
    )
    method = radios(LABELS["method"], (), required=False)
    position = radios(LABELS["position"], (), required=False)
    readiness = radios(LABELS["readiness"], (), missing=wrong_words("readiness"))
    reason = text_field(
        "Why", longest=500, required=True, missing="Say why: it stays beside the choice.", rows=2
    )

    def __init__(self, *args: Any, stands: Measuring, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.stands, self.usual = stands, Measuring()
        known = scheme()
        self.choose_from("sites", [(one.code, one.words) for one in known.sites.values()])
        methods = [(one.code, one.words) for one in known.methods.values()]
        self.choose_from("method", [_NOTHING, *methods])
        self.choose_from("position", [_NOTHING, *known.positions.items()])
        self.choose_from("readiness", [(one.code, one.title) for one in policies().values()])
        for name in ("sites", "method", "position", "readiness"):
            self.fields[name].initial = getattr(stands, name)
        self._numbers()

    def _numbers(self) -> None:
        """Fields of the numbers, of each test and of each rule of reassessment."""
        for name in _NUMBERS:
            hint = f"To begin with {getattr(self.usual, name)}."
            self._add(name, LABELS[name], BOUNDS[name], hint, getattr(self.stands, name))
        for code, test in impact_tests().items():
            hint = f"Published: {test.asks}."
            amount = self.stands.amounts.get(code, test.amount)
            self._add(_AMOUNT + code, f"{test.words}, {test.unit}", (1, MOST_TEST), hint, amount)
        now = rules_with(self.stands.reassessment).adjustable
        for name, one in reassessment_policy().adjustable.items():
            source = "" if one.source == COMMON else f" Source: {one.source}"
            hint = f"To begin with {one.value}.{source}"
            bounds = (one.least, one.most)
            self._add(_REASSESS + name, one.words, bounds, hint, now[name].value)

    def _add(self, name: str, label: str, bounds: tuple[int, int], hint: str, initial: int) -> None:
        self.fields[name] = _whole(label, *bounds, hint)
        self.fields[name].initial = initial

    def clean_sites(self) -> list[str]:
        """As many as an assessment has room for, from above to below."""
        chosen = self.cleaned_data["sites"]
        if len(chosen) > MOST_SITES:
            raise forms.ValidationError(wrong_words("sites"))
        return [code for code in scheme().sites if code in chosen]

    @property
    def site_lines(self) -> list[SiteLine]:
        """Every site with its tick and its source."""
        ticks = list(self["sites"])
        sites = scheme().sites.values()
        return [SiteLine(site, tick) for site, tick in zip(sites, ticks, strict=True)]

    @property
    def policy_lines(self) -> list[PolicyLine]:
        """Every policy with its radio, what it says and its source."""
        radios_of = list(self["readiness"])
        found = policies().values()
        return [PolicyLine(one, radio) for one, radio in zip(found, radios_of, strict=True)]

    @property
    def amounts(self) -> list[Amounts]:
        """What is asked in each test, by kind."""
        return [self._amounts_of(LOAD, "Tests of load"), self._amounts_of(STRENGTH, "Strength")]

    def _amounts_of(self, kind: str, title: str) -> Amounts:
        tests = [one for one in impact_tests().values() if one.kind == kind]
        sources = dict.fromkeys(one.source for one in tests)
        fields = tuple(self[_AMOUNT + one.code] for one in tests)
        return Amounts(title, "; ".join(sources), fields)

    @property
    def reassessment(self) -> list[BoundField]:
        """When she is seen again, rule by rule."""
        return [self[_REASSESS + name] for name in reassessment_policy().adjustable]

    @property
    def values(self) -> dict[str, Any]:
        """All the choices as the action takes them, when the form is valid."""
        data = self.cleaned_data
        whole = {name: data[name] for name in ("sites", "method", "position", "readiness")}
        numbers = {name: data[name] for name in _NUMBERS}
        amounts = {code: one.amount for code, one in impact_tests().items()}
        again = {name: one.value for name, one in reassessment_policy().adjustable.items()}
        return {
            **whole,
            **numbers,
            "amounts": _other_than(amounts, data, _AMOUNT),
            "reassessment": _other_than(again, data, _REASSESS),
        }


def _other_than(usual: Mapping[str, int], data: Mapping[str, Any], prefix: str) -> dict[str, int]:
    return {name: data[prefix + name] for name in usual if data[prefix + name] != usual[name]}
