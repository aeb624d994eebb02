"""Pictures: how large they are, whether they are whole, and smaller copies with every tag left out.

The only module that decodes pictures (Pillow, and pillow-heif for HEIC).
"""

import io
import logging
import struct
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import numpy as np
import pillow_heif
from numpy.typing import NDArray
from PIL import Image, ImageCms

from pipeline.errors import ItemFault

MOST_PIXELS = 200_000_000
_FORMATS = ("JPEG", "PNG", "WEBP", "TIFF", "HEIF")
_ORIENTATION = 0x0112  # Source: CIPA DC-008, 4.6.4 (Orientation)
_TURNS = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}
_JPEG_FRACTIONS = (8, 4, 2, 1)
_TAKES_TURNED_SIDES = frozenset({5, 6, 7, 8})

pillow_heif.register_heif_opener()
logging.getLogger("PIL").addHandler(logging.NullHandler())  # its notes on bad files mean nothing to a user
# Pillow warns above its limit and refuses above twice the limit; this module refuses above the limit by itself.
Image.MAX_IMAGE_PIXELS = MOST_PIXELS


def picture_size(path: Path) -> tuple[int, int]:
    """Return (width, height) in pixels as the picture is to be shown, without decoding it.

    Raises:
        ItemFault: it cannot be opened as a picture, or it is larger than ``MOST_PIXELS``.
    """
    with _opened(path) as image:
        return _shown_size(image)


def check_picture(path: Path) -> tuple[int, int]:
    """Decode the whole picture, so that a truncated one is found, and return its shown (width, height).

    Raises:
        ItemFault: it cannot be decoded to the end.
    """
    with _opened(path) as image:
        size = _shown_size(image)
        _load(image, 256)
    with _opened(path) as image:
        if image.format == "PNG":
            image.verify()  # its checksums, which decoding leaves unchecked
    return size


def picture_pixels(path: Path, longest_px: int) -> NDArray[np.uint8]:
    """Return the picture the right way up, in sRGB, at most ``longest_px`` on its longer side; shape (h, w, 3).

    Raises:
        ItemFault: it cannot be decoded.
    """
    return np.asarray(_upright(path, longest_px), dtype=np.uint8)


def grey_pixels(path: Path, most_px: int | None = None) -> NDArray[np.uint8]:
    """Return the picture in grey, as it is stored (not turned upright), of shape (h, w), for programs to look at.

    Args:
        path: of the picture.
        most_px: width times height at most; a larger picture is made smaller by a whole number. None for full size.

    Raises:
        ItemFault: it cannot be decoded.
    """
    with _opened(path) as image:
        times = 1
        while most_px is not None and image.width * image.height > most_px * times**2:
            times += 1
        by_jpeg = next(fraction for fraction in _JPEG_FRACTIONS if times % fraction == 0)
        wide = image.width
        # JPEG gives its brightness alone, and a fraction of it, for little work; other formats take no notice.
        image.draft("L", (max(1, image.width // by_jpeg), max(1, image.height // by_jpeg)))
        image.load()
        left = times if image.width == wide else times // by_jpeg
        grey = image if image.mode == "L" else _flat_rgb(image).convert("L")
        return np.asarray(grey.reduce(left) if left > 1 else grey, dtype=np.uint8)


def squeezed(pixels: NDArray[np.uint8], direction_deg: float, to: float) -> NDArray[np.uint8]:
    """Return a grey picture, shape (h, w), made shorter in one direction: what was seen at a slant comes out squarer.

    Args:
        pixels: the picture.
        direction_deg: the direction, 0 along the rows, 90 down the columns, 45 towards the lower right.
        to: the share of the length that is kept, above 0 and up to 1.
    """
    turn = np.radians(direction_deg)
    along = np.array([np.cos(turn), np.sin(turn)])
    forth = np.eye(2) - (1 - to) * np.outer(along, along)
    back = np.linalg.inv(forth)
    middle = np.array(pixels.shape[::-1]) / 2
    size = np.maximum(1, np.rint(np.abs(forth) @ (2 * middle))).astype(int)
    start = middle - back @ (size / 2)
    rows = (back[0, 0], back[0, 1], start[0], back[1, 0], back[1, 1], start[1])
    shown = Image.fromarray(pixels).transform(
        (int(size[0]), int(size[1])), Image.Transform.AFFINE, rows, Image.Resampling.BILINEAR
    )
    return np.asarray(shown, dtype=np.uint8)


def resized_jpeg(path: Path, longest_px: int, quality: int = 85) -> bytes:
    """Return the picture as JPEG: upright, in sRGB, at most ``longest_px`` on its longer side, with no tag at all.

    Raises:
        ItemFault: it cannot be decoded.
    """
    return _jpeg(_upright(path, longest_px), quality)


def jpeg_of_pixels(pixels: NDArray[np.uint8], longest_px: int | None = None, quality: int = 85) -> bytes:
    """Return pixels of shape (h, w, 3), sRGB, as JPEG without any tag, made smaller where ``longest_px`` asks."""
    image = Image.fromarray(pixels, "RGB")
    if longest_px is not None:
        image.thumbnail((longest_px, longest_px), Image.Resampling.LANCZOS)
    return _jpeg(image, quality)


def exif_block(path: Path) -> bytes:
    """Return the picture's Exif data from its TIFF header on, or b"" where there is none.

    Raises:
        ItemFault: it cannot be opened as a picture.
    """
    with _opened(path) as image:
        block = image.info.get("exif", b"")
    if not isinstance(block, bytes):
        return b""
    return block.removeprefix(b"Exif\x00\x00")


@contextmanager
def _opened(path: Path) -> Iterator[Image.Image]:
    """Open a picture and turn everything that Pillow may raise on bad data into an ``ItemFault``."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            with Image.open(path, formats=_FORMATS) as image:
                if image.width * image.height > MOST_PIXELS:
                    raise _too_large(image.width * image.height)
                yield image
    except Image.DecompressionBombError as error:
        raise _too_large(2 * MOST_PIXELS) from error
    except (OSError, SyntaxError, ValueError, EOFError, TypeError, LookupError, struct.error, RuntimeError) as error:
        raise ItemFault(
            "The picture is damaged or cut short. Copy it from the camera again, or open it in a picture program "
            "and save it anew."
        ) from error
    except (MemoryError, OverflowError, ArithmeticError) as error:
        raise ItemFault("Unpacked, the picture would fill the memory. Save it smaller and use that.") from error


def _too_large(pixels: int) -> ItemFault:
    return ItemFault(
        f"The picture claims {pixels // 1_000_000} million pixels or more, which no camera makes and which would "
        "fill the memory. Save it smaller and use that."
    )


def _shown_size(image: Image.Image) -> tuple[int, int]:
    width, height = image.size
    return (height, width) if _orientation(image) in _TAKES_TURNED_SIDES else (width, height)


def _orientation(image: Image.Image) -> int:
    # libheif has turned the pixels already, whatever the Exif of such a file says.
    if image.format == "HEIF":
        return 1
    try:
        return int(image.getexif().get(_ORIENTATION, 1))
    except Exception:  # broken Exif is no reason to lose the picture; Pillow raises many kinds here
        return 1


def _load(image: Image.Image, longest_px: int) -> None:
    # JPEG can be decoded at a half, a quarter or an eighth for little work; the whole file is still read.
    image.draft(None, (longest_px, longest_px))
    image.load()


def _upright(path: Path, longest_px: int) -> Image.Image:
    with _opened(path) as image:
        turn = _TURNS.get(_orientation(image))
        _load(image, longest_px)
        profile = image.info.get("icc_profile")
        if profile is not None and image.mode in ("RGB", "CMYK", "L"):
            shown = _in_srgb(image, profile)
        else:
            shown = _flat_rgb(image)
        shown.thumbnail((longest_px, longest_px), Image.Resampling.LANCZOS)
        return shown.transpose(turn) if turn is not None else shown


def _in_srgb(image: Image.Image, profile: bytes) -> Image.Image:
    try:
        source = ImageCms.ImageCmsProfile(io.BytesIO(profile))
        turned = ImageCms.profileToProfile(image, source, ImageCms.createProfile("sRGB"), outputMode="RGB")
    except (ImageCms.PyCMSError, OSError, ValueError, TypeError):
        turned = None  # a profile that cannot be used: the colours are taken as they stand
    return turned if turned is not None else _flat_rgb(image)


def _flat_rgb(image: Image.Image) -> Image.Image:
    """Return the picture as RGB: deep grey brought to eight bits, transparency laid on white."""
    if image.mode.startswith(("I", "F")):
        deep = np.asarray(image, dtype=np.float64)
        top = 65535.0 if image.mode.startswith("I;16") or deep.max(initial=0) > 255 else 255.0
        return Image.fromarray((np.clip(deep / top, 0, 1) * 255).astype(np.uint8), "L").convert("RGB")
    if image.mode in ("RGBA", "LA", "PA", "RGBa", "La") or "transparency" in image.info:
        over = image.convert("RGBA")
        under = Image.new("RGBA", over.size, (255, 255, 255, 255))
        return Image.alpha_composite(under, over).convert("RGB")
    return image.convert("RGB")


def _jpeg(image: Image.Image, quality: int) -> bytes:
    bare = Image.fromarray(np.asarray(image.convert("RGB")), "RGB")  # pixels alone: no comment, profile or Exif
    out = io.BytesIO()
    bare.save(out, "JPEG", quality=quality, optimize=True, progressive=True)
    return out.getvalue()
