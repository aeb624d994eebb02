"""Days and entries as the printed logbook sets them: values for its template, from the views of the day pages."""

from collections.abc import Mapping, Sequence
from dataclasses import asdict

from pipeline.english import capital
from pipeline.plain_text import cut_short
from pipeline.records import Records
from pipeline.writing.day_views import DayView, EntryView, PhotoView, SilenceView, SourceView, SpeechView
from pipeline.writing.decision_wording import NO_RELEASE
from pipeline.writing.entry_links import Link, moment_text, several_years
from pipeline.writing.history_words import REVIEWS
from pipeline.writing.terms import Terms
from pipeline.writing.wording import part_text

_LONGEST_NAME = 48


class EntrySetter:
    """Turns views into values, and knows where each entry stands.

    ``photos`` are the ids of the photos so far by the names that the values give them: they are numbered through.
    """

    def __init__(self, records: Records, terms: Terms, days: Sequence[DayView]) -> None:
        """Make ready.

        Args:
            records: those of the volume.
            terms: the vocabulary.
            days: the views of the volume's days.
        """
        self._terms = terms
        self._records = {one.id: one for one in records.entries}
        self.photos: dict[str, str] = {}
        shown = [entry for day in days for entry in day.entries]
        self._anchors = {entry.id: f"e{number}" for number, entry in enumerate(shown, start=1)}
        several = several_years(entry.at for entry in shown)
        self.links: Mapping[str, Link] = {
            entry.id: Link(self._anchors[entry.id], moment_text(entry.at, several)) for entry in shown
        }

    def day(self, view: DayView) -> dict[str, object]:
        """Return one day with its entries."""
        return {"title": view.title, "entries": [self._entry(one) for one in view.entries]}

    def unplaced(self, view: DayView) -> dict[str, object] | None:
        """Return what one day holds that is in no entry; None for nothing."""
        if not (view.speech or view.silent or view.photos):
            return None
        return {
            "title": view.title,
            "speech": [_speech(one) for one in view.speech],
            "silent": [_silence(one) for one in view.silent],
            "photos": [self._photo(one) for one in view.photos],
        }

    def _entry(self, view: EntryView) -> dict[str, object]:
        return {
            "anchor": self._anchors[view.id],
            "number": self._anchors[view.id][1:],
            "clock": view.clock,
            "offset": view.offset,
            "within": view.within,
            "title": view.title,
            "review": REVIEWS[view.review],
            "rejected": view.review == "rejected",
            "about": self._about(view),
            "advice": [
                {"text": one.text, "why": one.reason, "answer": f"{one.answer.who}: {one.answer.reason}"}
                if one.answer
                else {"text": one.text, "why": one.reason, "answer": ""}
                for one in view.cautions
            ],
            "facts": [{"heading": heading, "lines": [asdict(one) for one in facts]} for heading, facts in view.facts],
            "hardware": view.hardware,
            "speech": [_speech(one) for one in view.speech],
            "photos": [self._photo(one) for one in view.photos],
            "who": _who(view),
            "source": _source(view.source, view.from_to),
            "doubts": view.source.doubts,
            "asks": [one._asdict() for one in view.asks],
            "id": view.id,
            "acts": [one._asdict() for one in view.acts],
            "otherwise": view.otherwise,
            "no_release": NO_RELEASE if view.signed else "",
        }

    def _about(self, view: EntryView) -> list[dict[str, str]]:
        """Return where on the aircraft the entry is, of which system, its tags, and all parts that it names."""
        facts = self._records[view.id].facts
        parts = dict.fromkeys(
            part_text(fact.item, fact.side, None, self._terms, article=False) for fact in facts if fact.item
        )
        told = (*view.about, *((("Parts", "; ".join(parts)),) if parts else ()))
        return [{"name": name, "text": capital(text)} for name, text in told]

    def _photo(self, view: PhotoView) -> dict[str, object]:
        name = f"p{len(self.photos) + 1}"
        self.photos[name] = view.hash
        return {
            "picture": name,
            "number": name[1:],
            "alt": view.alt,
            "clock": view.clock,
            "device": view.device,
            "name": cut_short(view.name, _LONGEST_NAME),
            "hash": short_hash(view.hash),
            "caption": view.caption,
            "percent": view.percent,
            "notes": [*view.why, *([view.moved] if view.moved else [])],
            "doubts": view.doubts,
        }


def _who(view: EntryView) -> str:
    """Return who spoke, as far as the recording says so, who is named, and what it was recorded with."""
    spoke = f"{view.who} (as the recording or its captions say)" if view.who else "not given"
    named = f"; named in the words: {', '.join(view.named)}" if view.named else ""
    device = f"; recorded with {view.source.device}" if view.source.device else ""
    return spoke + named + device


def short_hash(media: str) -> str:
    """Return the first twelve digits of a hash."""
    return media.removeprefix("sha256:")[:12]


def _speech(view: SpeechView) -> dict[str, object]:
    return {
        "clock": view.clock,
        "speaker": view.speaker,
        "pieces": [
            {
                "text": one.text,
                "before": one.text[:1].isspace(),
                "after": one.text[-1:].isspace() and bool(one.text.strip()),
                "heard": one.heard or "",
                "mended": one.heard is not None,
                "unsure": bool(one.unsure),
                "faint": one.faint,
                "why": "; ".join(one.unsure),
            }
            for one in view.pieces
        ],
        "heard": view.heard,
        "suggestions": view.suggestions,
        "why": view.why,
    }


def _silence(view: SilenceView) -> dict[str, object]:
    return {"clock": view.clock, "where": view.where, "why": view.why, "guess": view.guess}


def _source(view: SourceView, from_to: str) -> dict[str, object]:
    return {
        "name": cut_short(view.name, _LONGEST_NAME),
        "hash": short_hash(view.hash),
        "sound": bool(view.sound),
        "from_to": from_to,
        "kind": view.kind,
        "dated": "; ".join(filter(None, (view.dated, view.moved))),
    }
