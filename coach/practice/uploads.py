"""Uploaded files are held in memory: nothing unencrypted touches the disk."""

from __future__ import annotations

from io import BytesIO
from typing import Any

from django.core.files.uploadedfile import InMemoryUploadedFile
from django.core.files.uploadhandler import FileUploadHandler

from coach.practice.files import MOST_BYTES


class InMemory(FileUploadHandler):
    """Keeps a file up to one byte more than is taken, so that its form can say it is too large."""

    def new_file(self, *args: Any, **kwargs: Any) -> None:
        super().new_file(*args, **kwargs)
        self._content = BytesIO()

    def receive_data_chunk(self, raw_data: bytes, start: int) -> None:
        room = MOST_BYTES + 1 - self._content.tell()
        self._content.write(raw_data[: max(0, room)])

    def file_complete(self, file_size: int) -> InMemoryUploadedFile:
        size = self._content.tell()
        self._content.seek(0)
        return InMemoryUploadedFile(
            file=self._content,
            field_name=self.field_name,
            name=self.file_name,
            content_type=self.content_type,
            size=size,
            charset=self.charset,
            content_type_extra=self.content_type_extra,
        )
