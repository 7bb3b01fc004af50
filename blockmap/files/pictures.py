"""Looks into pictures: what they are, how large, and smaller ones made of them.

Only still JPEG and PNG pictures are taken, told by their content and never by their
name. The size in pixels is read from the head before anything is decoded. Whatever a
picture carries besides (place, camera, thumbnails) is left behind.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from blockmap.model.errors import StoreFailed

if TYPE_CHECKING:
    from PIL.Image import Image

__all__ = ["MOST_PIXELS", "Head", "Made", "head_of", "kept_picture", "small_picture"]

MOST_PIXELS = 50_000_000
MOST_PNG_PIXELS = 35_000_000
"""All of a PNG is held while it is made smaller, with four bytes for each pixel."""
MOST_PROGRESSIVE_PIXELS = 24_000_000
"""All of a progressive JPEG is held, with six bytes for each pixel."""
MOST_SIDE_PX = 20_000
KEPT_SIDE_PX = 2_000
"""Longest side of a picture as it is kept: a fuse panel shows all its marks."""

_PNG = b"\x89PNG\r\n\x1a\n"
_LARGE_PNG = 3 * 1024 * 1024
_FRAMES = frozenset({*range(0xC0, 0xD0)} - {0xC4, 0xC8, 0xCC})
"""JPEG markers that tell the size: ITU-T T.81, table B.1, SOF0 to SOF15."""
_PROGRESSIVE = frozenset({0xC2, 0xC6, 0xCA, 0xCE})
_STRIP_PIXELS = 2_000_000
_TURNS = {2: 0, 3: 3, 4: 1, 5: 5, 6: 4, 7: 6, 8: 2}
"""Orientation by Exif 2.32, 4.6.4, tag 274, and the transposition that undoes it."""
_ORIENTATION = 274


@dataclass(frozen=True, slots=True)
class Head:
    """What the first bytes of a picture say."""

    kind: str
    width_px: int
    height_px: int
    progressive: bool = False

    @property
    def most_pixels(self) -> int:
        """How many pixels are taken of such a picture: below a second and 200 MB."""
        if self.progressive:
            return MOST_PROGRESSIVE_PIXELS
        return MOST_PNG_PIXELS if self.kind == "png" else MOST_PIXELS


@dataclass(frozen=True, slots=True)
class Made:
    """A picture made of another: JPEG or PNG bytes, upright, and its size."""

    data: bytes
    kind: str
    width_px: int
    height_px: int


def head_of(data: bytes, name: str) -> Head:
    """Return kind and size of a picture without decoding it.

    Raises StoreFailed for other content and for a picture that is too large.
    """
    if data.startswith(_PNG):
        head = _png_head(data)
    elif data.startswith(b"\xff\xd8\xff"):
        head = _jpeg_head(data)
    else:
        raise StoreFailed(f"{name}: {_other_kind(data)}; choose a JPEG or PNG picture")
    if head is None or head.width_px < 1 or head.height_px < 1:
        raise StoreFailed(f"{name}: the picture is damaged; choose another")
    wide, high = head.width_px, head.height_px
    if wide * high > head.most_pixels or max(wide, high) > MOST_SIDE_PX:
        most = head.most_pixels // 1_000_000
        raise StoreFailed(
            f"{name}: the picture is {wide:,} × {high:,} pixels large; {most} million "
            f"and {MOST_SIDE_PX:,} on a side are the most; make it smaller first"
        )
    return head


def _other_kind(data: bytes) -> str:
    start = data[:1024].lstrip(b"\xef\xbb\xbf \t\r\n").lower()
    if not data:
        return "the file is empty"
    if start.startswith((b"<svg", b"<?xml", b"<!doctype svg")):
        return "this is a drawing (SVG), which can name other files, not a photo"
    if start.startswith(b"gif8"):
        return "this is a GIF, which can be a moving picture, not a photo"
    return "this is no photo, whatever its name says"


def _png_head(data: bytes) -> Head | None:
    if len(data) < 33 or data[12:16] != b"IHDR":
        return None
    return Head(
        "png", int.from_bytes(data[16:20], "big"), int.from_bytes(data[20:24], "big")
    )


def _jpeg_head(data: bytes) -> Head | None:
    at = 2
    while at + 9 < len(data):
        if data[at] != 0xFF:
            return None
        marker = data[at + 1]
        if marker == 0xFF:
            at += 1
        elif marker in _FRAMES:
            high = int.from_bytes(data[at + 5 : at + 7], "big")
            wide = int.from_bytes(data[at + 7 : at + 9], "big")
            return Head("jpeg", wide, high, marker in _PROGRESSIVE)
        elif marker in (0xD9, 0xDA):
            return None
        else:
            at += 2 + max(2, int.from_bytes(data[at + 2 : at + 4], "big"))
    return None


def kept_picture(data: bytes, name: str) -> Made:
    """Return a chosen picture as it is kept: upright, at most 2,000 pixels a side.

    Raises StoreFailed.
    """
    head = head_of(data, name)
    image = _decoded(data, head, KEPT_SIDE_PX, name)
    if head.kind == "png":
        made = _encoded(image, "png")
        if len(made.data) <= _LARGE_PNG:
            return made
    return _encoded(image, "jpeg")


def small_picture(data: bytes, most_px: tuple[int, int], name: str) -> Made:
    """Return a picture as JPEG that fits in so many pixels, upright.

    Screen and paper both show what comes from here. Raises StoreFailed.
    """
    head = head_of(data, name)
    return _encoded(_decoded(data, head, max(most_px), name, most_px), "jpeg")


def _decoded(
    data: bytes,
    head: Head,
    side_px: int,
    name: str,
    most_px: tuple[int, int] | None = None,
) -> Image:
    """Return the decoded picture, upright, without transparency, within a size."""
    from PIL import Image

    try:
        image, turn = _opened(data, head, side_px)
        if turn is not None:
            image = image.transpose(Image.Transpose(turn))
        image.thumbnail(most_px or (side_px, side_px))
        return image
    except (OSError, ValueError, SyntaxError, IndexError, TypeError, EOFError) as error:
        raise StoreFailed(
            f"{name}: the picture is damaged or cut short; choose another"
        ) from error


def _opened(data: bytes, head: Head, side_px: int) -> tuple[Image, int | None]:
    """Return the picture made smaller, and how to turn it; the whole is let go of."""
    from io import BytesIO

    from PIL import Image

    with Image.open(BytesIO(data), formats=[head.kind.upper()]) as opened:
        if head.kind == "jpeg":
            share = min(1.0, side_px / max(opened.size))
            wide, high = opened.size
            opened.draft("RGB", (round(wide * share), round(high * share)))
        opened.load()
        turn = _TURNS.get(opened.getexif().get(_ORIENTATION, 1))
        return _smaller(opened, side_px), turn


def _smaller(image: Image, side_px: int) -> Image:
    """Return it by a whole factor smaller, not below a side, without transparency.

    Strip by strip: a second copy of the whole would be too much.
    """
    from PIL import Image as Pictures

    factor = max(1, max(image.size) // side_px)
    wide, high = image.size
    rows = max(1, _STRIP_PIXELS // (wide * factor)) * factor
    made: Image | None = None
    for top in range(0, high, rows):
        strip = _plain(image.crop((0, top, wide, min(high, top + rows))))
        if factor > 1:
            strip = strip.reduce(factor)
        if strip.mode == "RGBA":
            strip = _on_white(strip)
        if made is None:
            made = Pictures.new(strip.mode, (strip.width, -(-high // factor)))
        made.paste(strip, (0, top // factor))
    assert made is not None
    return made


def _plain(image: Image) -> Image:
    if image.mode.startswith("I"):  # 16 bit grey: the upper half of them
        return image.convert("I").point(lambda grey: grey * (1 / 256)).convert("L")
    if image.mode in ("L", "RGB", "RGBA"):
        return image
    if image.mode in ("1", "CMYK", "YCbCr"):
        return image.convert("L" if image.mode == "1" else "RGB")
    return image.convert("RGBA")


def _on_white(image: Image) -> Image:
    from PIL import Image as Pictures

    white = Pictures.new("RGBA", image.size, "white")
    return Pictures.alpha_composite(white, image).convert("RGB")


def _encoded(image: Image, kind: str) -> Made:
    from io import BytesIO

    buffer = BytesIO()
    image.info.clear()  # what the camera noted besides is not kept
    if kind == "png":
        image.save(buffer, "PNG", optimize=False)
    else:
        image.save(buffer, "JPEG", quality=88)
    return Made(buffer.getvalue(), kind, *image.size)
