"""Forms of an enquiry: added in a moment, changed, its next step, closed; and the list's filter.

None of them asks anything about health. What somebody may not see is not in her form at all, and
what a form does not hold stays as it is kept.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from typing import Any
from uuid import UUID

from django import forms
from django.core.exceptions import ValidationError

from clients.forms.fields import RefusableForm, day_field, radios, text_field
from clients.models import Enquiry
from clients.rules import enquiries as rules
from clients.rules.words import says_too_much
from coach.practice.filters import FilterForm, find_field

Titles = Sequence[tuple[UUID, str]]
_WHERE_KNOWN = ("where", "where_else")


def _name_field() -> forms.CharField:
    missing = "Write her name, or what you call her."
    return text_field("Name", longest=120, required=True, missing=missing)


def _class_field() -> forms.ChoiceField:
    return forms.ChoiceField(
        label="Which class brought her",
        required=False,
        error_messages={"invalid_choice": "Choose one of the classes."},
    )


def _told_field() -> forms.CharField:
    return text_field(
        "Her stage, as she told it", longest=200,
        hint="Only what she said by herself, such as “about 20 weeks”. Ask nothing about health.",
    )  # fmt: skip


class _AboutForm(RefusableForm):
    """Where she came from and what she told: what adding and changing have in common."""

    titles: Titles = ()

    def _prepare(
        self, *, places: Sequence[str], titles: Titles, with_stage: bool, with_note: bool
    ) -> None:
        self.titles = titles
        self.choose_from("where", [*((place, place) for place in places), ("", rules.NOT_KNOWN)])
        self.choose_from("class_key", [("", "no class, or not known"), *_keys(titles)])
        unseen = [*(() if with_stage else ("told", "told_due")), *(() if with_note else ("note",))]
        for name in unseen:
            del self.fields[name]

    def clean_name(self) -> str:
        return " ".join(str(self.cleaned_data["name"]).split())

    def about(self) -> dict[str, Any]:
        """Keywords of the actions, for what this form holds."""
        data = self.cleaned_data
        found: dict[str, Any] = {
            name: data[name]
            for name in ("name", "email", "phone", "handle", "told", "told_due", "note", "came_on")
            if name in data
        }
        if "where" in data:
            found["where_from"] = " ".join((data["where_else"] or data["where"]).split())
        if "class_key" in data:
            uid = UUID(data["class_key"]) if data["class_key"] else None
            found |= {
                "class_uid": uid,
                "class_title": dict(self.titles).get(uid, "") if uid else "",
            }
        return found


def _keys(titles: Titles) -> list[tuple[str, str]]:
    return [(str(uid), title) for uid, title in titles]


class _NextStep(forms.Form):
    """What is to be done next, and when: a tap, or a day that is written."""

    next_step = text_field("What to do next", longest=120)
    when = radios("When", list(rules.WHEN.items()), required=False)
    next_on = day_field("Or on this day")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["next_step"].widget.attrs["list"] = "steps"

    def step(self, today: date) -> dict[str, Any]:
        """Keywords of the actions. Without anything to do there is no day either."""
        data = self.cleaned_data
        step = " ".join(data["next_step"].split())
        when = data["when"] if step else rules.NO_DAY
        return {"next_step": step, "next_on": rules.next_day(when, data["next_on"], today)}


class AddEnquiryForm(_AboutForm, _NextStep):
    """A name and one way to reach her; everything else if it is known."""

    beside = dict.fromkeys(("email", "phone", "handle"), "reach")

    name = _name_field()
    reach = text_field(
        "How to reach her", longest=120, required=True, missing="Write one way to reach her.",
        hint="Her phone, e-mail address, or the name she writes under and where.",
    )  # fmt: skip
    where = radios("Where from", (), required=False)
    where_else = text_field("Or somewhere else", longest=80)
    class_key = _class_field()
    told = _told_field()
    told_due = day_field("Due date, if she said one")
    note = text_field("Note", longest=2000, rows=2, hint="Nothing about health: her form asks.")
    field_order = ("name", "reach", "next_step", "when", "next_on", "where", "where_else",
                   "class_key", "told", "told_due", "note")  # fmt: skip

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        given = {name: kwargs.pop(name) for name in ("places", "titles", "with_stage", "with_note")}
        start = {"next_step": rules.FIRST_STEP, "when": rules.TOMORROW, "where": ""}
        super().__init__(*args, initial=start, **kwargs)
        self._prepare(**given)

    def clean_reach(self) -> str:
        """Which way it is decides where it is kept."""
        try:
            self.way = rules.way_of(self.cleaned_data["reach"])
        except ValueError as wrong:
            raise ValidationError(str(wrong)) from None
        return self.way[1]

    def values(self, today: date) -> dict[str, Any]:
        """Keywords of add_enquiry."""
        kind, text = self.way
        return {**self.about(), kind: text, **self.step(today)}


class EnquiryForm(_AboutForm):
    """Everything about an enquiry but its next step and how far it has come."""

    beside = {"reach": "phone"}

    name = _name_field()
    phone = text_field("Phone", longest=40)
    email = forms.EmailField(
        label="E-mail",
        required=False,
        error_messages={"invalid": "That is no whole e-mail address."},
        widget=forms.EmailInput(attrs={"autocomplete": "off"}),
    )
    handle = text_field("Another way", longest=120, hint="The name she writes under, and where.")
    came_on = day_field("She wrote on", required=True)
    where = radios("Where from", (), required=False)
    where_else = text_field("Or somewhere else", longest=80)
    class_key = _class_field()
    told = _told_field()
    told_due = day_field("Due date, if she said one")
    note = text_field("Note", longest=2000, rows=3, hint="Nothing about health: her form asks.")

    def __init__(
        self, *args: Any, enquiry: Enquiry, places: Sequence[str], titles: Titles,
        quiet: bool, **kwargs: Any,
    ) -> None:  # fmt: skip
        given = {name: kwargs.pop(name) for name in ("with_stage", "with_note")}
        kwargs["initial"] = self._initial(enquiry, places)
        super().__init__(*args, **kwargs)
        self._prepare(places=places, titles=_with_own(titles, enquiry), **given)
        if quiet:
            self._hush(enquiry)

    @staticmethod
    def _initial(enquiry: Enquiry, places: Sequence[str]) -> dict[str, Any]:
        names = ("name", "phone", "email", "handle", "came_on", "told", "told_due", "note")
        is_offered = enquiry.where_from in places
        return {
            **{name: getattr(enquiry, name) for name in names},
            "where": enquiry.where_from if is_offered else "",
            "where_else": "" if is_offered else enquiry.where_from,
            "class_key": str(enquiry.class_uid or ""),
        }

    def _hush(self, enquiry: Enquiry) -> None:
        """What a quiet client's page may not hold is left out: what is not sent stays."""
        hidden = ["told", "told_due", "note", "class_key"]
        hidden += _WHERE_KNOWN if says_too_much(enquiry.where_from) else ()
        hidden += [name for name in ("handle",) if says_too_much(getattr(enquiry, name))]
        for name in hidden:
            self.fields.pop(name, None)

    def clean_phone(self) -> str:
        """Digits and spaces, as on the roster."""
        phone = " ".join(str(self.cleaned_data["phone"]).split())
        if phone and rules.way_of(phone)[0] != "phone":
            raise ValidationError("Write digits and spaces, such as +353 86 123 4567.")
        return phone


def _with_own(titles: Titles, enquiry: Enquiry) -> Titles:
    """The titles with the class she named, though it is not out any more."""
    if enquiry.class_uid is None or enquiry.class_uid in dict(titles):
        return titles
    return [(enquiry.class_uid, enquiry.class_title or rules.NOT_KNOWN), *titles]


class StepForm(RefusableForm, _NextStep):
    """What comes after the step that is done."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, initial={"when": rules.IN_3_DAYS}, **kwargs)


class CloseForm(RefusableForm):
    """Why nothing comes of it."""

    why = text_field("Why", longest=120, required=True, missing="Say why.")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["why"].widget.attrs["list"] = "reasons"


class EnquiryFilterForm(FilterForm):
    """The filters of the list."""

    find = find_field("name, e-mail, place or class")
    show = forms.ChoiceField(
        label="Which", required=False, choices=[("", "all"), *rules.STATES.items()]
    )

    def found(self, lines: Iterable[rules.Enquired]) -> list[rules.Enquired]:
        """The enquiries that fit, in their order."""
        show, search = self.asked("show"), self.asked("find")
        fitting = (one for one in lines if show in {"", one.state} and rules.matches(one, search))
        return rules.in_order(fitting)
