"""Times as text for captions, tracks and descriptions, from whole milliseconds. Pure.

Milliseconds are split as whole numbers: formatting seconds after dividing gives 60.000.
"""

from __future__ import annotations

from content.rules.timeline import clock


def _parts(ms: int) -> tuple[int, int, int, int]:
    seconds, rest = divmod(ms, 1000)
    minutes, seconds = divmod(seconds, 60)
    hours, minutes = divmod(minutes, 60)
    return hours, minutes, seconds, rest


def vtt_time(ms: int) -> str:
    """ "00:01:02.500", as W3C's WebVTT writes it; hours as many digits as needed, at least two."""
    hours, minutes, seconds, rest = _parts(ms)
    return f"{hours:02}:{minutes:02}:{seconds:02}.{rest:03}"


def srt_time(ms: int) -> str:
    """ "00:01:02,500", as SRT files have it (no standard)."""
    return vtt_time(ms).replace(".", ",")


def list_time(ms: int) -> str:
    """ "1:02" or "1:02:03" for a description: cut down, never later than the real start."""
    return clock(ms // 1000)


def vtt_text(text: str) -> str:
    """A line that is safe in a WebVTT cue: nothing of it is read as markup."""
    plain = " ".join(text.split())
    return plain.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


def srt_text(text: str) -> str:
    """A line of an SRT file, which knows no escapes: a lone "<" is written as it is."""
    return " ".join(text.split()).replace("-->", "→")
