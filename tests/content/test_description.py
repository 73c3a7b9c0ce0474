"""A description from a template: what its fields become, what is no field, what is typed."""

from __future__ import annotations

import time

import pytest

from clients.rules.words import says_too_much
from coach.scheduling.values import SERVABLE_STAGES
from content.rules.description import (
    CAUTIONS,
    DEFAULT,
    FIELDS,
    LONGEST,
    Template,
    stages_line,
    template_from,
    typed_text,
    unknown_fields,
    write,
)
from content.rules.quiet import loud_words

VALUES = {
    "title": "Standing {core}", "minutes": "20", "chapters": "0:00 Squat\n1:00 Clam",
    "kit": "mat", "stages": "Made for trimester 2; check the person", "series": "",
    "cautions": "Ask first.", "links": "",
}  # fmt: skip


def test_the_first_template_uses_every_field_and_leaves_no_gap() -> None:
    assert write(DEFAULT, VALUES).text == (
        "Standing {core}\n\n20 minutes. You need: mat.\nMade for trimester 2; check the person\n\n"
        "0:00 Squat\n1:00 Clam\n\nAsk first."
    )
    assert [name for name in FIELDS if f"{{{name}}}" not in DEFAULT] == []


def test_a_class_of_which_nothing_more_is_known_reads_well_too() -> None:
    bare = {"title": "Hips", "minutes": "20", "kit": "nothing", "cautions": "Ask first."}
    assert write(DEFAULT, bare).text == "Hips\n\n20 minutes. You need: nothing.\n\nAsk first."


@pytest.mark.parametrize(
    ("template", "text", "unknown"),
    [
        ("{title}", "Standing {core}", ()),
        ("{ title }", "Standing {core}", ()),
        ("{{title}}", "{Standing {core}}", ()),
        ("{colour} and {colour}", "{colour} and {colour}", ("colour",)),
        ("{Title}", "{Title}", ("Title",)),
        ("{}", "{}", ("",)),
        ("{title.__class__} {0}", "{title.__class__} {0}", ("title.__class__", "0")),
        ("}{title{", "}{title{", ()),
        ("{ti\ntle}", "{ti\ntle}", ()),
        ("{series}", "", ()),
        ("- {series} / {links} -", "", ()),
        ("Part: {series}", "Part:", ()),
        ("a\n\n\n\n{series}\n\nb", "a\n\nb", ()),
        ("<script>{kit}</script>", "<script>mat</script>", ()),
        ("", "", ()),
    ],
)
def test_fields_are_filled_in_once_and_what_is_none_stays(
    template: str, text: str, unknown: tuple[str, ...]
) -> None:
    written = write(template, VALUES)
    assert (written.text, written.unknown) == (text, unknown)
    assert unknown_fields(template) == unknown


def test_letters_are_counted_and_what_most_hosts_cut_is_told() -> None:
    written = [write("x" * letters, {}) for letters in (LONGEST, LONGEST + 1)]
    assert [(one.length, one.too_long) for one in written] == [(5000, False), (5001, True)]


@pytest.mark.parametrize("template", ["{" * 50_000, "{title}" * 7000, "{x" * 25_000, "\n" * 50_000])
def test_any_template_is_read_at_once(template: str) -> None:
    begun = time.perf_counter()
    write(template, VALUES)
    assert time.perf_counter() - begun < 1


def test_stages_say_that_the_person_is_to_be_checked() -> None:
    every = [str(stage) for stage in SERVABLE_STAGES]
    assert stages_line(every) == "No stage excluded; check the person"
    assert stages_line(["t2", "t3"]) == "Made for: trimesters 2 and 3; check the person"
    later = ["t1", "w6-12", "w12-26"]
    assert stages_line(later) == "Made for: trimester 1, 6–26 weeks postnatal; check the person"
    assert stages_line(later[1:], quiet=True) == "Made for: 6–26 weeks since; check the person"
    assert stages_line([]) == ""


def test_a_template_is_stored_as_one_text_with_its_links() -> None:
    for one in (Template("{title}", "https://example.org\nmore"), Template("{title}"), Template()):
        assert template_from(one.stored) == one
    assert template_from("") == template_from(" \n") == Template(DEFAULT)
    assert (Template("{cautions}").cautions, Template("cautions").cautions) == (True, False)


def test_what_is_typed_has_one_kind_of_line_end_and_no_control_characters() -> None:
    assert typed_text("\n a\r\nb\rc\td\0\x0c\x1b\x7fe \n") == "a\nb\nc\tde"


def test_the_cautions_name_the_signs_to_stop_at_and_may_be_read_by_anybody() -> None:
    """ACOG Committee Opinion 804 (2020), its box of signs to stop at; restated from memory."""
    signs = ("bleed", "leak fluid", "pain", "regular tightenings", "headache", "calf", "dizzy",
             "weak", "out of breath before", "pain in the chest")  # fmt: skip
    assert [sign for sign in signs if sign not in CAUTIONS] == []
    assert not says_too_much(CAUTIONS)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("Baby steps for your bump, baby", ("baby", "bump")),
        ("Trimester 2, after the BIRTH", ("trimester", "birth")),
        ("Pregnancy and newborns", ("pregnancy", "newborns")),
        ("Standing core with a chair", ()),
        ("", ()),
    ],
)
def test_words_that_a_quiet_client_should_not_read_are_named(
    text: str, words: tuple[str, ...]
) -> None:
    assert loud_words(text) == words
