import re
from pathlib import Path

import numpy as np
import pytest

from pipeline.dating.clocks import date_all
from pipeline.errors import ItemFault
from pipeline.intake.captions import read_captions
from pipeline.intake.decoding import listening_copy, sound, still
from pipeline.intake.pictures import resized_jpeg
from pipeline.intake.probe import probe
from pipeline.intake.walk import hash_file, walk
from pipeline.values import FileSeen, Kind, Media
from tests.dating.seen_media import LONDON, NOW, STARTS
from tests.faults.broken_media import make_broken


@pytest.fixture(scope="module")
def broken(tmp_path_factory):
    folder: Path = tmp_path_factory.mktemp("broken")
    return folder, make_broken(folder)


@pytest.fixture(scope="module")
def looked_at(broken):
    folder, _ = broken
    found = {}
    for path in sorted(folder.iterdir()):
        try:
            found[path.name] = probe(path)
        except ItemFault as fault:
            found[path.name] = fault
    return found


def test_every_broken_file_is_either_looked_at_or_set_aside_and_none_stops_the_run(broken, looked_at):
    folder, expected = broken
    assert set(looked_at) == set(expected)
    assert {Path(one.path).name for one in walk([folder])} == set(expected)
    refused = {name for name, found in looked_at.items() if isinstance(found, ItemFault)}
    assert {name for name, must in expected.items() if must is True} <= refused
    assert not {name for name, must in expected.items() if must is False} & refused


def test_every_reason_says_what_is_wrong_and_what_to_do_and_no_path(broken, looked_at):
    folder, _ = broken
    for name, found in looked_at.items():
        if isinstance(found, ItemFault):
            assert str(folder) not in found.why
            assert name not in found.why
            assert not re.search(r"Error|Exception|Traceback|Errno|0x", found.why)
            assert re.search(r"\b(Copy|Save|Leave|Check|Convert|Unpack|Photograph|Cut|save it)\b", found.why), (
                found.why
            )


def test_what_is_usable_can_be_used_or_is_set_aside_later(broken, looked_at, tmp_path):
    folder, _ = broken
    for name, found in looked_at.items():
        if isinstance(found, ItemFault):
            continue
        path = folder / name
        try:
            if found.kind is Kind.PHOTO:
                assert resized_jpeg(path, 64)
            elif found.kind is Kind.CAPTIONS:
                assert read_captions(path).cues
            else:
                heard = sound(path, found.content_type)
                assert np.isfinite(heard.samples).all()
                assert heard.lost_s >= 0
                if found.kind is Kind.FILM:
                    assert still(path, found.content_type, 1.0)
                if len(heard.samples):
                    listening_copy(path, found.content_type, tmp_path / "copy.m4a")
        except ItemFault as fault:
            assert found.kind in (Kind.RECORDING, Kind.FILM), (name, fault.why)


def test_lost_sound_never_makes_a_recording_longer(broken, looked_at):
    folder, _ = broken
    for name, found in looked_at.items():
        if isinstance(found, ItemFault) or found.kind not in (Kind.RECORDING, Kind.FILM):
            continue
        try:
            heard = sound(folder / name, found.content_type)
        except ItemFault:
            continue
        assert heard.duration_s <= 2.3, name  # all whole ones last two seconds or less


def test_all_that_is_usable_gets_a_date(broken, looked_at):
    folder, _ = broken
    media = [
        Media(
            id=f"{hash_file(folder / name)[:-8]}{number:08x}",
            files=(FileSeen(path=str(folder / name), size=1, modified_ns=(folder / name).stat().st_mtime_ns),),
            probe=found,
        )
        for number, (name, found) in enumerate(sorted(looked_at.items()))
        if not isinstance(found, ItemFault)
    ]
    dates, _ = date_all(media, LONDON, STARTS, NOW, {})
    assert [dated.media for dated in dates] == [one.id for one in media]


def test_broken_exif_costs_its_time_and_never_the_photo(looked_at):
    traps = {name: found for name, found in looked_at.items() if name.startswith("exif-")}
    assert len(traps) == 8
    for found in traps.values():
        assert not isinstance(found, ItemFault)
        assert found.clues == ()
