"""Marks, dates in words and form fields: `{% load look %}`.

A form field with its label, hint and errors, joined for a screen reader:

    {% field form.name %}                 optional fields say so
    {% field form.stage optional=False %} in a filter bar they do not
    {% field form.side flow=True %}       radios or ticks beside each other where they fit
    {% field form.login label="E-mail" %} another label than the form's own

A whole form: `{% include "_shared/form.html" %}` inside `<form class="form" method="post">`,
with `{% csrf_token %}` above and `<div class="btns">` beneath. A status: `{% mark word %}`.
Filters kept in a link: Django's own `{% querystring page=2 %}`.
"""

from __future__ import annotations

from datetime import date
from typing import Any

from django import forms, template
from django.forms.boundfield import BoundField
from django.utils.dateformat import format as in_words

from coach.templatetags.shapes import shape_of

register = template.Library()

NOT_KNOWN = "not known"
LONGEST_UNBROKEN_MARK = 28  # characters; a longer word may break over lines


@register.filter
def day(value: date | None, year: object = None) -> str:
    """Tuesday 5 January; with the year if it differs from that of the date given, or if asked.

    `{{ on|day }}` never, `{{ on|day:today }}` when it differs, `{{ on|day:"year" }}` always.
    """
    return _with_year(value, "l j F", year)


@register.filter
def short_day(value: date | None) -> str:
    """Tue 5: inside a week or a month that is named nearby."""
    return in_words(value, "D j") if value else NOT_KNOWN


@register.filter
def short_date(value: date | None, year: object = None) -> str:
    """5 Jan, with the year by the same rule as `day`: the first column of a list."""
    return _with_year(value, "j M", year)


@register.filter
def date_in_words(value: date | None, year: object = None) -> str:
    """5 January, with the year by the same rule as `day`: inside a sentence."""
    return _with_year(value, "j F", year)


@register.filter
def month(value: date | None) -> str:
    """January 2027."""
    return in_words(value, "F Y") if value else NOT_KNOWN


def _with_year(value: date | None, words: str, year: object) -> str:
    if not value:
        return NOT_KNOWN
    differs = year == "year" or (isinstance(year, date) and year.year != value.year)
    return in_words(value, f"{words} Y" if differs else words)


@register.inclusion_tag("_shared/mark.html")
def mark(status: object, word: object = None) -> dict[str, Any]:
    """A status as a word with its small shape: `{% mark client.word "go ahead" %}`.

    The status picks the shape (shapes.toml); the word printed is the status unless another is
    given. A status that has no shape of its own gets the open square of "not known".
    """
    shape = shape_of(str(status or NOT_KNOWN))
    printed = str(word if word is not None else status or NOT_KNOWN)
    is_long = len(printed) > LONGEST_UNBROKEN_MARK
    return {"path": shape.path, "tone": shape.tone, "word": printed, "long": is_long}


@register.inclusion_tag("_shared/field.html")
def field(
    bound: BoundField, optional: bool = True, flow: bool = False, label: str = ""
) -> dict[str, Any]:
    """One bound field with its label, hint and errors; `optional` marks what need not be filled."""
    return {
        "field": bound,
        "label": label or bound.label,
        "optional": optional,
        "flow": flow,
        "describedby": bound.aria_describedby,
    }


@register.filter
def fields_in_error(form: forms.BaseForm) -> list[BoundField]:
    """The visible fields of a form that have an error, in their order."""
    return [bound for bound in form.visible_fields() if bound.errors]
