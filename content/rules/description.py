"""A description from the coach's own template, its fields in braces. Pure."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

# The fields of a template, with what each stands for.
FIELDS: dict[str, str] = {
    "title": "the title of the class",
    "minutes": "its length in minutes",
    "chapters": "the chapters, one a line",
    "kit": "what she needs",
    "stages": "the stages it suits",
    "series": "its series and part",
    "cautions": "the usual cautions",
    "links": "the links of the template",
}
DEFAULT = """{title}

{minutes} minutes. {stages}. You need: {kit}.
{series}

{chapters}

{cautions}
{links}
"""
CAUTIONS = (
    "Ask your midwife or doctor before you begin, and stop and ring them if you bleed, leak fluid, "
    "have pain, feel dizzy or out of breath at rest. This class is no medical advice."
)
LONGEST = 5000  # common practice: what most hosts take
_FIELD = re.compile(r"\{([^{}\n]*)\}")


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


def unknown_fields(template: str) -> tuple[str, ...]:
    """Fields that there are not, each once, in order."""
    names = (one[1].strip() for one in _FIELD.finditer(template))
    return tuple(dict.fromkeys(name for name in names if name not in FIELDS))


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
    names = [one[1].strip() for one in _FIELD.finditer(line)]
    known = [name for name in names if name in FIELDS]
    filled = _FIELD.sub(lambda one: _value(one, values), line)
    if known and not any(values.get(name, "").strip() for name in known):
        alone = _FIELD.sub("", line)
        if not any(letter.isalnum() for letter in alone):
            return None
    return filled.rstrip()


def _value(found: re.Match[str], values: Mapping[str, str]) -> str:
    name = found[1].strip()
    return values.get(name, "").strip() if name in FIELDS else found[0]
