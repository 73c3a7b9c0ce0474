"""The practice's checklist: the table with what she changed, added, retired and put elsewhere."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from django.test import Client as Browser

from coach.practice.audit import SYSTEM
from coach.practice.models import AuditEntry
from coach.practice.permissions import Role
from content.actions import making as actions
from content.actions.uploads import Refused
from content.models import CheckItem
from content.queries.making import checklist
from content.rules.making import Item, act_in_words, code_for, days_in_words, merged, swapped, table
from tests.clients.pages import read
from tests.conftest import sign_in

FILM = ["kit-laid-out", "sound-checked", "cautions-said", "easier-options-shown", "film-copied"]


@pytest.fixture(autouse=True)
def _here(practice: Any) -> None:
    """Every test has a practice."""


def codes(step: str) -> list[str]:
    return [one.code for one in checklist() if one.step == step and not one.retired]


def keep(words: str, step: str = "film", code: str = "") -> CheckItem:
    return actions.keep_check_item(by=SYSTEM, code=code, words=words, step=step)


def test_without_rows_it_is_the_table() -> None:
    assert checklist() == table()
    assert codes("film") == FILM


def test_one_of_her_own_comes_last_in_its_step() -> None:
    row = keep("The cat is out of the room")
    assert row.code == "the-cat-is-out-of-the-room"
    assert codes("film") == [*FILM, row.code]
    assert next(one for one in checklist() if one.code == row.code).own


def test_words_of_the_table_are_changed_in_their_place() -> None:
    keep("Sound tried with the headset on", code="sound-checked")
    assert codes("film") == FILM
    one = next(one for one in checklist() if one.code == "sound-checked")
    assert (one.words, one.changed, one.own) == ("Sound tried with the headset on", True, False)


def test_an_item_may_go_to_another_step() -> None:
    keep("The film is copied to a second place", "edit", "film-copied")
    assert codes("film") == FILM[:-1]
    assert codes("edit")[-1] == "film-copied"


def test_retired_it_is_asked_for_no_more_until_it_is_taken_back() -> None:
    actions.retire_check_item(by=SYSTEM, code="sound-checked", retired=True)
    assert codes("film") == [code for code in FILM if code != "sound-checked"]
    actions.retire_check_item(by=SYSTEM, code="sound-checked", retired=False)
    assert codes("film") == FILM


def test_earlier_and_later_change_places_with_the_neighbour() -> None:
    actions.move_check_item(by=SYSTEM, code="sound-checked", earlier=True)
    assert codes("film") == ["sound-checked", "kit-laid-out", *FILM[2:]]
    actions.move_check_item(by=SYSTEM, code="kit-laid-out", earlier=False)
    assert codes("film") == ["sound-checked", "cautions-said", "kit-laid-out", *FILM[3:]]
    actions.move_check_item(by=SYSTEM, code="sound-checked", earlier=True)
    assert codes("film")[0] == "sound-checked"


def test_the_neighbour_is_never_one_that_is_retired() -> None:
    actions.retire_check_item(by=SYSTEM, code="kit-laid-out", retired=True)
    actions.move_check_item(by=SYSTEM, code="cautions-said", earlier=True)
    assert codes("film") == ["cautions-said", "sound-checked", *FILM[3:]]


def test_the_same_words_twice_in_a_step_are_refused() -> None:
    with pytest.raises(Refused, match="on the checklist already, under “Film”"):
        keep("every easier option is shown as planned")
    keep("Every easier option is shown as planned", "edit")
    assert CheckItem.objects.count() == 1


def test_what_is_taken_back_must_not_be_there_twice() -> None:
    actions.retire_check_item(by=SYSTEM, code="film-copied", retired=True)
    keep("The film is copied to a second place")
    with pytest.raises(Refused, match="already"):
        actions.retire_check_item(by=SYSTEM, code="film-copied", retired=False)


@pytest.mark.parametrize("act", ["keep", "move", "retire"])
def test_an_item_that_is_not_there_is_refused(act: str) -> None:
    acts: dict[str, Any] = {
        "keep": lambda: keep("Anything", code="gone"),
        "move": lambda: actions.move_check_item(by=SYSTEM, code="gone", earlier=True),
        "retire": lambda: actions.retire_check_item(by=SYSTEM, code="gone", retired=True),
    }
    with pytest.raises(Refused, match="not on the checklist any more"):
        acts[act]()
    assert CheckItem.objects.count() == 0


def test_each_change_is_in_the_trail_and_no_change_is_not() -> None:
    row = keep("The cat is out")
    keep("The cat is out", code=row.code)
    keep("The dog is out", code=row.code)
    keep("Sound tried", code="sound-checked")
    trail = AuditEntry.objects.filter(subject_kind="content.checkitem").order_by("pk")
    assert [(one.verb, one.fields) for one in trail] == [
        ("added", ["place", "retired", "step", "words"]),
        ("changed", ["words"]),
        ("changed", ["place", "retired", "step", "words"]),
    ]


class TestThePage:
    """As forms."""

    def test_it_is_linked_from_the_practice(self, browser: Browser) -> None:
        assert 'href="/uploads/checklist/"' in browser.get("/practice/").content.decode()

    def test_add_change_put_earlier_retire_and_take_back(self, browser: Browser) -> None:
        url = "/uploads/checklist/keep/"
        answer = browser.post(url, {"words": "  The cat   is out ", "step": "film"})
        assert answer["Location"] == "/uploads/checklist/"
        assert "The cat is out yours" in read(browser.get("/uploads/checklist/"))
        code = "the-cat-is-out"
        browser.post(url, {"code": code, "words": "The dog is out", "step": "film"})
        answer = browser.post(url, {"code": code, "move": "earlier"})
        assert answer["Location"] == f"/uploads/checklist/#item-{code}"
        assert codes("film") == [*FILM[:-1], code, FILM[-1]]
        browser.post(f"/uploads/checklist/{code}/retire/", {"retired": "on"})
        assert code not in codes("film")
        assert "The dog is out" in read(browser.get("/uploads/checklist/"))
        browser.post(f"/uploads/checklist/{code}/retire/", {})
        assert code in codes("film")

    def test_what_is_wrong_is_said_beside_the_field_and_what_was_typed_stays(
        self, browser: Browser
    ) -> None:
        url = "/uploads/checklist/keep/"
        answer = browser.post(url, {"words": " ", "step": "film"})
        assert answer.status_code == 422
        assert "Write what is looked at." in read(answer)
        typed = {"code": "sound-checked", "words": "x" * 121, "step": "film"}
        answer = browser.post(url, typed)
        text = answer.content.decode()
        assert "At most 120 letters." in text
        assert "x" * 121 in text
        assert 'class="acts more" open' in text
        answer = browser.post(
            url, {"words": "The film is copied to a second place", "step": "film"}
        )
        assert "on the checklist already, under “Film”" in read(answer)
        assert browser.post(url, {"words": "Anything", "step": "dance"}).status_code == 422
        assert CheckItem.objects.count() == 0

    def test_bad_moves_and_items_change_nothing(self, browser: Browser) -> None:
        url = "/uploads/checklist/keep/"
        assert browser.post(url, {"code": "sound-checked", "move": "up"}).status_code == 400
        browser.post(url, {"code": "gone", "move": "earlier"})
        browser.post("/uploads/checklist/gone/retire/", {"retired": "on"})
        answer = browser.post(url, {"code": "gone", "words": "Anything", "step": "film"})
        assert answer.status_code == 422
        assert "That item is not on the checklist any more." in read(answer)
        assert CheckItem.objects.count() == 0

    def test_the_bookkeeper_neither_sees_nor_changes_it(self, people: dict[str, Any]) -> None:
        reading = sign_in(people[Role.BOOKKEEPER])
        assert reading.get("/uploads/checklist/").status_code == 403
        keeping = {"words": "Anything", "step": "film"}
        assert reading.post("/uploads/checklist/keep/", keeping).status_code == 403


class TestTheRules:
    """Without rows."""

    def test_a_code_is_one_that_no_other_has(self) -> None:
        assert code_for("It’s done!", ()) == "its-done"
        assert code_for("It’s done!", ("its-done", "its-done-2")) == "its-done-3"
        assert code_for("…", ()) == "own"
        assert len(code_for("word " * 40, ())) <= 50

    def test_places_are_written_only_where_they_change(self) -> None:
        items = [Item(f"i{n}", "film", str(n), 10 * n) for n in (1, 2, 3)]
        assert swapped(items, "i3", earlier=True) == {"i3": 20, "i2": 30}
        assert swapped(items, "i3", earlier=False) == {}
        assert swapped(items, "none", earlier=False) == {}

    def test_of_two_in_one_place_the_code_decides(self) -> None:
        hers = [Item(code, "film", code, 35) for code in ("b", "a")]
        found = [one.code for one in merged(hers) if one.step == "film"]
        assert found.index("a") + 1 == found.index("b")

    def test_lines_in_words(self) -> None:
        assert [act_in_words("film", n) for n in (1, 3)] == ["Film", "Film three"]
        days = [date(2026, 12, n) for n in (22, 19, 26)]
        assert days_in_words([*days, date(2027, 1, 2)]) == "out 19, 22 and 26 December, 2 January"
        assert days_in_words([]) == ""
