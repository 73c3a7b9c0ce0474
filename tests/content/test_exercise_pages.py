"""The list of exercises, and the coach's own."""

from __future__ import annotations

from typing import Any

import pytest
from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from content.models import OwnExercise
from content.queries.library import library, offered
from content.rules.exercises import exercises
from tests import factories
from tests.clients.pages import read

LIST = reverse("classes:exercises")
OWN = {
    "name": "Counter lean", "position": "standing", "stance": "two legs", "sides": "one",
    "focus": "core", "intensity": "light", "impact": "none", "core_load": "none",
    "pelvic_load": "1", "balance": "0", "cues": "Lean in | Breathe", "aliases": "kitchen lean",
    "easier": "Wall plank",
}  # fmt: skip


def one(code: str, name: str = "exercise") -> str:
    return reverse(f"classes:{name}", args=[code])


def test_all_are_listed_by_focus_and_found_by_their_words(browser: Browser, practice: Any) -> None:
    text = read(browser.get(LIST))
    assert f"{len(exercises())}, with what each asks" in text
    text = read(browser.get(f"{LIST}?find=opposite arm"))
    assert ("Bird dog" in text, "Squat jump" in text) == (True, False)
    assert "No exercise of that name." in read(browser.get(f"{LIST}?find=zzz"))


def test_one_tells_what_it_asks_its_options_and_the_stages(browser: Browser, practice: Any) -> None:
    text = read(browser.get(one("bridge")))
    assert "Side-lying leg lift" in text
    assert "Trimester 3 easier option Lying flat from 20 weeks on" in text
    assert browser.get(one("gone")).status_code == 404


def test_one_of_her_own_is_added_and_offered(browser: Browser, practice: Any) -> None:
    answer = browser.post(reverse("classes:add_exercise"), OWN, follow=True)
    assert answer.redirect_chain == [(one("counter-lean"), 302)]
    assert offered()["counter-lean"].easier == ("wall-plank",)
    assert "Counter lean" in read(browser.get(LIST))


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"name": ""}, "Write something here."),
        ({"name": "Squat"}, "“Squat” is Squat already."),
        ({"aliases": "bird dogs"}, "“bird dogs” is Bird dog already."),
        ({"stance": ""}, "Standing has a stance"),
        ({"easier": "Burpee"}, "Burpee asks more"),
        ({"easier": "Nothing of the kind"}, "is not in the list"),
        ({"name": "Baby carry"}, "An exercise is neutral"),
        ({"impact": "high"}, "Both feet off the ground is not light."),
        ({"cues": " | "}, "Write one cue at least."),
    ],
)
def test_what_cannot_be_stands_beside_its_field_and_what_was_typed_stays(
    browser: Browser, practice: Any, typed: dict[str, str], words: str
) -> None:
    answer = browser.post(reverse("classes:add_exercise"), {**OWN, **typed})
    source = answer.content.decode()
    assert (answer.status_code, words in read(answer)) == (422, True)
    assert "Lean in | Breathe" in source or "cues" in typed
    assert OwnExercise.objects.count() == 0


def test_her_version_of_one_takes_its_place(browser: Browser, practice: Any) -> None:
    page = one("wall-plank", "edit_exercise")
    form = browser.get(page).context["form"]
    fields = {name: form[name].value() for name in form.fields}
    typed = {
        name: value
        for name, value in fields.items()
        if value not in (None, "") and value is not False
    }
    browser.post(page, {**typed, "name": "Wall plank, my way", "pelvic_load": "2"})
    assert (library()["wall-plank"].name, library()["wall-plank"].pelvic_load) == (
        "Wall plank, my way", 2,
    )  # fmt: skip
    assert len(library()) == len(exercises())


def test_one_retired_is_not_offered_and_stays_where_it_is(browser: Browser, practice: Any) -> None:
    browser.post(one("burpee", "retire_exercise"), {"retired": "yes"})
    assert ("burpee" in offered(), "burpee" in library()) == (False, True)
    assert "no longer offered" in read(browser.get(one("burpee")))
    browser.post(one("burpee", "retire_exercise"), {"retired": "no"})
    assert "burpee" in offered()


def test_as_many_queries_with_thirty_of_her_own_as_with_one(
    browser: Browser, practice: Any
) -> None:
    def count() -> int:
        with CaptureQueriesContext(connection) as caught:
            assert browser.get(LIST).status_code == 200
        return len(caught)

    factories.own_exercise("lean-0", "Lean 0")
    first = count()
    for n in range(1, 30):
        factories.own_exercise(f"lean-{n}", f"Lean {n}")
    assert "lean-29" in library()
    assert count() == first


ANSWERS = (
    "position", "sides", "focus", "intensity", "impact", "core_load", "pelvic_load", "balance",
)  # fmt: skip


def test_no_answer_is_filled_in_for_her(browser: Browser, practice: Any) -> None:
    form = browser.get(reverse("classes:add_exercise")).context["form"]
    assert {name: form[name].value() for name in ANSWERS} == dict.fromkeys(ANSWERS)
    assert {next(iter(form.fields[name].choices))[0] for name in ANSWERS} == {""}


@pytest.mark.parametrize("name", ANSWERS)
def test_what_is_not_said_is_never_none(browser: Browser, practice: Any, name: str) -> None:
    answer = browser.post(reverse("classes:add_exercise"), {**OWN, name: ""})
    assert answer.status_code == 422
    assert "Choose one of these." in read(answer)
    assert not OwnExercise.objects.exists()


def test_a_stored_one_that_is_not_sound_is_not_known_and_can_be_mended(
    browser: Browser, practice: Any
) -> None:
    OwnExercise.objects.create(code="squat", values={"name": "Squat", "cues": ["Down"]})
    assert "squat" not in library()
    assert "squat" in exercises()
    assert browser.get(one("squat", "edit_exercise")).status_code == 200


def test_her_version_keeps_the_harder_options_and_the_code_while_they_hold(
    browser: Browser, practice: Any
) -> None:
    address, before = one("squat", "edit_exercise"), exercises()["squat"]
    typed = browser.get(address).context["form"].initial
    sent = {key: value for key, value in typed.items() if value is not False}
    browser.post(address, {**sent, "cues": "Sit back"})
    after = library()["squat"]
    assert (after.harder, after.compendium, after.met) == (
        before.harder, before.compendium, before.met,
    )  # fmt: skip
    browser.post(address, {**sent, "pelvic_load": "3", "intensity": "vigorous"})
    after = library()["squat"]
    assert (after.pelvic_load, after.compendium, after.met) == (3, "", None)
    assert all(library()[code].pelvic_load == 3 for code in after.harder)


def test_options_that_lead_in_a_circle_are_refused(browser: Browser, practice: Any) -> None:
    browser.post(reverse("classes:add_exercise"), {**OWN, "easier": ""})
    browser.post(
        reverse("classes:add_exercise"),
        {**OWN, "name": "Counter, again", "aliases": "", "easier": "Counter lean"},
    )
    assert library()["counter-again"].easier == ("counter-lean",)
    answer = browser.post(one("counter-lean", "edit_exercise"), {**OWN, "easier": "Counter, again"})
    assert answer.status_code == 422
    assert "lead back to it" in read(answer)
