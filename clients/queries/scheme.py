"""How the practice cuts the trimesters."""

from __future__ import annotations

from coach.practice.queries import practice_or_none
from coach.scheduling.trimesters import DEFAULT_SCHEME, SCHEMES, TrimesterScheme


def the_scheme() -> TrimesterScheme:
    """The scheme of the practice, in one query; the default before there is one."""
    practice = practice_or_none()
    return SCHEMES[practice.trimester_scheme] if practice else DEFAULT_SCHEME
