"""Photos as they are kept: drawn anew, without the place, the hour or anything beside the dots."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from threading import Lock

from coach.practice import redrawing

KINDS = ("image/jpeg", "image/png", "image/heic")
_PROGRAM = Path(redrawing.__file__)
_UNREADABLE = "The photo cannot be read. Take it again, or save the letter as a PDF."
_LONG = "The photo takes too long to read. Take a smaller one."
_ONE_AT_A_TIME = Lock()  # each may need a gigabyte for a moment


class PictureRefused(ValueError):
    """A photo that cannot be drawn anew; the message is a sentence for the field."""


def redrawn(content: bytes, kind: str) -> tuple[bytes, str]:
    """A photo with nothing left in it but what is seen, and its kind; see redrawing.redrawn.

    `kind` is one of KINDS. PictureRefused for what no decoder gets through, or not in time. It
    happens in memory, in a program of its own, so call it outside of transactions.
    """
    if kind not in KINDS:
        raise ValueError(f"{kind} is no kind of photo")
    command = [sys.executable, "-I", str(_PROGRAM), kind]
    with _ONE_AT_A_TIME:
        try:
            done = subprocess.run(  # noqa: S603  # our own file, and no shell
                command,
                input=content,
                capture_output=True,
                timeout=redrawing.SECONDS,
                env=_without_secrets(),
                check=False,
            )
        except subprocess.TimeoutExpired:
            raise PictureRefused(_LONG) from None
    made, _, drawn = done.stdout.partition(b"\n")
    if done.returncode or not drawn:
        raise PictureRefused(_UNREADABLE)
    return drawn, made.decode()


def _without_secrets() -> dict[str, str]:
    """The environment without keys and addresses: the program reads what a stranger made."""
    named = {name: value for name, value in os.environ.items() if name != "DATABASE_URL"}
    return {name: value for name, value in named.items() if not name.startswith("COACH_")}
