"""What is uploaded never lies unencrypted on the disk, and what is too large is still told of."""

from __future__ import annotations

from typing import Any

import pytest
from django.core.files.uploadedfile import InMemoryUploadedFile, SimpleUploadedFile
from django.http import HttpRequest
from django.test import RequestFactory

from coach.practice.files import MOST_BYTES


def received(content: bytes) -> InMemoryUploadedFile:
    sent = {"letter": SimpleUploadedFile("letter.pdf", content, "application/pdf")}
    request: HttpRequest = RequestFactory().post("/", sent)
    file: Any = request.FILES["letter"]
    assert type(file) is InMemoryUploadedFile
    return file


@pytest.mark.parametrize("size", [0, 1, 70_000, 3 * 1024 * 1024, MOST_BYTES])
def test_a_file_that_is_taken_comes_whole_and_in_memory(size: int) -> None:
    content = bytes(range(256)) * (size // 256) + bytes(size % 256)
    file = received(content)
    assert (file.read(), file.size, file.name) == (content, size, "letter.pdf")


@pytest.mark.parametrize("more", [1, 5 * 1024 * 1024])
def test_of_one_that_is_too_large_no_more_than_a_byte_too_many_is_kept(more: int) -> None:
    assert received(bytes(MOST_BYTES + more)).size == MOST_BYTES + 1
