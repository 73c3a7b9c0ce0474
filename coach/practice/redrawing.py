"""Draws a photo anew, from its dots alone: run as a program of its own, bytes in, bytes out.

By itself, because the file comes from outside: what makes a decoder crash, fill the memory or run
on ends this program and not the server. It gets no key and no address of the database, writes
nothing to a disk, and knows nothing of the project.
"""

from __future__ import annotations

import sys
from io import BytesIO

from PIL import Image, JpegImagePlugin, PngImagePlugin

try:
    import resource
except ImportError:  # where the system has no such limits
    resource = None  # type: ignore[assignment]  # then there is nothing to set

LONGEST_SIDE = 4000  # dots: a page of A4 at 340 to the inch; common practice, no source
MOST_BYTES = 10 * 1024 * 1024
SECONDS = 20
_MEMORY = 2 * 1024**3
_JPEG, _PNG, _HEIC = "image/jpeg", "image/png", "image/heic"
_QUALITIES = (88, 70, 45)
# Exif 2.32, 4.6.4: the tag, and what brings the picture upright.
_ORIENTATION = 0x0112
_UPRIGHT = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}


def redrawn(content: bytes, kind: str) -> tuple[bytes, str]:
    """The same picture, upright, at most LONGEST_SIDE long, with nothing beside its dots.

    Returns it with its kind: a PNG stays one where it fits, all else becomes a JPEG. Colours are
    taken as sRGB, clear parts as white paper. Raises whatever a decoder raises.
    """
    image = _opened(content, kind)
    turn = _turn(image)
    # A JPEG is read at an eighth, a quarter or half of its size where that is enough.
    least = LONGEST_SIDE / max(image.size)
    image.draft(None, (int(image.width * least), int(image.height * least)))
    seen = _in_plain_colours(image)
    seen.thumbnail((LONGEST_SIDE, LONGEST_SIDE), Image.Resampling.LANCZOS)
    plain = _on_white(seen)
    if turn is not None:
        plain = plain.transpose(turn)
    bare = Image.new(plain.mode, plain.size)  # what the file said beside its dots stays behind
    bare.paste(plain)
    if kind == _PNG and len(made := _saved(bare, "PNG", optimize=True)) <= MOST_BYTES:
        return made, _PNG
    sizes = (_saved(bare, "JPEG", quality=quality) for quality in _QUALITIES)
    return next(made for made in sizes if len(made) <= MOST_BYTES), _JPEG


def _opened(content: bytes, kind: str) -> Image.Image:
    """Opened by the one decoder of its kind; the others never see it."""
    if kind == _JPEG:
        return JpegImagePlugin.JpegImageFile(BytesIO(content))
    if kind == _PNG:
        return PngImagePlugin.PngImageFile(BytesIO(content))
    from pillow_heif import HeifImageFile  # noqa: PLC0415  # a large part, seldom needed

    return HeifImageFile(BytesIO(content))  # type: ignore[no-untyped-call]  # it has no types


def _turn(image: Image.Image) -> Image.Transpose | None:
    """What brings it upright; notes that cannot be read turn nothing."""
    try:
        return _UPRIGHT.get(image.getexif().get(_ORIENTATION, 1))
    except Exception:  # the notes come from outside as well: whatever they raise, there are none
        return None


def _in_plain_colours(image: Image.Image) -> Image.Image:
    """In grey, in colours, or in colours with clear parts."""
    if image.has_transparency_data:
        return image.convert("RGBA")
    return _grey(image) if image.mode in {"1", "L", "I;16"} else image.convert("RGB")


def _on_white(image: Image.Image) -> Image.Image:
    """Without clear parts."""
    if image.mode != "RGBA":
        return image
    paper = Image.new("RGBA", image.size, "white")
    return Image.alpha_composite(paper, image).convert("RGB")


def _grey(image: Image.Image) -> Image.Image:
    if image.mode == "I;16":
        return image.point(lambda dot: dot / 256).convert("L")
    return image.convert("L")


def _saved(image: Image.Image, name: str, **options: object) -> bytes:
    file = BytesIO()
    image.save(file, name, **options)
    return file.getvalue()


def _hold_back() -> None:
    """No more memory and time than a photo needs, and no copy of it on the disk at a crash."""
    if resource:
        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
        resource.setrlimit(resource.RLIMIT_FSIZE, (0, 0))
        resource.setrlimit(resource.RLIMIT_CPU, (SECONDS, SECONDS))
        resource.setrlimit(resource.RLIMIT_AS, (_MEMORY, _MEMORY))


def _main() -> None:
    _hold_back()
    content, kind = redrawn(sys.stdin.buffer.read(), sys.argv[1])
    sys.stdout.buffer.write(kind.encode() + b"\n" + content)


if __name__ == "__main__":
    _main()
