"""What JPEG bytes hold beside the picture, and how large the picture is."""

from pipeline.writing.supporters.public_pictures import hidden_in


def carries_tags(jpeg: bytes) -> bool:
    """Tell whether JPEG bytes hold anything but the picture: Exif, XMP, a colour profile, a comment, or a tail."""
    return not jpeg.startswith(b"\xff\xd8") or bool(hidden_in(jpeg))


def jpeg_size(jpeg: bytes) -> tuple[int, int]:
    """Return the width and height of JPEG bytes in pixels, (0, 0) where no frame header is found.

    Source: ITU-T T.81, B.2.2 (frame header).
    """
    at = 2
    while at + 9 <= len(jpeg) and jpeg[at] == 0xFF:
        marker = jpeg[at + 1]
        if 0xC0 <= marker <= 0xCF and marker not in (0xC4, 0xC8, 0xCC):
            return int.from_bytes(jpeg[at + 7 : at + 9], "big"), int.from_bytes(jpeg[at + 5 : at + 7], "big")
        at += 2 + int.from_bytes(jpeg[at + 2 : at + 4], "big")
    return 0, 0
