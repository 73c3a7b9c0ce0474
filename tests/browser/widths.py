"""The widths that pages are tried at: a phone always, a desk where time is no matter."""

from __future__ import annotations

import pytest

PHONE, DESK = 390, 1280
PHONE_AND_DESK = [PHONE, pytest.param(DESK, marks=pytest.mark.endurance)]
