"""The form of her wishes: the rhythm, the making of classes, and what a plan should do."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import Any

from django import forms
from django.forms.boundfield import BoundField

from coach.scheduling.planner.words import count, number
from content.models import Enquiries, Focus, Preference, Rhythm, Wishes
from content.rules.classes import hours_to_type, minutes_from_hours
from content.rules.months import WEEKDAYS, most_days_between
from content.rules.preferences import MOST_PER_CENT, USUAL, WISHES

_DAYS = [(str(n), name) for n, name in enumerate(WEEKDAYS)]
_MOST_MINUTES_A_WEEK = 100 * 60
_MOST_LEAD, _MOST_SCHEDULE = 120, 60
_STEP = 25  # per cent; of a slider

# The steps from first to last: each is done so many days before the class comes out.
_LEADS = {
    "lead_outline": "outlined",
    "lead_film": "filmed",
    "lead_edit": "edited",
    "lead_captions": "captioned",
    "lead_days": "finished",
}


def _days_of_week(label: str, **options: Any) -> forms.MultipleChoiceField:
    return forms.MultipleChoiceField(
        label=label,
        choices=_DAYS,
        required=False,
        widget=forms.CheckboxSelectMultiple,
        **options,
    )


def _whole(label: str, least: int, most: int, **options: Any) -> forms.IntegerField:
    said = {
        "required": "Give a whole number.",
        "invalid": "A whole number, such as 2.",
        "min_value": f"At least {least}.",
        "max_value": f"At most {most}.",
    }
    return forms.IntegerField(
        label=label, min_value=least, max_value=most, error_messages=said, **options
    )


class WishesForm(forms.Form):
    """How she wants to publish. Of the two rhythms only the one chosen has to be filled in."""

    rhythm = forms.ChoiceField(
        label="Publish", choices=Rhythm.choices, widget=forms.RadioSelect, required=False
    )
    weekdays = _days_of_week("On these weekdays")
    a_week = _whole("So many a week", 1, 7, required=False)
    gap_days = _whole(
        "Days from one to the next, at least",
        1,
        60,
        required=False,
        help_text="1: on the next day at the earliest. 2: a day free between.",
    )
    publish_at = forms.TimeField(
        label="At",
        required=False,
        widget=forms.TimeInput(format="%H:%M", attrs={"type": "time"}),
        help_text="Told in your calendar. Empty: no time of day.",
        error_messages={"invalid": "A time of day, such as 07:30."},
    )
    hours_a_week = forms.CharField(
        label="Hours a week for making classes",
        max_length=10,
        help_text="Outlining, filming and editing together. Like 8 or 7:30.",
    )
    film_weekdays = _days_of_week(
        "Film on", help_text="None ticked: a plan doesn’t ask when you film."
    )
    films_a_day = _whole("Classes on one filming day", 1, 20, required=False)
    lead_outline = _whole("Outlined", 0, _MOST_LEAD, required=False)
    lead_film = _whole("Filmed", 0, _MOST_LEAD, required=False)
    lead_edit = _whole("Edited", 0, _MOST_LEAD, required=False)
    lead_captions = _whole("Captioned", 0, _MOST_LEAD, required=False)
    lead_days = _whole("Finished", 0, _MOST_SCHEDULE)
    serve_every_weeks = _whole(
        "Every stage gets a class at least every so many weeks", 1, 12, required=False
    )
    enquiries = forms.ChoiceField(
        label="Open enquiries count",
        choices=Enquiries.choices,
        widget=forms.RadioSelect,
        required=False,
    )
    preference = forms.ChoiceField(
        label="What matters more", choices=Preference.choices, widget=forms.RadioSelect
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, label in WISHES.items():
            self.fields[f"slider_{name}"] = _slider(label)
        for focus, label in Focus.choices:
            self.fields[f"mix_{focus.replace(' ', '_')}"] = _whole(
                label.capitalize(), 0, 100, required=False
            )

    @staticmethod
    def initial_from(wishes: Wishes) -> dict[str, Any]:
        """What the form shows for her wishes so far."""
        same = (
            *("rhythm", "a_week", "gap_days", "publish_at", "films_a_day", "serve_every_weeks"),
            *("enquiries", "preference", *_LEADS),
        )
        sliders = {f"slider_{name}": wishes.sliders.get(name, USUAL) for name in WISHES}
        mix = {f"mix_{name.replace(' ', '_')}": share for name, share in wishes.mix.items()}
        return {
            **{name: getattr(wishes, name) for name in same},
            "weekdays": [str(day) for day in wishes.weekdays],
            "film_weekdays": [str(day) for day in wishes.film_weekdays],
            "hours_a_week": hours_to_type(wishes.minutes_a_week),
            **sliders,
            **mix,
        }

    @property
    def leads(self) -> list[BoundField]:
        """The days before publishing, from the first step to the last."""
        return [self[name] for name in _LEADS]

    @property
    def sliders(self) -> list[BoundField]:
        return [self[f"slider_{name}"] for name in WISHES]

    @property
    def mix(self) -> list[BoundField]:
        return [self[name] for name in self.fields if name.startswith("mix_")]

    @property
    def is_tuned(self) -> bool:
        """Whether what is asked more precisely is used, or wrong: then it stands open."""
        more = [*self.sliders, *self.mix]
        usual = {None, "", USUAL, str(USUAL)}
        return any(field.errors or field.value() not in usual for field in more)

    def clean_weekdays(self) -> list[int]:
        return sorted(int(day) for day in self.cleaned_data["weekdays"])

    def clean_film_weekdays(self) -> list[int]:
        return sorted(int(day) for day in self.cleaned_data["film_weekdays"])

    def clean_hours_a_week(self) -> int:
        try:
            minutes = minutes_from_hours(self.cleaned_data["hours_a_week"])
        except ValueError as error:
            raise forms.ValidationError(str(error)) from None
        if minutes > _MOST_MINUTES_A_WEEK:
            raise forms.ValidationError("At most 100 hours.")
        return minutes

    def clean(self) -> None:
        if self.cleaned_data.get("rhythm") == Rhythm.A_WEEK:
            self._check_a_week()
        elif not self.cleaned_data.get("weekdays") and "weekdays" not in self.errors:
            self.add_error("weekdays", "Choose at least one day of the week.")
        self._check_leads()
        self._check_mix()

    def _check_a_week(self) -> None:
        many, gap = self._given("a_week"), self._given("gap_days")
        if many is None and "a_week" not in self.errors:
            self.add_error("a_week", "Say how many a week.")
        if many is None or gap is None:
            return
        if gap > (most := most_days_between(many)):
            verb = "needs" if many == 1 else "need"
            said = f"{number(many)} a week {verb} at most {count(most, 'day')} between"
            self.add_error("gap_days", f"{said[:1].upper()}{said[1:]} one and the next.")

    def _check_leads(self) -> None:
        """No step is done later than the one after it."""
        given = [(name, self._given(name)) for name in _LEADS]
        steps = [(name, days) for name, days in given if days is not None]
        for (name, days), (later, least) in pairwise(steps):
            if days < least:
                self.add_error(
                    name,
                    f"A class is {_LEADS[name]} before it is {_LEADS[later]}: "
                    f"at least {count(least, 'day')}.",
                )

    def _check_mix(self) -> None:
        shares = self._mix_given()
        if (together := sum(shares.values())) > 100:
            first = next(iter(shares)).replace(" ", "_")
            self.add_error(f"mix_{first}", f"Together they come to {together} %: at most 100.")

    def _given(self, name: str) -> int | None:
        """What was typed, else what the field began with."""
        typed: int | None = self.cleaned_data.get(name)
        return self.initial.get(name) if typed is None and name not in self.errors else typed

    def _mix_given(self) -> dict[str, int]:
        named = ((focus, f"mix_{focus.replace(' ', '_')}") for focus in Focus.values)
        found = {focus: self.cleaned_data.get(name) for focus, name in named}
        return {focus: share for focus, share in found.items() if share is not None}

    def _sliders_given(self) -> dict[str, int]:
        found = {name: self.cleaned_data.get(f"slider_{name}") for name in WISHES}
        return {name: per for name, per in found.items() if per is not None and per != USUAL}

    def values(self) -> dict[str, Any]:
        """The cleaned fields as the model has them; a number left empty stays as it was."""
        return {
            **dict(self._kept()),
            "weekdays": self.cleaned_data["weekdays"] or self._weekdays_before(),
            "film_weekdays": self.cleaned_data["film_weekdays"],
            "publish_at": self.cleaned_data["publish_at"],
            "minutes_a_week": self.cleaned_data["hours_a_week"],
            "sliders": self._sliders_given(),
            "mix": self._mix_given(),
        }

    def _kept(self) -> Iterator[tuple[str, Any]]:
        numbers = ("a_week", "gap_days", "films_a_day", *_LEADS, "serve_every_weeks")
        for name in (*numbers, "rhythm", "enquiries", "preference"):
            if (value := self.cleaned_data[name]) not in {None, ""}:
                yield name, value

    def _weekdays_before(self) -> list[int]:
        return [int(day) for day in self.initial.get("weekdays", [])]


def _slider(label: str) -> forms.IntegerField:
    field = _whole(label, 0, MOST_PER_CENT, required=False)
    field.widget = forms.NumberInput(
        attrs={"type": "range", "min": 0, "max": MOST_PER_CENT, "step": _STEP, "list": "scale"}
    )
    return field
