"""The report's pictures: chosen, placed in the story, named, and told in words from the facts."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime, tzinfo

from pipeline.records import EntryRecord, FactRecord, Records, UtteranceRecord
from pipeline.values import Kind
from pipeline.writing.english import plural, sentence, weekday
from pipeline.writing.supporters.choosing import Chosen, Group, choose
from pipeline.writing.supporters.privacy import Gate
from pipeline.writing.supporters.sentences import doing
from pipeline.writing.supporters.steps import Area, Step, named
from pipeline.writing.supporters.story import Picture
from pipeline.writing.terms import Terms

_NEAR_A_FINDING_S = 8.0


class Illustrator:
    """Chooses and captions pictures for the areas of one report."""

    def __init__(self, records: Records, steps: Sequence[Step], terms: Terms, gate: Gate, zone: tzinfo) -> None:
        """Take the steps that are told; captions name days in ``zone``."""
        self._taken_at = {media.id: media.taken_at for media in records.media if media.kind == Kind.PHOTO}
        self._utterances = {one.id: one for one in records.utterances}
        self._steps = steps
        self._terms = terms
        self._gate = gate
        self._zone = zone

    def pictures(
        self, entries: Sequence[EntryRecord], areas: Sequence[Area], biggest: Step | None
    ) -> tuple[list[tuple[Picture, ...]], Picture | None]:
        """Return the pictures of each area, and the one that leads the report: of the biggest job if it has any.

        A photo taken while a finding was told is kept back, since it may show it.
        """
        about: dict[str, Step] = {}
        sections: list[list[Group]] = [[] for _ in areas]
        for entry in entries:
            for step, photos in self._by_step(entry).items():
                name = f"{entry.id} {step.act} {step.item}"
                about[name] = step
                home = next(index for index, area in enumerate(areas) if step in area.steps)
                sections[home].append(Group(name, tuple(photos)))
        first = next((name for name, step in about.items() if step is biggest), None)
        chosen = choose(sections, self._taken_at, first)
        flat = [one for section in chosen for one in section]
        leading = next((one for one in flat if one.group == first), flat[0] if flat else None)
        made = self._captioned(([leading] if leading else []) + [one for one in flat if one is not leading], about)
        by_area = [
            tuple(made[one.media] for one in section if one.media in made and one is not leading)
            for section in chosen
        ]
        return by_area, made.get(leading.media) if leading else None

    def _by_step(self, entry: EntryRecord) -> dict[Step, list[tuple[str, float]]]:
        """Sort an entry's photos by the work that was told when each was taken."""
        findings = [fact for fact in entry.facts if _is_a_fault(fact)]
        found: dict[Step, list[tuple[str, float]]] = {}
        kept_back = 0
        for link in entry.photos:
            at = self._taken_at.get(link.media)
            if at is None:
                continue
            if any(self._away_s(fact.utterances, at) < _NEAR_A_FINDING_S for fact in findings):
                kept_back += 1
                continue
            step = self._step_at(entry, at)
            if step is not None:
                found.setdefault(step, []).append((link.media, link.p))
        if kept_back:
            what = f"{kept_back} {plural('photo', kept_back)}"
            self._gate.keep_back(what, "may show a finding that has not been released", entry.id)
        return found

    def _step_at(self, entry: EntryRecord, at: datetime) -> Step | None:
        """Return the step told nearest to a moment: a removal before other work told as near, handling last."""
        told = [
            (self._away_s(fact.utterances, at), step.act != "remove", step.act in ("tag", "bag", "store"), index)
            for fact in entry.facts
            for index, step in enumerate(self._steps)
            if fact.status == "done" and entry.id in step.entries and _tells_of(step, fact)
        ]
        return self._steps[min(told)[-1]] if told else None

    def _away_s(self, utterances: Iterable[str], at: datetime) -> float:
        """Return the seconds from a moment to the nearest of some utterances, 0 inside one or where none is known."""
        spans = [_away_s(self._utterances[one], at) for one in utterances if one in self._utterances]
        return min(spans, default=0.0)

    def _captioned(self, chosen: Sequence[Chosen], about: Mapping[str, Step]) -> dict[str, Picture]:
        made: dict[str, Picture] = {}
        seen: Counter[str] = Counter()
        for one in chosen:
            step = about[one.group]
            work = doing(step.act, named(step, self._terms))
            seen[work] += 1
            caption = _caption(work, weekday(one.at.astimezone(self._zone).date()), seen[work], len(made))
            alt = sentence(f"photograph taken while {work}" + (f", view {seen[work]}" if seen[work] > 1 else ""))
            if not (self._gate.text(caption, "caption") and self._gate.text(alt, "text for a picture")):
                continue
            slug = "-".join(named(step, self._terms, article=False).split())
            made[one.media] = Picture(one.media, f"{len(made) + 1:02d}-{_file_letters(slug)}.jpg", caption, alt)
        return made


def _tells_of(step: Step, fact: FactRecord) -> bool:
    same_work = step.act == fact.act or (fact.act in ("lift", "lower") and step.act in ("remove", "fit"))
    return step.item == fact.item and same_work


def _away_s(utterance: UtteranceRecord, at: datetime) -> float:
    before = (utterance.start_at - at).total_seconds()
    after = (at - utterance.end_at).total_seconds()
    return max(before, after, 0.0)


def _is_a_fault(fact: FactRecord) -> bool:
    return fact.status == "seen" and not fact.absent and fact.finding != "sound"


def _caption(work: str, day: str, turn: int, number: int) -> str:
    if turn > 1:
        return sentence(f"another view from {work}" if turn == 2 else f"one more from {work}")
    return (sentence(f"{day}: {work}"), sentence(f"{work}, on {day}"), sentence(work))[number % 3]


def _file_letters(text: str) -> str:
    return "".join(letter for letter in text.lower() if letter.isascii() and (letter.isalnum() or letter == "-"))
