"""Forms of a pregnancy: they ask only what the answer so far makes sense of.

Every field is always in the form; those that the answers so far leave open are hidden and keep
what was typed. Codes and names are neutral, because a quiet client's page holds them too.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.forms.boundfield import BoundField

from clients.forms.fields import day_field
from clients.rules.dating import METHODS, SCAN, work_out_due
from clients.rules.pregnancies import MODES, MOST_BABIES, PregnancyFacts, Problem
from clients.rules.words import (
    CARRYING,
    DELIVERED,
    LOST,
    words_for,
    worked_out,
)
from coach.scheduling.dates import Ending, GestationalAge

NOT_KNOWN, AS_IT_STANDS = "not-known", "as-it-stands"
_ENDINGS = {DELIVERED: Ending.BIRTH, LOST: Ending.LOSS}
_STEP = {"hx-post": "", "hx-vals": '{"step": "1"}', "hx-sync": "closest form:replace"}
# Choosing changes which fields there are; a day typed only changes the sentence beneath.
_REDRAW = {**_STEP, "hx-target": "#dating", "hx-swap": "outerHTML", "hx-trigger": "change"}
_RECKON = {**_STEP, "hx-target": "#worked-out", "hx-swap": "outerHTML"}


def _number() -> forms.IntegerField:
    return forms.IntegerField(
        required=False,
        min_value=1,
        max_value=MOST_BABIES,
        error_messages={"invalid": "Write a whole number."},
    )


class PregnancyForm(forms.Form):
    """A pregnancy of a client who is there: running, or over."""

    situation = forms.ChoiceField(
        widget=forms.RadioSelect(attrs=_REDRAW),
        error_messages={"required": "Choose one: nothing else can be asked before."},
    )
    ended = day_field("")
    mode = forms.ChoiceField(
        required=False, choices=[("", "not known"), *MODES.items()], widget=forms.Select
    )
    count = _number()
    dated_by = forms.ChoiceField(required=False, widget=forms.Select(attrs=_REDRAW))
    day = day_field("Day", attrs={**_RECKON, "hx-trigger": "change delay:300ms"})
    age = forms.CharField(
        label="What the scan said",
        required=False,
        max_length=20,
        help_text="Weeks and days on that day, like 12w3d.",
        widget=forms.TextInput(
            attrs={"autocomplete": "off", **_RECKON, "hx-trigger": "input changed delay:400ms"}
        ),
    )
    how_many = _number()

    def __init__(
        self, *args: Any, today: date, quiet: bool = False, kept: PregnancyFacts | None = None,
        **kwargs: Any,
    ) -> None:  # fmt: skip
        super().__init__(*args, **kwargs)
        self.today, self.quiet, self.kept = today, quiet, kept
        self.facts: PregnancyFacts | None = None
        self._name_things()

    def _name_things(self) -> None:
        words, fields = words_for(self.quiet), self.fields
        fields["situation"].label = "Where she is"
        self._choices("situation", self.situations())
        self._choices("dated_by", self.methods())
        fields["ended"].label = words.ended_after if self.so_far == DELIVERED else words.ended
        fields["mode"].label, fields["count"].label = words.mode, words.born
        fields["dated_by"].label, fields["how_many"].label = words.dated, words.expected
        if method := METHODS.get(self.method):
            fields["day"].label = method.day or words.due

    def _choices(self, name: str, choices: Iterable[tuple[str, str]]) -> None:
        self.fields[name].choices = list(choices)  # type: ignore[attr-defined]  # a ChoiceField's

    def situations(self) -> Iterable[tuple[str, str]]:
        """What can be chosen first."""
        return words_for(self.quiet).situations

    def methods(self) -> Iterable[tuple[str, str]]:
        """How the due date can be known; for a pregnancy that is over nothing need be."""
        known = [(code, method.label) for code, method in METHODS.items()]
        if self.so_far == CARRYING:
            return [("", "Choose…"), *known, (NOT_KNOWN, "it is not known yet")]
        return [(NOT_KNOWN, "not known"), *known]

    def _typed(self, name: str) -> Any:
        value = self.data.get(name) if self.is_bound else self.initial.get(name)
        return "" if value is None else value

    @property
    def so_far(self) -> str:
        """The answer to the first question so far."""
        return str(self._typed("situation"))

    @property
    def method(self) -> str:
        """How the date is known, so far."""
        return str(self._typed("dated_by"))

    def _names(self) -> list[str]:
        """The fields that are asked, in their order."""
        names = {
            CARRYING: ["situation", "dated_by"],
            DELIVERED: ["situation", "ended", "mode", "count", "dated_by"],
            LOST: ["situation", "ended", "dated_by"],
        }.get(self.so_far, ["situation"])
        if len(names) > 1 and self.method in METHODS:
            names += ["day", "age"] if self.method == SCAN else ["day"]
        return [*names, "how_many"] if self.so_far == CARRYING else names

    @property
    def shown(self) -> list[BoundField]:
        """What is asked before the sentence about the due date."""
        return [self[name] for name in self._names() if name != "how_many"]

    @property
    def shown_after(self) -> list[BoundField]:
        """What is asked after it."""
        return [self[name] for name in self._names() if name == "how_many"]

    @property
    def unseen(self) -> list[tuple[str, str]]:
        """Names and values of what is not asked now, kept in case it is again."""
        names = (name for name in self.fields if name not in self._names())
        return [(name, str(self[name].value() or "")) for name in names]

    @property
    def worked_out(self) -> str:
        """What the day typed comes to; empty while it cannot be told."""
        try:
            due = self._due()
        except ValidationError:
            return ""
        if due is None or not self.so_far or self.method not in METHODS:
            return ""
        today = self.today if self.so_far == CARRYING else None
        return worked_out(due, today, quiet=self.quiet)

    def _due(self) -> date | None:
        """The due date by what was typed; a ValidationError names the field that is wrong."""
        if self.method == AS_IT_STANDS and self.kept:
            return self.kept.due
        if self.method not in METHODS:
            return None
        day = self._cleaned("day")
        if day is None:
            raise ValidationError({"day": "Write that day."})
        try:
            return work_out_due(self.method, day, self._age())
        except ValueError as wrong:
            raise ValidationError({"day": str(wrong)}) from None

    def _age(self) -> GestationalAge | None:
        if self.method != SCAN:
            return None
        try:
            return GestationalAge.parse(str(self._typed("age")))
        except ValueError as wrong:
            raise ValidationError({"age": str(wrong)}) from None

    def _cleaned(self, name: str) -> Any:
        try:
            return self.fields[name].clean(self._typed(name))
        except ValidationError as wrong:
            raise ValidationError({name: wrong.messages}) from None

    def clean(self) -> dict[str, Any]:
        """Put the facts together; what is not asked is left out, whatever stands in it."""
        data = self.cleaned_data
        for name in set(self.errors) - set(self._names()):
            del self.errors[name]
        if not self.so_far or self.errors:
            return data
        if self.so_far == CARRYING and not self.method:
            raise ValidationError({"dated_by": "Choose how it is known, or that it is not."})
        if self.so_far != CARRYING and not data.get("ended"):
            raise ValidationError({"ended": "Say on which day."})
        self.facts = self._facts(self._due(), data)
        return data

    def _facts(self, due: date | None, data: dict[str, Any]) -> PregnancyFacts:
        kept = self.kept if self.method == AS_IT_STANDS else None
        dated_by = kept.dated_by if kept else self.method if due else ""
        delivered = self.so_far == DELIVERED
        earlier = self.kept.expected if self.kept else 1
        return PregnancyFacts(
            due=due,
            dated_by=dated_by,
            expected=data.get("how_many") or earlier,
            ended=None if self.so_far == CARRYING else data.get("ended"),
            ending=str(_ENDINGS.get(self.so_far, "")),
            birth_mode=data.get("mode", "") if delivered else "",
            born=data.get("count") if delivered else None,
        )

    def refuse(self, problems: Iterable[Problem]) -> None:
        """Put what the rules found beside the fields that it is about."""
        places = {"due": "day", "ending": "situation", "birth_mode": "mode", "born": "count"}
        for problem in problems:
            wanted = places.get(problem.field, problem.field)
            last = "dated_by" if "dated_by" in self._names() else "situation"
            self.add_error(wanted if wanted in self._names() else last, problem.sentence)


class FirstPregnancyForm(PregnancyForm):
    """Beside a new client: nothing need be known yet."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["situation"].required = False

    def situations(self) -> Iterable[tuple[str, str]]:
        """With an answer for "I will add that later"."""
        return [*super().situations(), ("", "not recorded yet")]
