"""Which files are taken as a letter: PDF, JPEG, PNG, HEIC, recognised by their bytes. Pure.

Neither the name nor what a browser says of a file is believed. A file is followed from its first
part to its last, so that one that is cut off is found out; nothing is unpacked, so that nothing
can unpack to more than it is. Formats: ISO 32000-2 (PDF), ITU-T T.81 (JPEG), W3C PNG,
ISO/IEC 14496-12 and 23008-12 (HEIC).
"""

from __future__ import annotations

import re
import struct
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import PurePosixPath

MOST_BYTES = 10 * 1024 * 1024
MOST_PIXELS = 50_000_000  # what telephones take of themselves; common practice, no source
MOST_SCANS = 100  # a photo sent coarse first has about ten; common practice, no source
LONGEST_NAME = 120
ACCEPTED = ".pdf,.jpg,.jpeg,.png,.heic,application/pdf,image/jpeg,image/png,image/heic"

_WANTED = "Take a PDF, or a photo as JPEG, PNG or HEIC."
_OR_PHOTO = "Print it to a new PDF, or take a photo of the letter."
_CUT_OFF = (
    "The file is not whole: it ends too early. Fetch it again, or take a photo of the letter."
)
_EMPTY = "The file is empty."
_LARGE = "The file is larger than 10 MB. Take the photo smaller, or save the PDF smaller."
_HUGE = "The picture has more than 50 million dots. Take a smaller one."
_ENDLESS = "The picture is drawn over itself too often to be a photo. Take another one."
_MOVES = "The picture moves. Take one that stands still."
# What a PDF must not hold, by the names of ISO 32000-2; each with a sentence of its own.
_NOT_IN_A_PDF = (
    (b"JavaScript|JS", "The PDF holds a program."),
    (b"Launch", "The PDF starts a program."),
    (b"EmbeddedFiles?", "The PDF holds another file."),
    (b"RichMedia|Movie|Sound", "The PDF holds a film or a sound."),
    (b"Encrypt", "The PDF is locked with a password."),
)
# What somebody is likely to try, by its first bytes, with a sentence of its own.
_KNOWN_OTHERS = {
    b"PK\x03\x04": "That is a word-processor or zip file.",
    b"\xd0\xcf\x11\xe0": "That is a file of an older word processor.",
    b"GIF8": "That is a GIF.",
    b"RIFF": "That is a WebP picture or a sound.",
    b"II*\x00": "That is a TIFF.",
    b"MM\x00*": "That is a TIFF.",
    b"BM": "That is a bitmap.",
    b"MZ": "That is a program.",
    b"\x7fELF": "That is a program.",
    b"#!": "That is a program.",
    b"{\\rtf": "That is a rich-text file.",
    b"%!PS": "That is PostScript.",
    b"\x1f\x8b": "That is a packed file.",
    b"7z\xbc\xaf": "That is a packed file.",
    b"Rar!": "That is a packed file.",
}
_BOXED = {
    b"avif": "That is an AVIF picture.",
    b"avis": "That is an AVIF picture.",
    b"msf1": _MOVES,
    b"hevc": _MOVES,
    b"qt  ": "That is a film.",
    b"isom": "That is a film.",
    b"mp42": "That is a film.",
}
_HEIC = re.compile(rb"....ftyp(heic|heix|mif1)", re.DOTALL)
_ENDINGS = {
    "application/pdf": ".pdf",
    "image/png": ".png",
    "image/jpeg": ".jpg",
    "image/heic": ".heic",
}


class DocumentRefused(ValueError):
    """A file that is not taken; the message is a sentence for the field."""


@dataclass(frozen=True, slots=True)
class Document:
    """A file that was recognised: its tidied name, its content and what it is."""

    name: str
    content: bytes
    content_type: str

    @property
    def is_photo(self) -> bool:
        """Whether it is a picture, which may say where and when it was taken."""
        return self.content_type.startswith("image/")

    def redrawn(self, content: bytes, content_type: str) -> Document:
        """The same under the ending of another kind."""
        stem = self.name.removesuffix(_ENDINGS[self.content_type])
        return Document(stem + _ENDINGS[content_type], content, content_type)


def read_document(name: str, content: bytes) -> Document:
    """The file as a letter; DocumentRefused, with a sentence for its field, for anything else.

    `name` is what somebody's machine called it; the ending becomes that of what it is. A photo
    still says where it was taken: clients.documents.taken has it drawn anew.
    """
    if not content:
        raise DocumentRefused(_EMPTY)
    if len(content) > MOST_BYTES:
        raise DocumentRefused(_LARGE)
    for start, content_type, follow in _KINDS:
        if start.match(content):
            follow(content)
            return Document(_tidy(name, _ENDINGS[content_type]), content, content_type)
    raise DocumentRefused(f"{_what_else(content)}{_WANTED}")


def _what_else(content: bytes) -> str:
    if content[4:8] == b"ftyp":
        return f"{_BOXED.get(content[8:12], 'That is a film.')} "
    if re.match(rb"\s*<(!doctype|html|svg|\?xml|script)", content, re.IGNORECASE):
        return "That is a web page or a drawing. "
    found = (words for start, words in _KNOWN_OTHERS.items() if content.startswith(start))
    return "".join(f"{words} " for words in found)


def _tidy(name: str, ending: str) -> str:
    """A name without folders, control characters or an ending that is not its own."""
    last = PurePosixPath(name.replace("\\", "/")).name
    plain = " ".join("".join(sign if sign.isprintable() else " " for sign in last).split())
    stem = re.sub(r"(\.\w{1,5})+$", "", plain).strip(". ")
    return f"{stem[:LONGEST_NAME] or 'letter'}{ending}"


def _follow_pdf(content: bytes) -> None:
    """A PDF has a version, ends with the place of its index and its end mark, and runs nothing.

    A program, a file in it or a lock is seen only where it lies open, outside of packed streams:
    what is stored is never opened by the server, and a browser shows it without programs.
    """
    if not re.match(rb"%PDF-[12]\.\d", content):
        raise DocumentRefused(f"The PDF is not one that can be read. {_WANTED}")
    tail = content[-2048:]
    found = re.search(rb"startxref\s+(\d+)\s+%%EOF\s*\Z", tail.rstrip(b"\x00\r\n\t ") + b"\n")
    if found is None or not 0 < int(found[1][:12]) < len(content):
        raise DocumentRefused(_CUT_OFF)
    plain = re.sub(rb"(?<!end)stream\r?\n.*?endstream", b"", content, flags=re.DOTALL)
    names = re.sub(rb"#([0-9A-Fa-f]{2})", lambda hit: bytes((int(hit[1], 16),)), plain)
    for held, words in _NOT_IN_A_PDF:
        if re.search(rb"/(" + held + rb")(?![A-Za-z0-9])", names):
            raise DocumentRefused(f"{words} {_OR_PHOTO}")


def _follow_png(content: bytes) -> None:
    """A PNG is a row of parts, each with its checksum: the header first, the end mark last."""
    at = 8
    kinds: list[bytes] = []
    while not kinds or kinds[-1] != b"IEND":
        head = content[at : at + 8]
        if len(head) < 8:
            raise DocumentRefused(_CUT_OFF)
        length, kind = struct.unpack(">I4s", head)
        body, check = content[at + 8 : at + 8 + length], content[at + 8 + length :][:4]
        if len(body) < length or len(check) < 4 or _sum(kind, body) != check:
            raise DocumentRefused(_CUT_OFF)
        if not kinds:
            _check_png_header(kind, body)
        kinds.append(kind)
        at += 12 + length
    if b"IDAT" not in kinds:
        raise DocumentRefused(_CUT_OFF)
    if b"acTL" in kinds:
        raise DocumentRefused(_MOVES)


def _sum(kind: bytes, body: bytes) -> bytes:
    return struct.pack(">I", zlib.crc32(body, zlib.crc32(kind)))


def _check_png_header(kind: bytes, body: bytes) -> None:
    if kind != b"IHDR" or len(body) != 13:
        raise DocumentRefused(_CUT_OFF)
    _check_size(*struct.unpack(">II", body[:8]))


def _check_size(width: int, height: int) -> None:
    if not width or not height:
        raise DocumentRefused(_CUT_OFF)
    if width * height > MOST_PIXELS:
        raise DocumentRefused(_HUGE)


_FRAMES = {0xC0, 0xC1, 0xC2, 0xC3, 0xC5, 0xC6, 0xC7, 0xC9, 0xCA, 0xCB, 0xCD, 0xCE, 0xCF}
_SCAN = 0xDA


def _follow_jpeg(content: bytes) -> None:
    """A JPEG is a row of segments: a frame with its size, then a scan that reaches the end mark."""
    sized = False
    for mark, body, at in _segments(content):
        if mark in _FRAMES:
            if len(body) < 6:
                raise DocumentRefused(_CUT_OFF)
            height, width = struct.unpack(">HH", body[1:5])
            _check_size(width, height)
            sized = True
        elif mark == _SCAN:
            end = content.find(b"\xff\xd9", at)
            if not sized or end < 0:
                raise DocumentRefused(_CUT_OFF)
            if content.count(b"\xff\xda", at, end) >= MOST_SCANS:
                raise DocumentRefused(_ENDLESS)
            return
    raise DocumentRefused(_CUT_OFF)


def _segments(content: bytes) -> Iterator[tuple[int, bytes, int]]:
    """Each segment's mark, its body, and where the next begins."""
    at = 2
    while at + 4 <= len(content) and content[at] == 0xFF:
        if content[at + 1] == 0xFF:  # filling
            at += 1
            continue
        mark, length = struct.unpack(">BH", content[at + 1 : at + 4])
        end = at + 2 + length
        if length < 2 or end > len(content):
            return
        yield mark, content[at + 4 : end], end
        at = end


def _follow_heic(content: bytes) -> None:
    """A HEIC is a row of boxes: the index with the pictures' sizes, and the data."""
    kinds = {kind: body for kind, body in _boxes(content)}
    sizes = re.findall(rb"ispe\0\0\0\0(.{8})", kinds.get(b"meta", b""), re.DOTALL)
    if b"mdat" not in kinds or not sizes:
        raise DocumentRefused(_CUT_OFF)
    for size in sizes:
        _check_size(*struct.unpack(">II", size))


def _boxes(content: bytes) -> Iterator[tuple[bytes, bytes]]:
    """Each box's kind and body; one that reaches beyond the end is cut off.

    What follows the last box and is none, as some telephones append, is passed over.
    """
    at = 0
    while at + 16 <= len(content) and content[at + 4 : at + 8].isalnum():
        length, kind, longer = struct.unpack(">I4sQ", content[at : at + 16])
        start = at + 16 if length == 1 else at + 8
        end = {0: len(content), 1: at + longer}.get(length, at + length)
        if end < start or end > len(content):
            raise DocumentRefused(_CUT_OFF)
        yield kind, content[start:end]
        at = end


_KINDS = (
    (re.compile(rb"%PDF-"), "application/pdf", _follow_pdf),
    (re.compile(rb"\x89PNG\r\n\x1a\n"), "image/png", _follow_png),
    (re.compile(rb"\xff\xd8\xff"), "image/jpeg", _follow_jpeg),
    (_HEIC, "image/heic", _follow_heic),
)
