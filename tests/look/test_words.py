"""Dates in words, marks and fields: what pages print."""

from __future__ import annotations

from datetime import date

import pytest
from django import forms
from django.template import Context, Template

from clients.models import Standing
from coach.practice.permissions import Role
from coach.scheduling.values import GoAheadWord
from coach.templatetags import look
from coach.templatetags.shapes import shape_of, shapes
from content.models import State

TUESDAY = date(2027, 1, 5)
THE_YEAR_BEFORE = date(2026, 12, 3)


def render(text: str, **values: object) -> str:
    return Template("{% load look %}" + text).render(Context(values)).strip()


def test_the_fifth_of_january_2027_is_a_tuesday() -> None:
    # ISO 8601 weekdays by the proleptic Gregorian calendar, as the standard library has them.
    assert TUESDAY.isoweekday() == 2
    assert look.day(TUESDAY) == "Tuesday 5 January"


@pytest.mark.parametrize(
    ("year", "printed"),
    [
        (None, "Tuesday 5 January"),
        (THE_YEAR_BEFORE, "Tuesday 5 January 2027"),
        (date(2027, 12, 31), "Tuesday 5 January"),
        ("year", "Tuesday 5 January 2027"),
    ],
)
def test_a_day_has_its_year_when_it_differs_or_is_asked_for(year: object, printed: str) -> None:
    assert look.day(TUESDAY, year) == printed


def test_short_forms() -> None:
    assert look.short_day(TUESDAY) == "Tue 5"
    assert look.short_date(TUESDAY) == "5 Jan"
    assert look.short_date(TUESDAY, THE_YEAR_BEFORE) == "5 Jan 2027"
    assert look.date_in_words(TUESDAY) == "5 January"
    assert look.month(TUESDAY) == "January 2027"


@pytest.mark.parametrize(
    "words", [look.day, look.short_day, look.short_date, look.date_in_words, look.month]
)
def test_a_missing_date_is_not_known_rather_than_blank(words: object) -> None:
    assert words(None) == "not known"  # type: ignore[operator]  # a filter of one argument


@pytest.mark.parametrize("word", [*GoAheadWord, *State, *Standing])
def test_every_status_of_the_site_has_a_shape_of_its_own(word: str) -> None:
    assert str(word) in shapes()


@pytest.mark.parametrize("words", [GoAheadWord, State])
def test_no_two_statuses_of_one_kind_share_a_shape(words: type[GoAheadWord | State]) -> None:
    drawn = [shape_of(str(word)).path for word in words]
    assert len(set(drawn)) == len(drawn)


def test_only_a_yes_looks_good_among_the_go_aheads() -> None:
    good = [word for word in GoAheadWord if shape_of(word).tone == "good"]
    assert good == [GoAheadWord.YES]


@pytest.mark.parametrize("status", ["", None, "never heard of"])
def test_an_unknown_status_gets_the_open_square_and_no_tone(status: object) -> None:
    shape = shape_of(str(look.mark(status)["word"]))
    assert (shape.name, shape.tone) == ("open-square", "")


def test_a_mark_is_a_word_with_a_hidden_drawing_and_escapes_what_it_prints() -> None:
    shown = render("{% mark 'on hold' word %}", word="<b>on hold</b>")
    assert shown.startswith('<span class="mark late"><svg class="shape" viewBox="0 0 12 12"')
    assert 'aria-hidden="true"' in shown
    assert shown.endswith("&lt;b&gt;on hold&lt;/b&gt;</span>")


class Sample(forms.Form):
    title = forms.CharField(label="Title", help_text="As it will be read.")
    note = forms.CharField(label="Note", required=False)
    which = forms.ChoiceField(
        choices=[(role.value, role.value) for role in Role], widget=forms.RadioSelect
    )
    agreed = forms.BooleanField(label="Agreed", required=False)


@pytest.fixture
def form() -> Sample:
    return Sample({"title": "", "which": "nobody"})


def test_a_field_names_its_hint_and_its_error(form: Sample) -> None:
    shown = render("{% field form.title %}", form=form)
    assert '<label for="id_title">Title</label>' in shown
    assert 'aria-describedby="id_title_helptext id_title_error"' in shown
    assert 'id="id_title_helptext"' in shown
    assert 'id="id_title_error"' in shown
    assert 'aria-invalid="true"' in shown


def test_a_group_names_its_error_on_the_fieldset(form: Sample) -> None:
    shown = render("{% field form.which %}", form=form)
    assert '<fieldset id="id_which_group"' in shown
    assert 'aria-describedby="id_which_error"' in shown


def test_what_need_not_be_filled_says_so_unless_told_not_to(form: Sample) -> None:
    assert "(optional)" in render("{% field form.note %}", form=form)
    assert "(optional)" not in render("{% field form.note optional=False %}", form=form)
    assert "(optional)" not in render("{% field form.title %}", form=form)


def test_a_field_can_be_called_something_else(form: Sample) -> None:
    assert ">What it is called</label>" in render(
        "{% field form.title label='What it is called' %}", form=form
    )


def test_what_was_typed_stays(form: Sample) -> None:
    typed = Sample({"title": "Hips & back", "which": ""})
    assert 'value="Hips &amp; back"' in render("{% field form.title %}", form=typed)


def test_the_summary_links_to_each_field_in_error(form: Sample) -> None:
    shown = render("{% include '_shared/form_errors.html' %}", form=form)
    assert '<a href="#id_title">Title</a>' in shown
    assert '<a href="#id_which_group">Which</a>' in shown
    assert shown.count("<li>") == 2


def test_a_form_without_errors_has_no_summary() -> None:
    assert render("{% include '_shared/form_errors.html' %}", form=Sample()) == ""
