"""Adding and changing a class: what is kept, what is asked again and what stays typed."""

from __future__ import annotations

import re
from datetime import date
from typing import Any

import pytest
from django.test import Client as Browser
from django.urls import reverse

from coach.practice.models import AuditEntry, User
from coach.scheduling.values import SERVABLE_STAGES
from content.models import FitnessClass, State, Upload
from tests import factories

ADD = reverse("classes:add")
ALL = [str(stage) for stage in SERVABLE_STAGES]


def _typed(**values: Any) -> dict[str, Any]:
    """A form filled in without a mistake, unless said otherwise."""
    filled = {
        "title": "Seated strength",
        "state": "filmed",
        "published_on": "",
        "focus": "upper body",
        "minutes": "18",
        "hours": "2:30",
        "stages": ["t3"],
        "effort": "5",
        "series": "",
        "part": "",
        "note": "",
    }
    return {**filled, **values}


def _errors(answer: Any) -> dict[str, list[str]]:
    return {name: list(errors) for name, errors in answer.context["form"].errors.items()}


def test_what_is_typed_is_kept(browser: Browser) -> None:
    answer = browser.post(ADD, _typed(title="  Seated   strength ", note="With the blue band"))
    item = FitnessClass.objects.get()
    assert answer.url == reverse("classes:detail", args=[item.pk])
    kept = FitnessClass.objects.values(
        "title", "state", "focus", "minutes", "minutes_of_work", "stages", "effort", "note"
    ).get()
    assert kept == {
        "title": "Seated strength",
        "state": "filmed",
        "focus": "upper body",
        "minutes": 18,
        "minutes_of_work": 150,
        "stages": ["t3"],
        "effort": 5,
        "note": "With the blue band",
    }


@pytest.mark.parametrize(
    ("ticked", "kept"), [(["all"], ALL), ([], []), (ALL, ALL), (["w0-6", "t1"], ["t1", "w0-6"])]
)
def test_stages_are_kept_as_ticked(browser: Browser, ticked: list[str], kept: list[str]) -> None:
    browser.post(ADD, _typed(stages=ticked))
    assert FitnessClass.objects.get().stages == kept


def test_no_stage_ticked_is_said_to_serve_nobody(browser: Browser) -> None:
    html = browser.post(ADD, _typed(stages=[]), follow=True).content.decode()
    assert "Its stages are not known: it serves nobody in a plan." in html
    assert "stages not known" in html


def test_effort_left_open_is_not_known(browser: Browser) -> None:
    browser.post(ADD, _typed(effort=""))
    assert FitnessClass.objects.get().effort is None


@pytest.mark.parametrize(
    ("wrong", "errors"),
    [
        ({"title": " "}, {"title": ["Give it a title, even a working one."]}),
        ({"state": ""}, {"state": ["Say how far it is."]}),
        ({"focus": ""}, {"focus": ["Choose what it mainly works on."]}),
        (
            {"minutes": ""},
            {"minutes": ["Give its length in whole minutes; a guess will do for an idea."]},
        ),
        ({"minutes": "1.5"}, {"minutes": ["Give its length in whole minutes, such as 20."]}),
        (
            {"minutes": "0"},
            {"minutes": ["At least one minute."]},
        ),
        ({"hours": "two"}, {"hours": ["Write hours like 2.5 or 2:30."]}),
        ({"hours": "201"}, {"hours": ["At most 200 hours."]}),
        ({"hours": ""}, {"hours": ["Say how many hours it still needs; a guess will do."]}),
        ({"hours": "0"}, {"hours": ["Say how many hours it still needs; a guess will do."]}),
        (
            {"stages": ["all", "t1"]},
            {"stages": ["Tick either “no stage excluded” or the stages themselves, not both."]},
        ),
        ({"series": "Core"}, {"part": ["Which part of the series is it?"]}),
        ({"part": "2"}, {"series": ["Name the series this is a part of, or clear the part."]}),
        (
            {"series": "core", "part": "one"},
            {"part": ["A part is a whole number: 1, 2, 3."]},
        ),
        ({"series": "CORE", "part": "3"}, {"part": ["Part 3 is already “Planks”."]}),
        ({"state": "published"}, {"published_on": ["Say which day it was published."]}),
        (
            {"state": "published", "published_on": "2026-12-04"},
            {"published_on": ["Friday 4 December 2026 has not come yet."]},
        ),
        (
            {"published_on": "2026-12-01"},
            {"published_on": ["Clear the day, or choose “published” above."]},
        ),
    ],
)
def test_a_mistake_is_said_beside_its_field_and_what_was_typed_stays(
    browser: Browser, wrong: dict[str, Any], errors: dict[str, list[str]]
) -> None:
    core = factories.series("Core")
    factories.fitness_class("Planks", series=core, part=3)
    answer = browser.post(ADD, _typed(note="Do not lose me", **wrong))
    assert (answer.status_code, _errors(answer)) == (422, errors)
    assert "Do not lose me</textarea>" in answer.content.decode()
    assert [FitnessClass.objects.count(), AuditEntry.objects.count()] == [1, 0]


@pytest.mark.parametrize("state", ["scheduled", "withdrawn", "rubbish"])
def test_a_new_class_cannot_have_a_state_that_is_not_offered(browser: Browser, state: str) -> None:
    answer = browser.post(ADD, _typed(state=state))
    assert (answer.status_code, list(_errors(answer))) == (422, ["state"])


def test_a_class_that_is_out_already_goes_into_the_history(browser: Browser) -> None:
    browser.post(ADD, _typed(state="published", published_on="2026-11-05", hours=""))
    upload = Upload.objects.get()
    assert (upload.day, upload.item.state) == (date(2026, 11, 5), State.PUBLISHED)


def test_no_answer_is_filled_in_for_her(browser: Browser) -> None:
    html = browser.get(ADD).content.decode()
    assert " checked" not in html
    assert re.findall(r"<option value=\"(\d*)\" selected", html) == [""] * 3


def test_several_in_a_row_start_from_the_last_but_never_from_its_stages_or_effort(
    browser: Browser,
) -> None:
    answer = browser.post(
        ADD, _typed(series="Standing core", part="3", another="yes", stages=["all"])
    )
    item = FitnessClass.objects.get()
    assert answer.url == f"{ADD}?after={item.pk}"
    form = browser.get(answer.url).context["form"]
    assert {name: form[name].initial for name in form.fields} == {
        "title": None,
        "state": "filmed",
        "published_on": None,
        "focus": "upper body",
        "minutes": None,
        "hours": "2:30",
        "stages": None,
        "effort": None,
        "series": "Standing core",
        "part": 4,
        "not_before": None,
        "not_after": None,
        "wanted_soon": None,
        "for_quiet": None,
        "note": None,
    }


@pytest.mark.parametrize("after", ["999", "x", "٣", "9" * 40, ""])
def test_a_last_one_that_is_not_there_starts_empty(browser: Browser, after: str) -> None:
    answer = browser.get(ADD, {"after": after})
    assert answer.context["form"].initial == {}


def _edit(item: FitnessClass) -> str:
    return reverse("classes:edit", args=[item.pk])


def test_the_form_of_a_class_keeps_it_unchanged_when_nothing_is_typed(browser: Browser) -> None:
    core = factories.series("Core")
    item = factories.fitness_class(
        "Planks", state=State.FILMED, series=core, part=3, minutes_of_work=95, effort=0, note="x"
    )
    before = FitnessClass.objects.values().get()
    shown = browser.get(_edit(item)).context["form"].initial
    sent = {name: "" if value is None else value for name, value in shown.items()}
    browser.post(_edit(item), sent)
    assert (FitnessClass.objects.values().get(), AuditEntry.objects.count()) == (before, 0)


def test_its_own_part_is_not_taken_from_it(browser: Browser) -> None:
    item = factories.fitness_class("Planks", series=factories.series("Core"), part=3)
    browser.post(_edit(item), _typed(series="Core", part="3"))
    item.refresh_from_db()
    assert (item.title, item.part) == ("Seated strength", 3)


def test_leaving_a_series_takes_the_part_with_it(browser: Browser) -> None:
    item = factories.fitness_class("Planks", series=factories.series("Core"), part=3)
    browser.post(_edit(item), _typed())
    item.refresh_from_db()
    assert (item.series, item.part) == (None, None)


@pytest.mark.parametrize(
    ("state", "uploaded", "offered"),
    [
        (State.IDEA, False, ["idea", "outlined", "filmed", "edited"]),
        (State.SCHEDULED, True, ["idea", "outlined", "filmed", "scheduled"]),
        (State.PUBLISHED, True, ["published"]),
        (State.WITHDRAWN, False, ["withdrawn", "idea", "outlined", "filmed", "edited"]),
        (State.WITHDRAWN, True, ["withdrawn", "published"]),
    ],
)
def test_only_states_that_are_free_to_choose_are_offered(
    browser: Browser, state: str, uploaded: bool, offered: list[str]
) -> None:
    item = factories.fitness_class(state=state)
    if uploaded:
        factories.upload(date(2026, 12, 1), item)
    form = browser.get(_edit(item)).context["form"]
    assert [code for code, _ in form.fields["state"].choices] == offered
    assert "published_on" not in form.fields


def test_hours_are_forgotten_once_it_is_edited(browser: Browser) -> None:
    item = factories.fitness_class(state=State.FILMED, minutes_of_work=90)
    browser.post(_edit(item), _typed(state="edited", hours="1:30"))
    item.refresh_from_db()
    assert (item.state, item.minutes_of_work) == (State.EDITED, 0)


def test_a_class_that_is_not_there_is_not_found(browser: Browser) -> None:
    assert browser.get(reverse("classes:edit", args=[99])).status_code == 404


@pytest.mark.parametrize(
    ("who", "status"),
    [
        ("owner", 200),
        ("assistant", 200),
        ("covering coach", 403),
        ("bookkeeper", 403),
        ("leaver", 302),
        ("nobody", 302),
    ],
)
def test_who_may_add_and_change(
    people: dict[str, User | None], signed_in: Any, who: str, status: int
) -> None:
    item = factories.fitness_class("Planks")
    browser = signed_in(people[who])
    seen = [browser.get(url).status_code for url in (ADD, _edit(item))]
    assert seen == [status, status]
    if status != 200:
        sent = [browser.post(url, _typed()).status_code for url in (ADD, _edit(item))]
        assert sent == [status, status]
        assert FitnessClass.objects.get().title == "Planks"


def test_when_it_may_come_out_is_kept_and_shown_again(browser: Browser) -> None:
    when = {"not_before": "2027-01-04", "not_after": "2027-01-31", "wanted_soon": "on"}
    browser.post(ADD, _typed(**when))
    item = FitnessClass.objects.get()
    assert (item.not_before, item.not_after) == (date(2027, 1, 4), date(2027, 1, 31))
    assert item.wanted_soon
    page = browser.get(_edit(item)).content.decode()
    assert 'name="not_before" value="2027-01-04"' in page
    browser.post(_edit(item), _typed())
    item.refresh_from_db()
    assert (item.not_before, item.not_after, item.wanted_soon) == (None, None, False)


def test_a_last_day_before_the_first_is_told_beside_it(browser: Browser) -> None:
    answer = browser.post(ADD, _typed(not_before="2027-01-04", not_after="2027-01-03"))
    assert _errors(answer) == {
        "not_after": ["That is before Monday 4 January 2027, the first day it may come out."]
    }
    assert 'value="2027-01-03"' in answer.content.decode()
    assert FitnessClass.objects.count() == 0
