"""What a file is, told from its content and never from its name.

Source of the signatures: JPEG ITU-T T.81 B.1; PNG W3C 5.2; TIFF 6.0; RIFF (WAVE, AVI, WebP); ISO/IEC 14496-12 (ftyp),
23008-12 (HEIF brands); RFC 8794 (EBML); RFC 3533 (Ogg); RFC 9639 (FLAC); RFC 4867 (AMR); ISO/IEC 11172-3 and 13818-7
(MPEG audio and ADTS headers); ID3v2 from memory.
"""

from collections.abc import Callable
from pathlib import Path
from typing import BinaryIO, Literal

from pipeline.errors import ItemFault
from pipeline.intake.captions import caption_text, looks_like_captions
from pipeline.intake.containers.probing import stream_kinds
from pipeline.intake.mpeg_frames import adts_frame_bytes, mp3_frame_bytes
from pipeline.values import Kind

_HEAD_BYTES = 4096
_MOST_BOXES = 10_000
_HEIC_BRANDS = frozenset({b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx"})
_HEIF_BRANDS = frozenset({b"mif1", b"msf1", b"mif2"})
_OLD_QUICKTIME = frozenset({b"moov", b"mdat", b"wide", b"free", b"skip", b"pnot"})

_COPY_AGAIN = (
    "Copy it from the device again; if a cloud keeps this folder, only a placeholder may be here: have the file "
    "itself downloaded."
)
_AS_CAPTIONS = (
    "To have what was written count as said, save it as a caption file (.vtt): WEBVTT on the first line, NOTE taken "
    "2026-02-14T10:15:00 on the third, and an empty line and a time like 00:00.000 --> 00:20.000 before each "
    "passage. Else leave it out."
)
_NOTHING_IN_IT = "No photo and no sound is in it: it may stay here, or be left out."
_RAW = (
    "It is a camera's raw picture, which is not read here. Where the camera made a JPEG of it too, that is enough; "
    "else save one."
)
_OF_A_DOCUMENT = f"Save its pictures as JPEG. {_AS_CAPTIONS}"
_TIFF = (Kind.PHOTO, "image/tiff")
_NEW_SUBFILE_TYPE, _SMALLER_VERSION = 254, 1
# Names of parts that an office document begins with. Source: ECMA-376 part 2; OASIS OpenDocument 1.2 part 3.
_OF_OFFICE = (b"[Content_Types].xml", b"mimetypeapplication/vnd.oasis", b"_rels/.rels", b"word/", b"xl/", b"ppt/")
# Endings of the kinds that are read here: what has one and is something else surprises whoever named it.
_READ_HERE = (".jpg", ".jpeg", ".heic", ".heif", ".png", ".webp", ".tif", ".tiff", ".m4a", ".aac", ".mp3", ".wav",
    ".flac", ".ogg", ".opus", ".amr", ".3gp", ".mp4", ".mov", ".mkv", ".avi", ".webm", ".vtt", ".srt")  # fmt: skip

# What people also keep in such folders: (signature, what it is, what to do).
_KNOWN_OTHERS = (
    (b"%PDF", "a PDF", "Photograph the page that matters, or keep the document elsewhere."),
    (b"PK\x03\x04", "a ZIP archive", "Unpack it and put the files from it here."),
    (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "an office document", _OF_A_DOCUMENT),
    (b"{\\rtf", "a text document", _OF_A_DOCUMENT),
    (b"GIF8", "a GIF picture", "Save it as PNG or JPEG."),
    (b"BM", "a BMP picture", "Save it as PNG or JPEG."),
    (b"Rar!", "an archive", "Unpack it and put the files from it here."),
    (b"7z\xbc\xaf\x27\x1c", "an archive", "Unpack it and put the files from it here."),
    (b"\x1f\x8b", "an archive", "Unpack it and put the files from it here."),
    (b"\x30\x26\xb2\x75\x8e\x66\xcf\x11", "a WMA or WMV file", "Convert it to MP3 or MP4."),
    (b"FORM", "an AIFF recording", "Convert it to WAV or FLAC."),
    (b"\x1aE\xdf\xa3", "an unknown kind of Matroska file", "Convert it to MP4."),
    (b"<", "marked-up text, as a web page or a picture program's note beside a photo", _NOTHING_IN_IT),
    (b"{", "a data file, as some programs put beside a photo", _NOTHING_IN_IT),
    (b"MZ", "a program", "Leave it out."),
    (b"\x7fELF", "a program", "Leave it out."),
)


def content_type(path: Path) -> tuple[Kind, str]:
    """Return what the file is and its media type (as ``image/jpeg``), by its content.

    Raises:
        ItemFault: it is empty, of no kind that is read here, or a container that cannot be opened.
        OSError: it cannot be read.
    """
    with path.open("rb") as file:
        head = file.read(_HEAD_BYTES)
        if not head:
            raise ItemFault(f"It is empty (0 bytes). {_COPY_AGAIN}")
        found = _picture(head) or _plain_sound(head) or _mpeg_sound(file, head)
        if found == _TIFF and _is_raw(file, head):
            raise ItemFault(_RAW)
    if found is not None:
        return found
    family = _container(head)
    if family is not None:
        if head[4:8] == b"ftyp" or head[4:8] in _OLD_QUICKTIME:
            _check_index_is_whole(path)
        return _with_streams(path, *family)
    subtype = looks_like_captions(caption_text(_whole_text(head)))
    if subtype is not None:
        return Kind.CAPTIONS, subtype
    raise ItemFault(_what_else(head, path.suffix.lower() in _READ_HERE))


def _picture(head: bytes) -> tuple[Kind, str] | None:
    if head.startswith(b"\xff\xd8\xff"):
        return Kind.PHOTO, "image/jpeg"
    if head.startswith(b"\x89PNG\r\n\x1a\n"):
        return Kind.PHOTO, "image/png"
    if head.startswith((b"II*\x00", b"MM\x00*", b"II+\x00", b"MM\x00+")):
        return _TIFF
    if head[:4] == b"RIFF" and head[8:12] == b"WEBP":
        return Kind.PHOTO, "image/webp"
    brands = _brands(head)
    if brands and (brands[0] in _HEIC_BRANDS or brands[0] in _HEIF_BRANDS):
        if _HEIC_BRANDS & set(brands):
            return Kind.PHOTO, "image/heic"
        if b"avif" not in brands:
            return Kind.PHOTO, "image/heif"
    if brands and (b"avif" in brands or b"avis" in brands):
        raise ItemFault("It is an AVIF picture, which is not read here. Save it as JPEG.")
    if brands and brands[0] == b"crx ":
        raise ItemFault(_RAW)
    return None


def _is_raw(file: BinaryIO, head: bytes) -> bool:
    """Tell whether a TIFF file is a raw picture: what could be read of it is a thumbnail, or nothing.

    Source: TIFF 6.0, section 2 (directories) and page 36 (NewSubfileType: a smaller version of another picture in the
    file); the mark behind the head of one kind of raw file is from memory.
    """
    if head[8:10] == b"CR":
        return True
    order: Literal["little", "big"] = "little" if head[:2] == b"II" else "big"
    file.seek(int.from_bytes(head[4:8], order))
    fields = file.read(12 * int.from_bytes(file.read(2), order))
    for at in range(0, len(fields) - 11, 12):
        if int.from_bytes(fields[at : at + 2], order) == _NEW_SUBFILE_TYPE:
            return bool(int.from_bytes(fields[at + 8 : at + 12], order) & _SMALLER_VERSION)
    return False


def _brands(head: bytes) -> list[bytes]:
    """Return the brands of an ISO base media file, the major one first; none where it has no ``ftyp``."""
    if head[4:8] != b"ftyp":
        return []
    size = max(16, min(int.from_bytes(head[:4], "big"), len(head)))
    return [head[8:12], *(head[at : at + 4] for at in range(16, size - 3, 4))]


def _plain_sound(head: bytes) -> tuple[Kind, str] | None:
    if head[:4] in (b"RIFF", b"RF64", b"BW64") and head[8:12] == b"WAVE":
        return Kind.RECORDING, "audio/wav"
    if head.startswith(b"fLaC"):
        return Kind.RECORDING, "audio/flac"
    if head.startswith((b"#!AMR\n", b"#!AMR-WB\n")):
        return Kind.RECORDING, "audio/amr"
    return None


def _mpeg_sound(file: BinaryIO, head: bytes) -> tuple[Kind, str] | None:
    """Tell MP3, ADTS and FLAC, also behind an ID3 tag, by two headers in a row: one alone turns up by chance."""
    start = 0
    if head[:3] == b"ID3" and len(head) >= 10 and not any(byte & 0x80 for byte in head[6:10]):
        size = head[6] << 21 | head[7] << 14 | head[8] << 7 | head[9]
        start = 10 + size + (10 if head[5] & 0x10 else 0)
    file.seek(start)
    sound = file.read(1 << 16)
    if start and sound.startswith(b"fLaC"):
        return Kind.RECORDING, "audio/flac"
    # Behind a tag, padding of a few thousand bytes is common; without one, the first frame starts the file.
    for at in range(min(len(sound) - 4, 1 << 13) if start else 1):
        if sound[at : at + 1] != b"\xff":
            continue
        for length, media_type in ((mp3_frame_bytes, "audio/mpeg"), (adts_frame_bytes, "audio/aac")):
            if _two_frames(sound, at, length):
                return Kind.RECORDING, media_type
    return None


def _two_frames(sound: bytes, at: int, length: Callable[[bytes], int]) -> bool:
    first = length(sound[at : at + 8])
    if not first:
        return False
    second = sound[at + first : at + first + 8]
    return length(second) > 0


def _container(head: bytes) -> tuple[str, str] | None:
    """Return the media types (as film, as sound alone) that a container may have."""
    brands = _brands(head)
    if brands:
        if brands[0].startswith((b"3gp", b"3g2")):
            return "video/3gpp", "audio/3gpp"
        return ("video/quicktime" if brands[0] == b"qt  " else "video/mp4"), "audio/mp4"
    if head[4:8] in _OLD_QUICKTIME:
        return "video/quicktime", "audio/mp4"
    if head.startswith(b"\x1aE\xdf\xa3"):
        if b"\x42\x82\x84webm" in head[:64]:
            return "video/webm", "audio/webm"
        return "video/x-matroska", "audio/x-matroska"
    if head[:4] == b"RIFF" and head[8:12] in (b"AVI ", b"AVIX"):
        return "video/x-msvideo", "audio/x-msvideo"
    return ("video/ogg", "audio/ogg") if head.startswith(b"OggS") else None


def _check_index_is_whole(path: Path) -> None:
    """Refuse a file whose index (``moov``) is cut short: what was left of it would hide sound or film.

    Source: ISO/IEC 14496-12, 4.2 (boxes).
    """
    with path.open("rb") as file:
        end = file.seek(0, 2)
        at = 0
        for _ in range(_MOST_BOXES):
            file.seek(at)
            head = file.read(16)
            size = int.from_bytes(head[:4], "big")
            if size == 1:
                size = int.from_bytes(head[8:16], "big")
            if len(head) < 8 or size < 8:
                return
            if head[4:8] == b"moov" and at + size > end:
                raise ItemFault(
                    "Its end is missing, and with it the index of what is in it. Copy it from the device again."
                )
            at += size
            if at >= end:  # a box that claims more than the file holds
                return


def _with_streams(path: Path, film_type: str, sound_type: str) -> tuple[Kind, str]:
    kinds = stream_kinds(path, film_type)
    if "film" in kinds:
        return Kind.FILM, film_type
    if "sound" in kinds:
        return Kind.RECORDING, sound_type
    raise ItemFault("There is neither sound nor film in it. Leave it out.")


def _whole_text(head: bytes) -> bytes:
    """Cut a head of a longer text before a letter that it may have split."""
    if len(head) < _HEAD_BYTES:
        return head
    if head.startswith((b"\xff\xfe", b"\xfe\xff")):
        return head
    return head[: head.rfind(b"\n") + 1] or head


def _what_else(head: bytes, named_otherwise: bool) -> str:
    but = ", whatever its name says" if named_otherwise else ""
    if head.startswith(b"PK\x03\x04") and any(part in head[:200] for part in _OF_OFFICE):
        return f"It is an office document{but}. {_OF_A_DOCUMENT}"
    for signature, what, to_do in _KNOWN_OTHERS:
        if head.lstrip(b"\xef\xbb\xbf \r\n\t").startswith(signature):
            return f"It is {what}{but}. {to_do}"
    if not head.strip(b"\x00"):
        return f"It holds only blanks: it was never written to the end. {_COPY_AGAIN}"
    readable = sum(byte >= 32 or byte in b"\t\r\n" for byte in head)
    if b"\x00" not in head and readable > 0.97 * len(head):
        return f"It is plain text without caption times{but}. {_AS_CAPTIONS}"
    return (
        "It is not a photo, recording, film or caption file of a kind that is read here. If it plays or shows on the "
        "device, save it from there as JPEG, MP3 or MP4."
    )
