"""Promises in titles and descriptions: what is caught, what is not, what is kept knowingly."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from content.rules.claims import claims, promises, read_claims

FILE = Path(__file__).parents[2] / "content" / "data" / "claims.toml"

# FTC, Health Products Compliance Guidance (2022); CAP Code, sections 12 and 13 (UK): the kinds of
# promise are theirs, the sentences invented.
CAUGHT = {
    "cure": ["Cures back pain", "This heals your core", "Fixes leaking for good"],
    "treat": ["Treats prolapse", "A treatment for sciatica", "Prevents tearing"],
    "diagnose": ["Diagnose your gap", "Test yourself for prolapse", "Find out if you have it"],
    "guarantee": ["Results guaranteed", "100% of clients feel it", "Clinically proven moves"],
    "timed-weight": ["Lose 5 kg", "Drop two dress sizes", "Burn off ten pounds"],
    "weight": ["A fat-burning class", "Weight loss after birth", "For a flat tummy"],
    "back-to-before": ["Bounce back", "Get your body back", "Your pre-pregnancy body"],
    "in-days": [
        "In 6 weeks you see results",
        "Within ten days stronger",
        "After 14 days it is gone",
    ],
    "close-gap": ["Close the gap", "Closing your diastasis", "Knit your abs together"],
    "safe-for-all": ["Safe for everyone", "100% safe", "Safe in every trimester"],
    "easy-birth": ["For an easier birth", "Painless labour", "Avoid tearing"],
    "instead-of": ["Instead of a physio", "No need to see a doctor", "Avoid surgery"],
}
NOT_CAUGHT = [
    "Standing strength for the second trimester",
    "This is not a cure for anything",
    "It never replaces and cannot treat a condition",
    "Ask your midwife first",
    "Secure your mat and fixture",
    "A class of 20 minutes, with a chair",
    "Breathe, and let the ribs open",
    "Strong back for carrying",
    "After the birth: first weeks",
    "Weight in both feet, lose the tension",
    "Close your eyes",
    "Six weeks of classes, one a week",
]


@pytest.mark.parametrize(("code", "text"), [(c, t) for c, row in CAUGHT.items() for t in row])
def test_what_a_coach_may_not_promise_is_found(code: str, text: str) -> None:
    assert code in {one.claim.code for one in promises(text)}


@pytest.mark.parametrize("text", NOT_CAUGHT)
def test_what_is_no_promise_is_left_alone(text: str) -> None:
    assert [one.words for one in promises(text)] == []


def test_every_kind_is_tried() -> None:
    assert set(CAUGHT) == {one.code for one in claims()}


def test_each_has_plainer_words_and_its_published_source() -> None:
    for one in claims():
        assert one.plainer
        assert "FTC" in one.source or "CAP" in one.source
        assert promises(one.plainer) == []


def test_the_words_are_found_where_they_stand_and_the_longer_one_counts() -> None:
    text = "Lovely. It heals you, and is completely safe for everyone."
    found = promises(text)
    assert [text[one.start : one.end] for one in found] == [one.words for one in found]
    assert [one.words for one in found] == ["heals", "completely safe"] or [
        one.words for one in found
    ] == ["heals", "safe for everyone"]


def test_what_is_kept_knowingly_is_not_told_again() -> None:
    (one,) = promises("It HEALS you")
    assert one.key == "cure:heals"
    assert promises("It heals you", [one.key]) == []
    assert [each.words for each in promises("It cures you", [one.key])] == ["cures"]


@pytest.mark.parametrize(
    "changed",
    [{"pattern": "("}, {"pattern": ""}, {"what": ""}, {"plainer": ""}, {"source": ["nobody"]},
     {"source": []}, {"code": ""}],
)  # fmt: skip
def test_a_broken_table_is_refused_with_its_row(changed: dict[str, Any]) -> None:
    data = tomllib.loads(FILE.read_text("utf-8"))
    data["claim"][0] |= changed
    with pytest.raises(ValueError, match="the claim '"):
        read_claims(data)
    data["claim"][0] = data["claim"][1]
    with pytest.raises(ValueError, match="the claim 'treat' is not sound"):
        read_claims(data)


def test_any_text_is_read() -> None:
    for text in ("", "İİİ heals", "x" * 50_000, "<script>cures</script>", "\n\n\0"):
        promises(text)
