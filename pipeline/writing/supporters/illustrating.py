"""The report's pictures: chosen, placed in the story, named, and told in words from the facts."""

from collections import Counter
from collections.abc import Sequence
from datetime import tzinfo

from pipeline.records import EntryRecord, FactRecord, Records
from pipeline.values import Kind
from pipeline.writing.english import plural, sentence, weekday
from pipeline.writing.supporters.choosing import Chosen, choose
from pipeline.writing.supporters.privacy import Gate
from pipeline.writing.supporters.sentences import doing
from pipeline.writing.supporters.steps import Area, Step, named
from pipeline.writing.supporters.story import Picture
from pipeline.writing.terms import Terms


class Illustrator:
    """Chooses and captions pictures for the areas of one report."""

    def __init__(self, records: Records, steps: Sequence[Step], terms: Terms, gate: Gate, zone: tzinfo) -> None:
        """Take the steps that are told; captions name days in ``zone``."""
        self._taken_at = {media.id: media.taken_at for media in records.media if media.kind == Kind.PHOTO}
        self._steps = steps
        self._terms = terms
        self._gate = gate
        self._zone = zone

    def pictures(
        self, entries: Sequence[EntryRecord], areas: Sequence[Area], biggest: Step | None
    ) -> tuple[list[tuple[Picture, ...]], Picture | None]:
        """Return the pictures of each area, and the one that leads the report: of the biggest job if it has any.

        A photo that goes with a finding is kept back, since it may show it.
        """
        showing = {one.id for one in entries if any(_is_a_fault(fact) for fact in one.facts)}
        for entry in entries:
            if entry.id in showing and entry.photos:
                what = f"{len(entry.photos)} {plural('photo', len(entry.photos))}"
                self._gate.keep_back(what, "may show a finding that has not been released", entry.id)
        sections: list[list[EntryRecord]] = [[] for _ in areas]
        for entry in entries:
            main = self._main_step(entry.id)
            if main is not None and entry.id not in showing:
                home = next(index for index, area in enumerate(areas) if main in area.steps)
                sections[home].append(entry)
        first = next((one for one in biggest.entries if one not in showing), None) if biggest else None
        chosen = choose(sections, self._taken_at, first)
        flat = [one for section in chosen for one in section]
        leading = next((one for one in flat if one.entry == first), flat[0] if flat else None)
        made = self._captioned(([leading] if leading else []) + [one for one in flat if one is not leading])
        by_area = [tuple(made[one.media] for one in section if one.media in made and one is not leading)
                   for section in chosen]  # fmt: skip
        return by_area, made.get(leading.media) if leading else None

    def _main_step(self, entry: str) -> Step | None:
        """Return the step that an entry's pictures are named for: a removal before any other work, handling last."""
        of_entry = [step for step in self._steps if entry in step.entries]
        return min(
            of_entry, key=lambda step: (step.act != "remove", step.act in ("tag", "bag", "store")), default=None
        )

    def _captioned(self, chosen: Sequence[Chosen]) -> dict[str, Picture]:
        made: dict[str, Picture] = {}
        seen: Counter[str] = Counter()
        for one in chosen:
            step = self._main_step(one.entry)
            if step is None:
                continue
            about = doing(step.act, named(step, self._terms))
            seen[about] += 1
            caption = _caption(about, weekday(one.at.astimezone(self._zone).date()), seen[about], len(made))
            alt = sentence(f"photograph taken while {about}" + (f", view {seen[about]}" if seen[about] > 1 else ""))
            if not (self._gate.text(caption, "caption") and self._gate.text(alt, "text for a picture")):
                continue
            slug = "-".join(named(step, self._terms, article=False).split())
            made[one.media] = Picture(one.media, f"{len(made) + 1:02d}-{_file_letters(slug)}.jpg", caption, alt)
        return made


def _is_a_fault(fact: FactRecord) -> bool:
    return fact.status == "seen" and not fact.absent and fact.finding != "sound"


def _caption(about: str, day: str, turn: int, number: int) -> str:
    if turn > 1:
        return sentence(f"another view from {about}" if turn == 2 else f"one more from {about}")
    return (sentence(f"{day}: {about}"), sentence(f"{about}, on {day}"), sentence(about))[number % 3]


def _file_letters(text: str) -> str:
    return "".join(letter for letter in text.lower() if letter.isascii() and (letter.isalnum() or letter == "-"))
