"""The form that says that an assessment was a mistake."""

from __future__ import annotations

from clients.forms.fields import RefusableForm, text_field


class WithdrawAssessmentForm(RefusableForm):
    """Why it counts for nothing any more."""

    reason = text_field("Why", longest=500, rows=3, hint="It stays beside what was measured.")
