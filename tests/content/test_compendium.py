"""MET values by edition and code of the Compendium, against the published lists.

Ainsworth and others 2011 (Med Sci Sports Exerc 43(8):1575-1581), read in a copy of its tracking
guide; Herrmann and others 2024 (J Sport Health Sci 13:6-12), read in a text by a third party.
2011:17190 is from memory; 2024:17100 stands in one copy only.
"""

from __future__ import annotations

from typing import Any

import pytest

from content.rules.compendium import activities, intensity_of, mets, read_activities

# What it is: (2011 code, MET), (2024 code, MET); None where the edition has none.
PUBLISHED: dict[str, tuple[tuple[str, float] | None, tuple[str, float] | None]] = {
    "calisthenics, light": (("02024", 2.8), ("02024", 2.8)),
    "calisthenics, moderate": (("02022", 3.8), ("02022", 3.8)),
    "calisthenics, vigorous": (("02020", 8.0), ("02020", 7.5)),
    "calisthenics on the floor": (("02030", 3.5), ("02030", 3.5)),
    "circuit, light": (None, ("02034", 3.5)),
    "circuit, moderate": (("02035", 4.3), ("02035", 5.0)),
    "circuit, body weight": (None, ("02032", 6.0)),
    "circuit, vigorous": (("02040", 8.0), ("02040", 7.5)),
    "body-weight resistance, general": (None, ("02056", 3.0)),
    "body-weight resistance, high": (None, ("02057", 6.5)),
    "resistance, 8 to 15": (("02054", 3.5), ("02054", 3.5)),
    "resistance, squats": (("02052", 5.0), ("02052", 5.0)),
    "resistance, vigorous": (("02050", 6.0), ("02050", 6.0)),
    "stretching": (("02101", 2.3), ("02101", 2.3)),
    "Pilates, general": (("02105", 3.0), ("02105", 2.8)),
    "Pilates, on a mat": (None, ("02103", 1.8)),
    "yoga, Hatha": (("02150", 2.5), ("02150", 2.3)),
    "yoga, power": (("02160", 4.0), ("02160", 4.0)),
    "yoga, sun salutation": (("02180", 3.3), ("02180", 3.5)),
    "yoga, breathing": (("02170", 2.0), ("02170", 2.0)),
    "aerobics, low impact": (("03020", 5.0), ("02005", 4.8)),
    "aerobics, high impact": (("03021", 7.3), ("02006", 8.0)),
    "aerobics, general": (("03015", 7.3), ("02000", 7.3)),
    "step, 4 inches": (("03018", 5.5), ("02001", 5.5)),
    "step, 6 to 8 inches": (("03016", 7.5), ("02002", 7.3)),
    "exercise ball": (("02112", 2.8), ("02112", 2.8)),
    "home exercise": (("02064", 3.8), ("02064", 3.8)),
    "video, light": (("02140", 2.3), ("02140", 2.5)),
    "video, moderate": (("02143", 4.0), ("02143", 4.0)),
    "video, vigorous": (("02146", 6.0), ("02145", 6.0)),
    "interval, moderate": (None, ("02210", 7.0)),
    "interval, vigorous": (None, ("02214", 11.0)),
    "sit to stand, slow": (None, ("02340", 2.8)),
    "sit to stand, fast": (None, ("02344", 4.0)),
    "water": (("02120", 5.3), ("02120", 5.3)),
    "jog and walk": (("12010", 6.0), ("12010", 6.0)),
    "jogging": (("12020", 7.0), ("12020", 7.5)),
    "walking, about 3 mph": (("17190", 3.5), ("17190", 3.8)),
    "walking with a stroller": (("17100", 4.0), ("17100", 3.8)),
    "walking for pleasure": (("17250", 3.5), None),
    "video game, light": (("02001", 2.3), None),
    "video game, moderate": (("02003", 3.8), None),
    "video game, vigorous": (("02005", 7.2), None),
}
ROW = [2.8, "nodding", "copy"]


def test_every_value_is_the_published_one_and_there_are_no_others() -> None:
    published = {
        f"{edition}:{row[0]}": row[1]
        for both in PUBLISHED.values()
        for edition, row in zip(("2011", "2024"), both, strict=True)
        if row
    }
    assert mets() == published


@pytest.mark.parametrize(
    ("code", "then", "now"),
    [("02001", (2.3, "game"), (5.5, "step")), ("02005", (7.2, "game"), (4.8, "aerobics"))],
)
def test_the_same_code_is_another_activity_in_another_edition(
    code: str, then: tuple[float, str], now: tuple[float, str]
) -> None:
    for edition, (met, word) in (("2011", then), ("2024", now)):
        row = activities()[f"{edition}:{code}"]
        assert (row.met, word in row.words) == (met, True)


def test_one_activity_crosses_a_limit_between_the_editions() -> None:
    found = [intensity_of(mets()[key]) for key in ("2011:02105", "2024:02105")]
    assert found == ["moderate", "light"]


def test_intensity_by_met() -> None:
    """Light below 3, moderate below 6, vigorous from there: WHO, CDC, ACSM."""
    assert [intensity_of(met) for met in (2.9, 2.99, 3.0, 5.9, 5.95, 6.0)] == [
        "light", "light", "moderate", "moderate", "moderate", "vigorous",
    ]  # fmt: skip


def test_a_value_that_was_not_read_in_the_list_says_so() -> None:
    unsure = {key: one.read for key, one in activities().items() if one.read in _UNSURE}
    assert unsure == {"2011:17190": "memory", "2024:17100": "one copy"}


_UNSURE = {"memory", "one copy"}


@pytest.mark.parametrize(
    ("edition", "code", "row", "why"),
    [
        ("24", "02024", ROW, "five digits"),
        ("2024", "2024", ROW, "five digits"),
        ("2024", "02024", [0.0, *ROW[1:]], "0.0 is no MET"),
        ("2024", "02024", [28, *ROW[1:]], "28 is no MET"),
        ("2024", "02024", ["2.8", *ROW[1:]], "not supported"),
        ("2024", "02024", [2.8, "", "copy"], "say what it is"),
        ("2024", "02024", [2.8, "nodding", "hearsay"], "say what it is"),
        ("2024", "02024", [2.8, "nodding"], "missing"),
    ],
)
def test_a_broken_row_is_refused_by_its_key(
    edition: str, code: str, row: list[Any], why: str
) -> None:
    with pytest.raises(ValueError, match=rf"^compendium.toml: {edition}:{code}: .*{why}"):
        read_activities({edition: {code: row}})
