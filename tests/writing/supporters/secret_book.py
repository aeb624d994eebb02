"""A book with things to keep inside: a team that has mostly not agreed, places, words, cautions, odd file names."""

import json
from datetime import date
from pathlib import Path

from pipeline.reading.vocabulary import load_vocabulary
from pipeline.records import Caution, Records, UnsureRecord
from pipeline.settings import Aircraft, Person, Settings, SupportersSettings, TimeSettings, Withhold
from pipeline.shipped import shipped
from pipeline.values import Kind
from pipeline.writing.supporters.withheld import Watch
from tests.writing.a_weekend import SATURDAY, medium, records

HERE = Path(__file__).parent
SECRETS = [json.loads(line) for line in (HERE / "secrets.jsonl").read_text(encoding="utf-8").splitlines()]
HARMLESS = (HERE / "harmless.txt").read_text(encoding="utf-8").splitlines()
VOCABULARY = load_vocabulary([shipped("vocab") / "base"])


def secret_settings(closing: str = "Thank you for standing by us.") -> Settings:
    return Settings(
        aircraft=Aircraft(name="Crew Trainer"),
        time=TimeSettings(zone="Europe/London", book_starts=date(2025, 10, 1)),
        people=(
            Person(name="Tamsin Orrell", also=("Tam",), role="rigger", consent=True),
            Person(name="Wilf Harkaway", also=("Wilfie", "the Boss"), role="engine fitter"),
            Person(name="Norris Yelland", role="airframe fitter"),
            Person(name="Dougie Pask", role="airframe fitter"),
            Person(name="Bea Linnet", role="apprentice"),
            Person(name="Jack Penrose", role="rigger"),
            Person(name="Anne-Marie O'Dell", role="photographer"),
            Person(name="Rose Baker", role="archivist"),
            Person(name="Bo Quill", role="rigger"),
        ),
        withhold=Withhold(
            places=("Skelderwick", "far wall", "Netherby Lock", "Hangar 4"), words=("tea urn", "Project Heron")
        ),
        supporters=SupportersSettings(title="From the hangar floor", closing=closing),
    )


def secret_records(told: list[str] | None = None) -> Records:
    """The weekend's records, in which every text of ``told`` was said too, with a caution and an odd file name."""
    book = records()
    first = book.entries[0]
    odd = medium("IMG_20260214_1015.jpg", SATURDAY, Kind.PHOTO, "image/jpeg", device="Zentriko Q7")
    words = {one.id: one for one in book.utterances}
    said = [
        words[first.utterances[0]].model_copy(
            update={"id": f"u-told-{index}", "heard": text, "read": text, "corrections": (), "unsure": ()}
        )
        for index, text in enumerate(told or ())
    ]
    sure = words[first.utterances[0]].model_copy(
        update={
            "id": "u-seven",
            "read": "Well, we undid all seven bolts by noon.",
            "heard": "Well, we undid all seven bolts by noon.",
            "corrections": (),
            "unsure": (UnsureRecord(start=18, end=23, why="low probability"),),
        }
    )
    caution = Caution(
        rule="support-before-undo",
        text="The wing joint was undone with nothing recorded as supporting the outer wing.",
        entries=(first.id,),
    )
    facts = tuple(one.model_copy(update={"said": " ".join(told or ())}) for one in first.facts)
    entry = first.model_copy(
        update={"utterances": (*first.utterances, *(one.id for one in (*said, sure))), "facts": facts}
    )
    return book.model_copy(
        update={
            "media": (*book.media, odd),
            "utterances": (*book.utterances, *said, sure),
            "entries": (entry, *book.entries[1:]),
            "cautions": (*book.cautions, caution),
        }
    )


def secret_watch() -> Watch:
    return Watch(secret_settings(), VOCABULARY, secret_records())
