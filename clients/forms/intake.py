"""The steps of the form that a client fills in from her link: contact, place, dates, what was.

Each takes what was typed, may be left half done, and tells (`told`) what it came to, as values
that can be stored. Field names are neutral, because a quiet client's page holds them.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from clients.forms.fields import day_field, number_field, radios, text_field
from clients.rules.dating import LAST_PERIOD, SCAN
from clients.rules.intake_words import DATED, asked
from clients.rules.pregnancies import LONGEST_AGO_DAYS, MOST_BABIES, PregnancyFacts, problems
from coach.practice.places import zone_choices
from coach.scheduling.dates import due_from_last_period

_PHONE = re.compile(r"\+?[0-9 ()./-]{2,39}")
OLDEST_YEARS = 100
_NOT_COME = "That day has not come yet."


def _line(label: str, fill: str, **kwargs: Any) -> forms.CharField:
    """A line of text that her own browser may fill in for her."""
    kind = kwargs.pop("kind", "text")
    widget = forms.TextInput(attrs={"type": kind, "autocomplete": fill})
    return forms.CharField(label=label, widget=widget, **{"max_length": 120, **kwargs})


class AgeForm(forms.Form):
    """The first question. Under 18 is not an error: what follows is decided elsewhere."""

    age_from = day_field(
        "", required=True, missing="Write that day.", attrs={"autocomplete": "bday"}
    )

    def __init__(self, *args: Any, today: date, quiet: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = today
        self.fields["age_from"].label = asked(quiet).age

    def clean_age_from(self) -> date:
        day: date = self.cleaned_data["age_from"]
        if day >= self.today:
            raise ValidationError(_NOT_COME)
        if self.today.year - day.year > OLDEST_YEARS:
            raise ValidationError("That is over 100 years ago: check the year.")
        return day


class StepForm(forms.Form):
    """One screen. `told` holds what it came to once it is valid."""

    def __init__(self, *args: Any, today: date, quiet: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today, self.quiet = today, quiet
        self.words = asked(quiet)

    @property
    def told(self) -> dict[str, Any]:
        """What was answered, without what was left open; days as text."""
        found = {name: _plain(value) for name, value in self.cleaned_data.items()}
        return {name: value for name, value in found.items() if value not in (None, "")}


def _plain(value: Any) -> Any:
    if isinstance(value, date):
        return value.isoformat()
    return " ".join(value.split()) if isinstance(value, str) else value


class YouForm(StepForm):
    """Who she is, how to reach her, and which clock is hers."""

    name = _line("Your name", "name", error_messages={"required": "Write your name."})
    email = forms.EmailField(
        label="E-mail",
        required=False,
        error_messages={"invalid": "Write an address like una@example.org."},
        widget=forms.EmailInput(attrs={"autocomplete": "email"}),
    )
    phone = _line(
        "Telephone",
        "tel",
        kind="tel",
        required=False,
        max_length=40,
        help_text="With the country’s code, like +353 86 123 4567.",
    )
    time_zone = forms.ChoiceField(
        label="The city whose clock is yours",
        error_messages={"required": "Choose the nearest city in your time zone."},
        widget=forms.Select(attrs={"data-own-zone": ""}),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["time_zone"].choices = [("", "Choose…"), *zone_choices()]  # type: ignore[attr-defined]  # a ChoiceField's

    def clean_phone(self) -> str:
        phone = " ".join(self.cleaned_data["phone"].split())
        if phone and not _PHONE.fullmatch(phone):
            raise ValidationError("Write digits and spaces, like +353 86 123 4567.")
        return phone

    def clean(self) -> dict[str, Any]:
        data = self.cleaned_data
        if not data.get("email") and not data.get("phone") and not self.errors:
            raise ValidationError({"email": "Write an e-mail address or a telephone number."})
        return data


class PlaceForm(StepForm):
    """Where help would have to come."""

    trains_at = text_field(
        "Where you will train",
        longest=300,
        rows=3,
        hint="The address as an ambulance would need it: house, street, place, which door.",
    )
    emergency_number = _line(
        "Emergency number there",
        "off",
        kind="tel",
        required=False,
        max_length=20,
        help_text="The one you would ring, like 112, 999, 911 or 000.",
    )
    emergency_contact = _line(
        "Whom to ring if something happens to you",
        "off",
        required=False,
        help_text="A name, and who they are to you.",
    )
    emergency_phone = _line("Their telephone", "off", kind="tel", required=False, max_length=40)

    def clean_emergency_number(self) -> str:
        return self._number("emergency_number")

    def clean_emergency_phone(self) -> str:
        return self._number("emergency_phone")

    def _number(self, name: str) -> str:
        number = " ".join(self.cleaned_data[name].split())
        if number and not _PHONE.fullmatch(number):
            raise ValidationError("Write digits and spaces only.")
        return number


class NowForm(StepForm):
    """Which questions are hers."""

    situation = radios("", (), missing="Choose one; “I’d rather tell my coach” is an answer too.")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field = self.fields["situation"]
        field.label = "Which is true for you now?"
        field.choices = self.words.situations  # type: ignore[attr-defined]  # a ChoiceField's


class DatesForm(StepForm):
    """When 40 weeks are reached and how that is known, or the day to count it from."""

    day = day_field("")
    dated_by = forms.ChoiceField(
        label="How do you know that day?",
        required=False,
        choices=[("", "I don’t know"), *DATED],
    )
    scan_day = day_field("Day of the scan", hint="Only if it is from a scan.")
    period_day = day_field(
        "First day of your last period",
        hint="Only if nobody has told you a day: it is counted from this.",
    )
    how_many = number_field("", least=1, most=MOST_BABIES, hint="Leave it empty if you don’t know.")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["day"].label = self.words.day
        self.fields["how_many"].label = self.words.how_many

    def clean(self) -> dict[str, Any]:
        """Count the day where only the period is known; a day that cannot be is said."""
        data = self.cleaned_data
        for name in ("scan_day", "period_day"):
            if data.get(name) and data[name] > self.today:
                self.add_error(name, _NOT_COME)
        if not data.get("day") and data.get("period_day") and "period_day" not in self.errors:
            data["day"] = due_from_last_period(data["period_day"])
            data["dated_by"] = LAST_PERIOD
        if data.get("dated_by") != SCAN:
            data["scan_day"] = None
        for problem in problems(PregnancyFacts(due=data.get("day")), others=[], today=self.today):
            self.add_error("day", problem.sentence)
        return data


class ConsentForm(StepForm):
    """A box for each purpose, none ticked beforehand."""

    def __init__(self, *args: Any, purposes: Mapping[str, tuple[str, str]], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for code, (title, words) in purposes.items():
            self.fields[code] = forms.BooleanField(label=title, required=False, help_text=words)


ANSWERS = (("yes", "yes"), ("no", "no"), ("unsure", "I don’t know"))
MISSING_ANSWER = "No answer yet."


class QuestionsForm(StepForm):
    """Health questions: yes, no or “I don’t know”, nothing chosen beforehand.

    `questions`: code and words. An open one is pointed out once; then she may go on without.
    """

    def __init__(
        self, *args: Any, questions: Mapping[str, str], may_be_open: bool = True, **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        missing = MISSING_ANSWER
        for code, words in questions.items():
            self.fields[code] = radios(words, ANSWERS, required=not may_be_open, missing=missing)

    @property
    def only_open(self) -> bool:
        """Whether nothing is wrong but that questions are open."""
        found = [error for errors in self.errors.values() for error in errors]
        return bool(found) and set(found) == {MISSING_ANSWER}


class LetterForm(StepForm):
    """The letter, as a photo or PDF; what it is told by its bytes, elsewhere."""

    letter = forms.FileField(
        label="The letter",
        required=False,
        allow_empty_file=True,
        help_text="A photo or a PDF, up to 10 MB. Where a photo was taken is not kept.",
        widget=forms.FileInput(attrs={"accept": "image/*,application/pdf"}),
    )


def ago_problem(day: date | None, today: date) -> str:
    """What is wrong with a day on which something ended; empty for nothing."""
    if day and day > today:
        return _NOT_COME
    if day and (today - day).days > LONGEST_AGO_DAYS:
        return "That is over 40 years ago: check the year."
    return ""
