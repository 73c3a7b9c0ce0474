"""Words in a class that a client whose pages are quiet should not read. Pure."""

from __future__ import annotations

import re

from clients.rules.words import NEVER_IF_QUIET

_WORD = re.compile(r"\w+")


def loud_words(text: str) -> tuple[str, ...]:
    """The words of a text that hold one of NEVER_IF_QUIET, lower case, each once, in order."""
    words = (one[0].casefold() for one in _WORD.finditer(text))
    loud = (word for word in words if any(part in word for part in NEVER_IF_QUIET))
    return tuple(dict.fromkeys(loud))
