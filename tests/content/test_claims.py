"""Promises in titles and descriptions: what is caught, what is not, what is kept knowingly."""

from __future__ import annotations

import time
import tomllib
from pathlib import Path
from typing import Any

import pytest

from content.rules.claims import claims, promises, put_plainer, read_claims
from content.rules.description import CAUTIONS, DEFAULT
from content.rules.exercises import exercises

FILE = Path(__file__).parents[2] / "content" / "data" / "claims.toml"
SAID = tomllib.loads((Path(__file__).parent / "claimed.toml").read_text("utf-8"))
CAUGHT = [(code, text) for code, row in SAID.items() for text in row["caught"]]
NEAR = [text for row in SAID.values() for text in row["near"]]


@pytest.mark.parametrize(("code", "text"), CAUGHT)
def test_what_a_coach_may_not_promise_is_found(code: str, text: str) -> None:
    assert [one.claim.code for one in promises(text)] == [code]


@pytest.mark.parametrize("text", NEAR)
def test_what_is_no_promise_is_left_alone(text: str) -> None:
    assert [one.words for one in promises(text)] == []


def test_every_kind_is_tried_three_times_each_way() -> None:
    assert set(SAID) == {one.code for one in claims()}
    assert min(len(row[way]) for row in SAID.values() for way in ("caught", "near")) == 3


@pytest.mark.parametrize(("code", "text"), CAUGHT)
def test_the_plainer_words_promise_nothing(code: str, text: str) -> None:
    (one,) = promises(text)
    plainer = put_plainer(text, one.key)
    assert (plainer != text, promises(plainer)) == (True, [])
    assert one.plainer in plainer


@pytest.mark.parametrize(
    ("text", "plainer"),
    [
        ("Cures back pain", "Is made with back pain in mind"),
        ("Curing leaks", "Moving with leaks in mind"),
        ("For an easier birth", "For the birth ahead"),
        ("A FAT-BURNING class", "A STRENGTHENING class"),
        ("It heals you. Then it HEALS you.", "It is made with you in mind. Then it is made with "
         "you in mind."),
        ("Get your\u00a0body back!", "Build strength from where you are!"),
    ],
)  # fmt: skip
def test_the_words_that_are_put_fit_into_the_sentence(text: str, plainer: str) -> None:
    assert put_plainer(text, promises(text)[0].key) == plainer
    assert put_plainer(text, "cure:nothing of it") == text


def test_each_kind_names_its_published_source() -> None:
    for one in claims():
        assert "FTC" in one.source or "CAP" in one.source


def test_what_the_practice_says_itself_promises_nothing() -> None:
    said = [DEFAULT, CAUTIONS]
    for one in exercises().values():
        said += [one.name, *one.aliases, *one.cues]
    assert [text for text in said if promises(text)] == []


def test_the_words_are_found_where_they_stand() -> None:
    text = "İ LOVELY. It heals you, and it’s fat burning."
    found = promises(text)
    assert [text[one.start : one.end] for one in found] == ["heals you", "fat burning"]
    assert [one.words for one in found] == ["heals you", "fat burning"]


def test_of_two_that_overlap_the_longer_one_counts() -> None:
    text = "In 6 weeks a flat tummy"
    assert [one.key for one in promises(text)] == ["in-days:in 6 weeks a flat"]
    assert promises(text, ["in-days:in 6 weeks a flat"]) == []
    assert [one.words for one in promises("Safe for everybody, no risk")] == [
        "Safe for everybody", "no risk",
    ]  # fmt: skip


def test_what_is_kept_knowingly_is_not_told_again() -> None:
    (one,) = promises("It HEALS\u00a0you")
    assert one.key == "cure:heals you"
    assert promises("It heals you", [one.key]) == []
    assert [each.words for each in promises("It cures you", [one.key])] == ["cures"]


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"pattern": "("}, "the claim 'cure' is not sound: missing"),
        ({"pattern": ""}, "the claim 'cure' is not sound: its pattern matches nothing"),
        ({"pattern": "<nobody>"}, "the claim 'cure' is not sound: 'nobody'"),
        ({"unless": "("}, "the claim 'cure' is not sound: missing"),
        ({"what": ""}, "the claim 'cure' is not sound: something is left out"),
        ({"put": [["a", "b"]]}, "the claim 'cure' is not sound: the last words to put"),
        ({"put": []}, "the claim 'cure' is not sound: the last words to put"),
        ({"put": [[".+", ""]]}, "the claim 'cure' is not sound: something is left out"),
        ({"put": [["(", "x"], [".+", "y"]]}, "the claim 'cure' is not sound: missing"),
        ({"source": ["nobody"]}, "the claim 'cure' is not sound: 'nobody'"),
        ({"source": []}, "the claim 'cure' is not sound: something is left out"),
        ({"code": ""}, "the claim '' is not sound: something is left out"),
        ({"code": "treat"}, "the claim 'treat' is not sound: it is there twice"),
    ],
)
def test_a_broken_table_is_refused_with_its_row_and_the_reason(
    changed: dict[str, Any], words: str
) -> None:
    data = tomllib.loads(FILE.read_text("utf-8"))
    data["claim"][0] |= changed
    with pytest.raises(ValueError, match=f"^{words}"):
        read_claims(data)


@pytest.mark.parametrize(
    "text",
    ["", "İİİ", "\n\n\0", "x" * 50_000, "no more the your a " * 2700, "lose " * 10_000,
     "not " * 12_500, "{" * 50_000, "9 " * 25_000],
    ids=range(9),
)  # fmt: skip
def test_any_text_is_read_at_once(text: str) -> None:
    begun = time.perf_counter()
    assert promises(text) == []
    assert time.perf_counter() - begun < 1


def test_markup_is_text_like_any_other() -> None:
    assert [one.words for one in promises("<script>cures</script>")] == ["cures"]
    assert len(promises("cures " * 8000)) == 8000
