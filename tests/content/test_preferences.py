"""What each wish weighs: presets, sliders, a file of points. Which classes are alike."""

from __future__ import annotations

from dataclasses import fields
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.scheduling.planner import Weights
from content.models import Preference
from content.rules.families import alike, families
from content.rules.preferences import WISHES, NotWeights, tuned, weights, weights_from

SERVE = Weights(fill=200, serve=30, reach=1, focus=40)


def test_every_preference_has_its_weights_and_favours_what_it_is_called_after() -> None:
    found = weights()
    assert set(found) == set(Preference.values)
    assert max(found, key=lambda name: found[name].serve) == "serve"
    assert max(found, key=lambda name: found[name].mix) == "mix"
    assert max(found, key=lambda name: found[name].focus) == "mix"
    assert max(found, key=lambda name: found[name].film) == "film"


def test_every_wish_has_words_and_every_word_a_wish() -> None:
    assert set(WISHES) == {field.name for field in fields(Weights)}


@pytest.mark.parametrize(
    ("points", "per_cent", "told"),
    [(30, 100, 30), (30, 0, 0), (30, 300, 90), (1, 50, 1), (1, 25, 0), (10, 75, 8), (4, 125, 5)],
)
def test_a_slider_turns_points_by_per_cent_to_whole_ones_a_half_up(
    points: int, per_cent: int, told: int
) -> None:
    assert tuned(Weights(serve=points), {"serve": per_cent}).serve == told


def test_sliders_not_moved_leave_the_preset() -> None:
    assert tuned(SERVE, {}) == SERVE


def test_a_file_names_points_and_the_rest_is_the_presets() -> None:
    toml = "# mine\nserve = 99\nfilm = 0\n"
    as_json = '{"serve": 99, "film": 0}'
    wanted = Weights(fill=200, serve=99, reach=1, focus=40, film=0)
    assert weights_from(toml, as_json=False, preset=SERVE) == wanted
    assert weights_from(as_json, as_json=True, preset=SERVE) == wanted
    assert weights_from("", as_json=False, preset=SERVE) == SERVE


@pytest.mark.parametrize(
    ("text", "as_json", "said"),
    [
        ("serve = 1\nservice = 2\n", False, r"^line 2: there is no wish “service”. There are ef"),
        ('{\n "serve": 1,\n "focus": -1\n}', True, r"^line 3: “focus” is -1: whole points"),
        ("# serve\n\nserve = -5", False, r"^line 3: “serve” is -5: whole points, 0 or more"),
        ("serve = 1.5", False, r"^line 1: “serve” is 1.5: whole"),
        ("serve = true", False, r"^line 1: “serve” is true: whole"),
        ('serve = "many"', False, r"^line 1: “serve” is \"many\": whole"),
        ("[serve]\nfill = 1", False, r"^line 1: “serve” is {\"fill\": 1}: whole"),
        ("serve = 1\nserve = 2", False, r"^This is no TOML: .*line 2"),
        ("serve", False, r"^This is no TOML: .*line 1"),
        ('{"serve": 1,\n"serve": 2}', True, r"^line 1: “serve” stands there twice"),
        ('{\n"serve": }', True, r"^line 2: this is no JSON"),
        ("[1]", True, r"^line 1: an object"),
    ],
)
def test_what_is_no_file_of_points_is_told_with_its_place(
    text: str, as_json: bool, said: str
) -> None:
    with pytest.raises(NotWeights, match=said):
        weights_from(text, as_json=as_json, preset=SERVE)


def test_classes_that_share_half_of_the_shorter_are_a_family() -> None:
    found = families(
        {
            5: ("bridge", "bird-dog", "squat", "row"),
            2: ("bridge", "bird-dog"),
            3: ("plank",),
            4: (),
            9: ("row", "squat", "press", "lunge"),
        }
    )
    assert found == {2: 2, 5: 2}


def test_a_family_takes_in_only_who_is_like_every_member() -> None:
    """3 is like 2, and 2 like 1, but 3 is not like 1."""
    assert families({1: "ab", 2: "bc", 3: "cd"}) == {1: 1, 2: 1}


@given(st.dictionaries(st.integers(1, 12), st.text("abcdef", max_size=5), max_size=10))
def test_families_hold_only_pairs_that_are_alike_and_are_named_after_the_lowest(
    classes: dict[int, str],
) -> None:
    """Checked pair by pair against the definition, by counting."""
    found = families(classes)
    for one, other in combinations(found, 2):
        if found[one] == found[other]:
            few, many = sorted((set(classes[one]), set(classes[other])), key=len)
            assert sum(code in many for code in few) * 2 >= len(few) > 0
    for pk, family in found.items():
        assert family == min(key for key in found if found[key] == family) <= pk
        assert list(found.values()).count(family) > 1
    alone = [pk for pk in classes if pk not in found]
    assert not any(alike(classes[a], classes[b]) for a, b in combinations(alone, 2))
