"""The words with which classes are handed out to a client; neutral, so that any page may hold them.

Pure.
"""

from __future__ import annotations

from collections.abc import Sequence

SUBJECT = "Classes for you, from {practice}"


def text_for(name: str, practice: str, titles: Sequence[str]) -> str:
    """What she is told: the titles, a line each, and when to stop."""
    lines = "\n".join(f"· {title}" for title in titles)
    first = name.split()[0] if name.split() else name
    return (
        f"Dear {first},\n\nthese classes fit what I know of you now:\n\n{lines}\n\n"
        "Take the easier option where one is shown and you feel better with it. Stop, and ring "
        "your midwife or doctor, if you bleed, have pain, feel dizzy or out of breath at rest, or "
        "anything feels wrong; then tell me before you go on.\n\n"
        f"{practice}\n"
    )
