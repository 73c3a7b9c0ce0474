"""A description from the coach's own template, its fields in braces. Pure."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from dataclasses import dataclass

from content.rules.classes import NO_STAGE_EXCLUDED, stages_in_words

# The fields of a template, with what each stands for.
FIELDS: dict[str, str] = {
    "title": "the title of the class",
    "minutes": "its length in minutes",
    "chapters": "the chapters, one a line",
    "kit": "what she needs",
    "stages": "the stages it is made for, and that the person is to be checked",
    "series": "its series and part",
    "cautions": "when to ask first and when to stop",
    "links": "your links, written below the template",
}
DEFAULT = """{title}

{minutes} minutes. You need: {kit}.
{stages}
{series}

{chapters}

{cautions}
{links}
"""
# When to stop: the warning signs of ACOG Committee Opinion 804 (2020), in our own words, without a
# word that a quiet client should not read; the wording is ours.
CAUTIONS = (
    "Ask your midwife or doctor before you begin. Stop and ring them if you bleed or leak fluid, "
    "if you have pain, regular tightenings, a headache or a painful or swollen calf, or if you "
    "feel dizzy, weak or out of breath before you have begun; with pain in the chest ring the "
    "emergency number. This class is no medical advice."
)
LONGEST = 5000  # letters; common practice, no source: what most hosts take
CHECK = "check the person"
_FIELD = re.compile(r"\{([^{}\n]*)\}")
_PAGE_BREAK = "\f"  # parts a stored template from its links
_NOT_TYPED = re.compile(r"[\x00-\x08\x0b-\x1f\x7f]")


@dataclass(frozen=True, slots=True)
class Template:
    """The coach's own template and the links that stand for its field {links}."""

    text: str = DEFAULT
    links: str = ""

    @property
    def stored(self) -> str:
        """As one text, which `template_from` reads."""
        return _PAGE_BREAK.join((self.text, self.links)) if self.links else self.text

    @property
    def cautions(self) -> bool:
        """Whether it says when to ask first and when to stop."""
        return "cautions" in _names(self.text)


def template_from(stored: str) -> Template:
    """The template of a stored text; the first one where nothing is stored."""
    text, _, links = stored.partition(_PAGE_BREAK)
    return Template(text if text.strip() else DEFAULT, links)


@dataclass(frozen=True, slots=True)
class Written:
    """A description with how long it is, in letters, and fields of the template that are none."""

    text: str
    unknown: tuple[str, ...] = ()

    @property
    def length(self) -> int:
        """Letters."""
        return len(self.text)

    @property
    def too_long(self) -> bool:
        """Whether most hosts would cut it."""
        return self.length > LONGEST


def typed_text(text: str) -> str:
    """What was typed, with one kind of line end, without control characters and outer blanks."""
    lines = text.replace("\r\n", "\n").replace("\r", "\n")
    return _NOT_TYPED.sub("", lines).strip()


def stages_line(codes: Collection[str], *, quiet: bool = False) -> str:
    """The stages that a class is made for, as a description says them; "" for not known.

    `quiet`: clients whose pages are quiet may read it, so that weeks stay weeks since.
    """
    if not codes:
        return ""
    words = stages_in_words(codes)
    if words == NO_STAGE_EXCLUDED:
        return f"{words.capitalize()}; {CHECK}"
    plain = words.replace(" · ", ", ")
    return f"Made for: {plain if quiet else plain.replace(' since', ' postnatal')}; {CHECK}"


def unknown_fields(template: str) -> tuple[str, ...]:
    """Fields that there are not, each once, in order."""
    return tuple(dict.fromkeys(name for name in _names(template) if name not in FIELDS))


def _names(line: str) -> list[str]:
    return [one[1].strip() for one in _FIELD.finditer(line)]


def write(template: str, values: Mapping[str, str]) -> Written:
    """The template with its fields filled in; a field that there is not stays as it is typed.

    A line that holds nothing but empty fields goes, and of empty lines in a row one stays.
    """
    lines = [_line(line, values) for line in template.splitlines()]
    kept = [line for line in lines if line is not None]
    text = re.sub(r"\n{3,}", "\n\n", "\n".join(kept)).strip()
    return Written(text, unknown_fields(template))


def _line(line: str, values: Mapping[str, str]) -> str | None:
    """One line; None where its fields are all empty and nothing but marks is left."""
    known = [name for name in _names(line) if name in FIELDS]
    if known and not any(values.get(name, "").strip() for name in known):
        alone = _FIELD.sub("", line)
        if not any(letter.isalnum() for letter in alone):
            return None
    return _FIELD.sub(lambda one: _value(one, values), line).rstrip()


def _value(found: re.Match[str], values: Mapping[str, str]) -> str:
    name = found[1].strip()
    return values.get(name, "").strip() if name in FIELDS else found[0]
