"""The main job on the sample media, with the real recogniser, against what is true of that weekend.

What is true is in ``sample_media/scenario.toml``, which nothing in the pipeline reads.
"""

import json
import os
import re
import tomllib
from datetime import datetime
from pathlib import Path

import jiwer
import pytest
from PIL import Image

from pipeline.book import Book
from pipeline.demo import lay_out_demo
from pipeline.errors import ExitCode
from pipeline.records import Records
from pipeline.runner import Choices, run
from pipeline.values import Kind

SAMPLE = Path(__file__).parent.parent / "sample_media"
SCENARIO = tomllib.loads((SAMPLE / "scenario.toml").read_text(encoding="utf-8"))
TIMES = json.loads((SAMPLE / "times.json").read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def demo(tmp_path_factory):
    """The demo's book, its media and its records: as the wheel's own demo left them, where ``.ci/run`` names it."""
    if made := os.environ.get("SAIDSEEN_DEMO"):
        book, media = Book(Path(made) / "book"), Path(made) / "media"
        return book, media, Records.model_validate_json((book.out / "records.json").read_bytes())
    book, media = lay_out_demo(tmp_path_factory.mktemp("demo") / "saidseen-demo")
    outcome = run(book, [media], datetime.fromisoformat("2026-03-01T12:00:00+00:00"), Choices(jobs=2))
    assert outcome.exit_code is ExitCode.SOME_SET_ASIDE
    return book, media, outcome.records


def name_of(path: str) -> str:
    """The name that the scenario knows a file by: its device's folder and its own name."""
    return "/".join(Path(path).parts[-2:])


def media_by_name(records: Records) -> dict[str, object]:
    return {name_of(path): one for one in records.media for path in (one.path, *one.other_paths) if not one.still_of}


def test_scenario_times_and_media_agree():
    named = [one["file"] for one in (*SCENARIO["photo"], *SCENARIO["recording"], *SCENARIO["caption_file"])]
    named += [one["captions"] for one in SCENARIO["recording"] if "captions" in one]
    media = SAMPLE / "media"
    assert sorted(named) == sorted(name_of(str(path)) for path in media.rglob("*") if path.is_file())
    assert set(TIMES["photos"]) == {one["file"] for one in SCENARIO["photo"]}
    assert sum(path.stat().st_size for path in media.rglob("*") if path.is_file()) < 30e6


def test_originals_are_what_they_were(demo):
    def held(folder: Path) -> dict[str, bytes]:
        return {str(one.relative_to(folder)): one.read_bytes() for one in folder.rglob("*") if one.is_file()}

    assert held(demo[1]) == held(SAMPLE / "media")


def test_every_file_is_in_the_records_or_set_aside_with_a_reason(demo):
    _, media, records = demo
    known = set(media_by_name(records)) | {name_of(one.path) for one in records.set_aside}
    assert known == {name_of(str(path)) for path in media.rglob("*") if path.is_file()}
    assert {name_of(one.path) for one in records.set_aside} == {
        one["file"] for one in SCENARIO["photo"] if one.get("broken")
    }


def test_wrong_clock_of_the_camera_is_found_from_its_gps(demo):
    (camera,) = [one for one in SCENARIO["device"] if one["id"] == "camera"]
    (clock,) = [one for one in demo[2].clocks if one.device == f"{camera['make']} {camera['model']}"]
    assert clock.sure
    assert clock.offset_s == pytest.approx(camera["clock_error_s"], abs=2)


def test_every_photo_and_recording_is_dated_within_its_stated_error(demo):
    known = media_by_name(demo[2])
    for name, told in TIMES["photos"].items():
        if name in known:
            off_s = (known[name].taken_at - datetime.fromisoformat(told["taken_at"])).total_seconds()
            assert abs(off_s) <= known[name].time_error_s + 1, name
    for told in TIMES["recordings"].values():
        one = known[told["file"]]
        off_s = (one.taken_at - datetime.fromisoformat(told["starts_at"])).total_seconds()
        assert abs(off_s) <= one.time_error_s, told["file"]


def test_photos_stand_with_the_words_that_they_were_taken_for_and_strays_with_none(demo):
    records = demo[2]
    known = media_by_name(records)
    placed = {photo.media: entry for entry in records.entries for photo in entry.photos}
    right = wrong = strays_placed = 0
    for photo in SCENARIO["photo"]:
        if photo.get("broken"):
            continue
        entry = placed.get(known[photo["file"]].id)
        if photo.get("stray"):
            strays_placed += entry is not None
        elif entry is not None:
            recording, number = photo["with"]
            told = TIMES["recordings"][recording]
            phrase = told["phrases"][number]
            same = entry.media == known[told["file"]].id
            right += same and entry.start_s - 2 <= phrase["to_s"] and phrase["from_s"] <= entry.end_s + 2
            wrong += not (same and entry.start_s - 2 <= phrase["to_s"] and phrase["from_s"] <= entry.end_s + 2)
    total = sum(1 for photo in SCENARIO["photo"] if "with" in photo)
    print(f"photos: {right} of {total} right, {wrong} wrong, {strays_placed} strays placed")
    assert right >= 0.9 * total
    assert wrong <= 0.05 * total
    assert strays_placed <= 1


def test_words_are_heard(demo):
    records = demo[2]
    known = media_by_name(records)
    heard: dict[str, list[str]] = {}
    read: dict[str, list[str]] = {}
    for one in records.utterances:
        heard.setdefault(one.media, []).append(one.heard)
        read.setdefault(one.media, []).append(one.read)
    plain = jiwer.Compose(
        [
            jiwer.ToLowerCase(),
            jiwer.RemovePunctuation(),
            jiwer.RemoveMultipleSpaces(),
            jiwer.ReduceToListOfListOfWords(),
        ]
    )
    said, as_heard = [], []
    for told in TIMES["recordings"].values():
        one = known[told["file"]]
        said.append(" ".join(phrase["text"] for phrase in told["phrases"]))
        as_heard.append(" ".join(heard[one.id]))
    error = jiwer.wer(said, as_heard, reference_transform=plain, hypothesis_transform=plain)
    print(f"word error rate of the sample, as heard: {100 * error:.1f} %")
    assert error < 0.25  # numbers are written as digits, and three files are noisy


def test_what_was_heard_with_its_corrections_is_what_is_read(demo):
    corrected = 0
    for one in demo[2].utterances:
        text = one.heard
        for correction in sorted(one.corrections, key=lambda correction: -correction.start):
            assert text[correction.start : correction.end] == correction.heard
            text = text[: correction.start] + correction.read + text[correction.end :]
            corrected += 1
        assert text == one.read
    assert corrected


def test_parts_that_came_off_are_on_the_list_with_where_they_are(demo):
    lines = demo[2].lists.parts_off
    found = []
    expected = [one for one in SCENARIO["expected"] if one["list"] == "parts-off"]
    for one in expected:
        sides = {"port", "starboard"} if one.get("side") == "both" else {one.get("side")}
        stowage = {key: value for key, value in one["stowage"].items() if key in ("rack", "stand", "box", "pallet")}
        for line in lines:
            kept = line.stowage.model_dump(exclude_none=True) if line.stowage else {}
            if line.item == one["item"] and line.side in sides and stowage.items() <= kept.items():
                found.append(one["item"])
                break
    print(f"parts off with the right place: {len(found)} of {len(expected)}")
    assert len(found) >= 0.6 * len(expected)


def test_pages_and_registers_are_there_for_both_days(demo):
    out = demo[0].out
    for place in ("logbook/index.html", "logbook/2026-02-14.html", "logbook/2026-02-15.html", "registers/to-do.csv"):
        assert (out / place).stat().st_size > 1000
    assert "OLLF0243.JPG" in (out / "set-aside.csv").read_text(encoding="utf-8-sig")
    assert len(list((out / "captions").glob("*.vtt"))) >= 15
    report = (out / "supporters" / "2026-02" / "report.html").read_text(encoding="utf-8")
    assert 6 <= report.count("<img") <= 14


def test_nothing_private_is_in_the_supporters_folder(demo):
    folder = demo[0].out / "supporters" / "2026-02"
    withheld = [
        person["name"].split()[0]
        for person in tomllib.loads((SAMPLE / "book.toml").read_text())["people"]
        if not person["consent"]
    ]
    for page in folder.glob("report.*"):
        text = page.read_text(encoding="utf-8")
        for word in (*withheld, "P-03", "Skelderwick", "rack", r"bag \d", "54.27", "GPS", "corrosion", "crack"):
            assert not re.search(rf"\b{word}\b", text), (page.name, word)
    pictures = list(folder.rglob("*.jpg"))
    assert pictures
    for path in pictures:
        with Image.open(path) as image:
            assert not image.getexif()
            assert set(image.info) <= {
                "jfif",
                "jfif_version",
                "jfif_unit",
                "jfif_density",
                "progressive",
                "progression",
            }
            assert max(image.size) <= 1600


def test_film_gives_stills_that_stand_with_its_words(demo):
    records = demo[2]
    stills = [one for one in records.media if one.still_of]
    (film,) = [one for one in records.media if one.kind is Kind.FILM]
    placed = {photo.media: entry.media for entry in records.entries for photo in entry.photos}
    assert stills
    assert all(placed[one.id] == film.id for one in stills)
