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

from clients.forms.fields import RefusableForm, day_field, text_field
from clients.rules.dating import METHODS, SCAN, work_out_due
from clients.rules.pregnancies import (
    MODES,
    MOST_BABIES,
    SURGICAL,
    TEARS,
    PregnancyFacts,
    Problem,
)
from clients.rules.redating import Redating
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
RECKON = {
    **_STEP,
    "hx-target": "#worked-out",
    "hx-swap": "outerHTML",
    "hx-trigger": "change delay:300ms",
}
# The fields of one kind of end, by the facts that they hold; the rules refuse them of another.
_OF_A_BIRTH = {"birth_mode": "mode", "born": "count", "tear": "tear", "wound": "wound"}
_OF_A_LOSS = {"gestation": "weeks", "surgical": "surgery"}
OF_THE_END = {**_OF_A_BIRTH, **_OF_A_LOSS}
_FIELDS = {"due": "day", "ending": "situation", "expected": "how_many", **OF_THE_END}


def _one_of(choices: dict[str, str], label: str = "") -> forms.ChoiceField:
    answers = [("", "not known"), *choices.items()]
    return forms.ChoiceField(label=label, required=False, choices=answers, widget=forms.Select)


def _number() -> forms.IntegerField:
    return forms.IntegerField(
        required=False,
        min_value=1,
        max_value=MOST_BABIES,
        error_messages={"invalid": "Write a whole number."},
    )


class PregnancyForm(RefusableForm):
    """A pregnancy of a client who is there: running, or over."""

    situation = forms.ChoiceField(
        widget=forms.RadioSelect(attrs=_REDRAW),
        error_messages={"required": "Choose one: nothing else can be asked before."},
    )
    ended = day_field("")
    mode = _one_of(MODES)
    count = _number()
    tear = _one_of(TEARS, "Tear or cut")
    wound = text_field("How the wound heals", longest=500, rows=2, hint="As she told you.")
    weeks = text_field("After how many weeks", longest=10, hint="As told, like 9w0d.")
    surgery = _one_of(SURGICAL, "An operation")
    dated_by = forms.ChoiceField(required=False, widget=forms.Select(attrs=_REDRAW))
    day = day_field("Day", attrs=RECKON)
    age = forms.CharField(
        label="What the scan said",
        required=False,
        max_length=20,
        help_text="Weeks and days on that day, like 12w3d.",
        widget=forms.TextInput(
            attrs={"autocomplete": "off", **RECKON, "hx-trigger": "input changed delay:400ms"}
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
        self.choose_from("situation", self.situations())
        self.choose_from("dated_by", self.methods())
        fields["ended"].label = words.ended_after if self.so_far == DELIVERED else words.ended
        fields["mode"].label, fields["count"].label = words.mode, words.born
        fields["dated_by"].label, fields["how_many"].label = words.dated, words.expected
        if method := METHODS.get(self.method):
            fields["day"].label = method.day or words.due

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
            DELIVERED: ["situation", "ended", *_OF_A_BIRTH.values(), "dated_by"],
            LOST: ["situation", "ended", *_OF_A_LOSS.values(), "dated_by"],
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

    @property
    def redating(self) -> Redating | None:
        """What the date typed comes to beside the one kept; nothing where none is."""
        return None

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

    def clean_weeks(self) -> str:
        """Weeks and days in one way of writing; what she does not know is left empty."""
        text: str = self.cleaned_data["weeks"]
        try:
            return str(GestationalAge.parse(text)) if text else ""
        except ValueError:
            raise ValidationError("Write weeks and days, like 9w0d.") from None

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
        asked = {DELIVERED: _OF_A_BIRTH, LOST: _OF_A_LOSS}.get(self.so_far, {})
        of_the_end: dict[str, Any] = {fact: data.get(name) for fact, name in asked.items()}
        earlier = self.kept.expected if self.kept else 1
        return PregnancyFacts(
            due=due,
            dated_by=dated_by,
            expected=data.get("how_many") or earlier,
            ended=None if self.so_far == CARRYING else data.get("ended"),
            ending=str(_ENDINGS.get(self.so_far, "")),
            **of_the_end,
        )

    def refuse(self, problems: Iterable[Problem]) -> None:
        """Put what the rules found beside the fields that it is about."""
        for problem in problems:
            wanted = _FIELDS.get(problem.field, problem.field)
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
