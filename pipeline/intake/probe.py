"""What one piece of media says of itself, whatever kind it is."""

from pathlib import Path

from pipeline.errors import ItemFault, reason_of
from pipeline.intake.bext import read_bext, wave_is_cut_short
from pipeline.intake.captions import read_captions
from pipeline.intake.containers.probing import probe_container
from pipeline.intake.content_type import content_type
from pipeline.intake.exif import read_exif
from pipeline.intake.pictures import check_picture
from pipeline.values import Kind, Probe


def probe(path: Path) -> Probe:
    """Read what a file is, when it says it was made, by which device, how long or large it is.

    Pictures are decoded whole, and recordings and films walked through once, so that broken ones are found here.

    Raises:
        ItemFault: the file cannot be used; its text says why and what to do.
    """
    try:
        kind, media_type = content_type(path)
        if kind is Kind.PHOTO:
            return _photo(path, media_type)
        if kind is Kind.CAPTIONS:
            return _captions(path, media_type)
        return _container(path, kind, media_type)
    except OSError as error:
        why = f"It cannot be read ({reason_of(error)}). Check that you may open it, or copy it again."
        raise ItemFault(why) from error


def _photo(path: Path, media_type: str) -> Probe:
    width, height = check_picture(path)
    exif = read_exif(path)
    return Probe(
        kind=Kind.PHOTO,
        content_type=media_type,
        device=exif.device,
        serial=exif.serial,
        clues=exif.clues,
        width_px=width,
        height_px=height,
        gps_deg=exif.gps_deg,
        remarks=exif.remarks,
    )


def _captions(path: Path, media_type: str) -> Probe:
    captions = read_captions(path)
    return Probe(
        kind=Kind.CAPTIONS,
        content_type=media_type,
        clues=(captions.taken,) if captions.taken else (),
        duration_s=captions.cues[-1].end_s,
        remarks=captions.remarks,
    )


def _container(path: Path, kind: Kind, media_type: str) -> Probe:
    found = probe_container(path, media_type)
    bext = read_bext(path) if media_type == "audio/wav" else None
    device, clues, remarks = found.device, found.clues, found.remarks
    if bext is not None:
        # FFmpeg shows the chunk's date as a tag of the container too: the chunk itself says more.
        device = device or bext.originator
        clues = bext.clues or clues
        remarks = remarks + bext.remarks
    if media_type == "audio/wav" and wave_is_cut_short(path):
        remarks = (*remarks, "It says that it holds more sound than it does: it was cut short.")
    return Probe(
        kind=kind,
        content_type=media_type,
        device=device,
        clues=clues,
        duration_s=found.duration_s,
        width_px=found.width_px,
        height_px=found.height_px,
        gps_deg=found.gps_deg,
        remarks=remarks,
    )
