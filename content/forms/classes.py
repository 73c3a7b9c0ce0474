"""Forms of one class: what it is, giving it a day, publishing it, withdrawing it."""

from __future__ import annotations

from collections.abc import Collection
from datetime import date
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from coach.scheduling.values import SERVABLE_STAGES
from content.forms.fields import day_field
from content.models import FitnessClass, Focus, State
from content.queries import classes as queries
from content.rules import classes as rules
from content.rules import uploads as upload_rules
from content.rules.quiet import loud_words

ALL_STAGES = "all"
SERIES_LIST = "series-titles"
_WHEN = ("not_before", "not_after", "wanted_soon")
_STAGES = [(str(stage), stage.label) for stage in SERVABLE_STAGES]
_EFFORT = [(str(n), f"{n}, {words}") for n, words in enumerate(rules.EFFORT_WORDS)]
_MAKING = (State.IDEA, State.OUTLINED, State.FILMED, State.EDITED)
_STATE_WORDS = {
    State.IDEA: "an idea",
    State.OUTLINED: "outlined",
    State.FILMED: "filmed",
    State.EDITED: "edited: finished",
    State.SCHEDULED: "edited: finished, and it has its day",
    State.PUBLISHED: "published",
    State.WITHDRAWN: "withdrawn",
}


def _states(codes: Collection[str]) -> list[tuple[str, str]]:
    return [(code, _STATE_WORDS[State(code)]) for code in codes]


class ClassForm(forms.Form):
    """One class. Hours are typed as 2.5 or 2:30 and kept in minutes; no stage ticked is not known.

    `instance` is the class being changed, None for a new one.
    """

    title = forms.CharField(
        label="Title",
        max_length=160,
        error_messages={"required": "Give it a title, even a working one."},
    )
    state = forms.ChoiceField(
        label="How far it is",
        widget=forms.RadioSelect,
        error_messages={"required": "Say how far it is."},
    )
    published_on = day_field(
        "Published on", required=False, help_text="Only for a class that is out already."
    )
    focus = forms.ChoiceField(
        label="Focus",
        choices=[("", "Choose…"), *Focus.choices],
        error_messages={"required": "Choose what it mainly works on."},
    )
    minutes = forms.IntegerField(
        label="Length in minutes",
        min_value=1,
        max_value=240,
        error_messages={
            "required": "Give its length in whole minutes; a guess will do for an idea.",
            "invalid": "Give its length in whole minutes, such as 20.",
            "min_value": "At least one minute.",
            "max_value": "At most 240 minutes.",
        },
    )
    hours = forms.CharField(
        label="Hours still needed",
        max_length=20,
        required=False,
        help_text="To film and edit it, like 2.5 or 2:30. Nothing once it is finished.",
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    stages = forms.MultipleChoiceField(
        label="Stages it suits",
        required=False,
        choices=[(ALL_STAGES, rules.NO_STAGE_EXCLUDED), *_STAGES],
        widget=forms.CheckboxSelectMultiple,
        help_text="Weeks are counted from the end of the pregnancy. "
        "None ticked means not known: then it serves nobody in a plan.",
    )
    effort = forms.ChoiceField(
        label="Effort, 0 to 10",
        required=False,
        choices=[("", "not known"), *_EFFORT],
        help_text="How hard it feels at its hardest, by how well she could talk.",
    )
    series = forms.CharField(
        label="Series",
        max_length=120,
        required=False,
        help_text="A new title begins a new series.",
        widget=forms.TextInput(attrs={"list": SERIES_LIST, "autocomplete": "off"}),
    )
    part = forms.IntegerField(
        label="Part",
        min_value=1,
        max_value=999,
        required=False,
        help_text="Its place in the series.",
        error_messages=dict.fromkeys(
            ("invalid", "min_value"), "A part is a whole number: 1, 2, 3."
        ),
    )
    not_before = day_field("Not before", required=False)
    not_after = day_field("Not after", required=False)
    wanted_soon = forms.BooleanField(
        label="Wanted soon: a plan puts it early in the month", required=False
    )
    for_quiet = forms.ChoiceField(
        label="Nothing in it mentions or shows a baby, a bump or a birth",
        required=False,
        choices=[("", "not known"), ("yes", "yes"), ("no", "no")],
        help_text="A client whose pages are quiet is offered only classes with a yes here.",
    )
    note = forms.CharField(label="Note", required=False, widget=forms.Textarea(attrs={"rows": 3}))

    def __init__(
        self,
        *args: Any,
        today: date,
        instance: FitnessClass | None = None,
        uploaded: bool = False,
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        self.today, self.instance = today, instance
        codes: Collection[str] = (*_MAKING, State.PUBLISHED)
        if instance:
            codes = rules.states_to_choose(instance.state, uploaded=uploaded)
            del self.fields["published_on"]
        field = self.fields["state"]
        assert isinstance(field, forms.ChoiceField)  # declared above; fields is typed loosely
        field.choices = _states(codes)

    @staticmethod
    def initial_from(item: FitnessClass) -> dict[str, Any]:
        """What the form shows for a class."""
        everything = set(item.stages) >= {str(stage) for stage in SERVABLE_STAGES}
        return {
            "title": item.title,
            "state": item.state,
            "focus": item.focus,
            "minutes": item.minutes,
            "hours": rules.hours_to_type(item.minutes_of_work) if item.minutes_of_work else "",
            "stages": [ALL_STAGES] if everything else item.stages,
            "effort": "" if item.effort is None else str(item.effort),
            "series": item.series.title if item.series else "",
            "part": item.part,
            "not_before": item.not_before,
            "not_after": item.not_after,
            "wanted_soon": item.wanted_soon,
            "for_quiet": item.for_quiet,
            "note": item.note,
        }

    @staticmethod
    def initial_after(item: FitnessClass) -> dict[str, Any]:
        """Where the next one starts when several are typed in a row. Whom it suits and how hard
        it is are never taken over: those are answers about this one class."""
        return {
            "state": "" if item.state == State.PUBLISHED else item.state,
            "focus": item.focus,
            "hours": rules.hours_to_type(item.minutes_of_work) if item.minutes_of_work else "",
            "series": item.series.title if item.series else "",
            "part": queries.next_part(item),
        }

    def clean_title(self) -> str:
        return " ".join(self.cleaned_data["title"].split())

    def clean_hours(self) -> int:
        """In minutes."""
        typed = self.cleaned_data["hours"].strip()
        try:
            return rules.minutes_from_hours(typed) if typed else 0
        except ValueError as wrong:
            raise ValidationError(str(wrong)) from wrong

    def clean_stages(self) -> list[str]:
        ticked = self.cleaned_data["stages"]
        if ALL_STAGES not in ticked:
            return rules.in_order(ticked)
        if len(ticked) > 1:
            raise ValidationError(
                f"Tick either “{rules.NO_STAGE_EXCLUDED}” or the stages themselves, not both."
            )
        return [str(stage) for stage in SERVABLE_STAGES]

    def clean_effort(self) -> int | None:
        return int(self.cleaned_data["effort"]) if self.cleaned_data["effort"] else None

    def clean(self) -> None:
        given = self.cleaned_data
        self._check_quiet(given.get("for_quiet", ""), given.get("title", ""))
        self._check_hours(given)
        self._check_series(given.get("series", ""), given.get("part"))
        self._check_days(given.get("not_before"), given.get("not_after"))
        if "published_on" in self.fields:
            self._check_published(given.get("state"), given.get("published_on"))

    def _check_quiet(self, for_quiet: str, title: str) -> None:
        """A yes against words of the title; those of a description are told of on its page."""
        if for_quiet == "yes" and (loud := loud_words(title)):
            words = " and ".join(f"“{word}”" for word in loud)
            self.add_error("for_quiet", f"The title says {words}: change it, or say no.")

    def _check_hours(self, given: dict[str, Any]) -> None:
        if given.get("state") in rules.TO_BE_MADE and given.get("hours") == 0:
            self.add_error("hours", "Say how many hours it still needs; a guess will do.")

    def _check_series(self, series: str, part: int | None) -> None:
        if series and part is None and "part" not in self.errors:
            self.add_error("part", "Which part of the series is it?")
        elif part is not None and not series and "series" not in self.errors:
            self.add_error("series", "Name the series this is a part of, or clear the part.")
        elif series and part is not None:
            besides = self.instance.pk if self.instance else None
            if holder := queries.holder_of_part(series, part, besides=besides):
                self.add_error("part", f"Part {part} is already “{holder}”.")

    def _check_days(self, first: date | None, last: date | None) -> None:
        if first and last and last < first:
            words = upload_rules.day_in_words(first)
            self.add_error("not_after", f"That is before {words}, the first day it may come out.")

    def _check_published(self, state: str | None, day: date | None) -> None:
        if state is None or "published_on" in self.errors:
            return
        if state == State.PUBLISHED and day is None:
            self.add_error("published_on", "Say which day it was published.")
        elif state != State.PUBLISHED and day is not None:
            self.add_error("published_on", "Clear the day, or choose “published” above.")
        elif day and day > self.today:
            words = upload_rules.day_in_words(day)
            self.add_error("published_on", f"{words} has not come yet.")

    def values(self) -> dict[str, Any]:
        """The arguments of the actions."""
        given = dict(self.cleaned_data)
        same = ("title", "state", "focus", "minutes", "note", "for_quiet", *_WHEN)
        return {
            **{name: given[name] for name in same},
            "effort": given["effort"],
            "stages": given["stages"],
            "minutes_of_work": given["hours"],
            "series_title": given["series"],
            "part": given["part"],
            **({"published_on": given["published_on"]} if "published_on" in given else {}),
        }


class PublishForm(forms.Form):
    """The day it came out; today unless said otherwise."""

    published_day = day_field(
        "Published on", error_messages={"required": "Say which day it was published."}
    )


class PlaceForm(forms.Form):
    """The day it is to come out."""

    upload_day = day_field("Upload on", error_messages={"required": "Choose a day."})


class WithdrawForm(forms.Form):
    """Why a class goes out of use."""

    reason = forms.CharField(
        label="Why it is withdrawn",
        max_length=300,
        help_text="Kept in the audit trail.",
        error_messages={"required": "Say why, in a few words."},
    )
    to_know = forms.CharField(
        label="What those should know who have it",
        max_length=2000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
    )


class CorrectionForm(forms.Form):
    """What was put right about a class that is out."""

    put_right = forms.CharField(
        label="What was wrong",
        max_length=300,
        help_text="Such as: the option on the side is not shown.",
        error_messages={"required": "Say what was wrong, in a few words."},
    )
    note = forms.CharField(
        label="What was done, and what those should know who have it",
        max_length=2000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
    )
