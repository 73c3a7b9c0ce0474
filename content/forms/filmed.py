"""The captions of a filmed class, and a time put right by hand."""

from __future__ import annotations

from typing import Any

from django import forms

from content.rules.captions import MOST_LETTERS, Captions, NotCaptions, read_captions
from content.rules.film_times import film_time

MOST_BYTES = 2 * MOST_LETTERS  # as UTF-16
TOO_LARGE = "The file is too large for the captions of one class."


class CaptionsForm(forms.Form):
    """A file, or the text pasted; what the film's length is, where she knows it."""

    file = forms.FileField(
        label="Caption file",
        required=False,
        allow_empty_file=True,
        help_text="WebVTT, SRT, or text whose lines begin with a time like 0:40.",
        widget=forms.FileInput(attrs={"accept": ".vtt,.srt,.txt,text/vtt,text/plain"}),
    )
    text = forms.CharField(
        label="Or paste the text",
        required=False,
        max_length=MOST_LETTERS,
        strip=False,
        widget=forms.Textarea(attrs={"rows": 6}),
    )
    length = forms.CharField(
        label="Length of the film",
        required=False,
        max_length=12,
        help_text="Like 31:20. Without it the film is taken to end with its last caption.",
    )
    keep_fixed = forms.BooleanField(
        label="It is the same film: keep the times that were put right", required=False
    )
    captions: Captions

    def __init__(self, *args: Any, any_fixed: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if not any_fixed:
            del self.fields["keep_fixed"]

    def clean_length(self) -> int | None:
        """Milliseconds, None where it is not known."""
        text = self.cleaned_data["length"]
        try:
            return film_time(text) if text else None
        except ValueError as wrong:
            raise forms.ValidationError(str(wrong)) from wrong

    def clean(self) -> dict[str, Any]:
        """Read the captions; what is wrong is said beside where they came from."""
        data = super().clean() or {}
        file, text = data.get("file"), data.get("text", "")
        if file and text.strip():
            self.add_error("text", "Choose a file or paste the text, not both.")
        elif file and file.size > MOST_BYTES:
            self.add_error("file", TOO_LARGE)
        elif file:
            self._read("file", file.read())
        elif text.strip():
            self._read("text", text.encode())
        elif not self.errors:
            self.add_error("file", "Choose a file, or paste the text below.")
        return data

    def _read(self, field: str, content: bytes) -> None:
        try:
            self.captions = read_captions(content)
        except NotCaptions as wrong:
            self.add_error(field, str(wrong))

    @property
    def file_name(self) -> str:
        """What the file was called, "" for pasted text."""
        file = self.cleaned_data.get("file")
        return str(file.name) if file else ""


class FixForm(forms.Form):
    """When an interval really began."""

    key = forms.CharField(max_length=60)
    at = forms.CharField(max_length=12, required=False)

    def clean_at(self) -> int:
        """Milliseconds of the film."""
        try:
            return film_time(self.cleaned_data["at"])
        except ValueError as wrong:
            raise forms.ValidationError(str(wrong)) from wrong
