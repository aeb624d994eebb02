"""How a chapter is told: its opening, what came off, what went back on, and the work on what lay there."""

from collections.abc import Sequence
from datetime import date

from pipeline.english import month
from pipeline.writing.supporters.caring import Carer
from pipeline.writing.supporters.chapters import SERVICES, Chapter, area_of, in_words, is_bit
from pipeline.writing.supporters.news import goes_back
from pipeline.writing.supporters.past import Past
from pipeline.writing.supporters.privacy import Gate
from pipeline.writing.supporters.reasons import Reasons
from pipeline.writing.supporters.sentences import Forms, finished, parts_listed, short
from pipeline.writing.supporters.steps import LARGE, Step, is_many, named, part_named
from pipeline.writing.supporters.taking_off import TakingOff
from pipeline.writing.supporters.told import Told, passed, told
from pipeline.writing.supporters.when import on_day, on_days
from pipeline.writing.terms import Terms, kind_and_zone

_MOST_PARTS = 5
_MONTH_ALONE_IS_CLEAR_DAYS = 200
_IS_BACK = "back on the aircraft"
_LONG_ENOUGH = 3  # sentences, from which a paragraph stands alone


class Teller:
    """Tells the chapters of one report."""

    def __init__(
        self,
        terms: Terms,
        forms: Forms,
        held: dict[str, tuple[str, int, str]],
        past: Past,
        days: Sequence[date],
        gate: Gate,
    ) -> None:
        """Take what somebody said holds a part (what, how many, the entry), what came before, and the days told."""
        self._terms = terms
        self._forms = forms
        self._past = past
        self._days = days
        self._gate = gate
        self._reasons = Reasons(past.reasons)
        self._off = TakingOff(terms, forms, held, self._reasons, past)
        self._care = Carer(terms, forms, self._reasons)

    def leave_out_number_of(self, item: str) -> None:
        """Do not tell how many fasteners a part had: it stands as the number of the report."""
        self._off.number_of = item

    def paragraphs(self, chapter: Chapter, before: Chapter | None, *, alone: bool) -> list[tuple[Told, ...]]:
        """Return the paragraphs of a chapter; none where there is nothing to tell.

        Args:
            chapter: what to tell.
            before: the chapter that was told before it.
            alone: whether it is the only one: it then needs no words to lead over to it.
        """
        # in a report of one day the heading says all that there is to say first
        begun = [] if alone or chapter.area == "small" or len(self._days) == 1 else [self._opener(chapter, before)]
        off = self._off.told(chapter)
        blocks = [*off, self._back_on(chapter), self._care.told(chapter.steps)]
        blocks = [block for block in blocks if block]
        if not blocks:
            return []
        blocks[0] = [*begun, *blocks[0]]
        sentences = [finished(block, self._gate, chapter.area) for block in _joined(blocks)]
        return [kept for one in sentences if (kept := passed(self._gate, one, chapter.area))]

    def _opener(self, chapter: Chapter, before: Chapter | None) -> Told:
        own = sorted({day for step in chapter.steps for day in self._days_of(step, chapter)})
        words = in_words(chapter.area, chapter.steps)
        if len(own) == 1:
            day = on_day(own[0], self._days)
            later = before is not None and before.begun <= chapter.begun
            begun = f"on {day} we {'turned to' if later else 'were at work on'} {words}"
            text = self._forms.next("day", begun, f"on {day} we worked on {words}")
            return told(begun if before is None else text, *chapter.steps[:1])
        when = on_days(own, self._days)
        text = self._forms.next(
            "span",
            f"we were at work on {words} {when}",
            f"{when} we worked on {words}",
            f"work on {words} went ahead {when}",
            f"{words} had our attention {when}",
        )
        return told(text, *chapter.steps)

    def _days_of(self, step: Step, chapter: Chapter) -> tuple[date, ...]:
        """Return the days of a chapter's work; of a system's only the first: on others it was for another part."""
        return step.days if area_of(step.item, self._terms) == chapter.area else (step.day,)

    def _back_on(self, chapter: Chapter) -> list[Told]:
        """Tell what was fitted, the largest first, with when it had come off where that is known."""
        fits = [
            one for one in chapter.steps
            if one.act == "fit" and not is_bit(one.item, self._terms)
            and (one.item in LARGE or self._kind(one) not in SERVICES)
        ]  # fmt: skip
        if not fits:
            return []
        fits.sort(key=lambda one: one is not chapter.main)
        main, others = fits[0], fits[1:]
        made = [self._fitted(main, chapter), *self._people(main)]
        if others:
            names = parts_listed([named(one, self._terms) for one in others], _MOST_PARTS)
            many = len(others) > 1 or is_many(others[0], self._terms)
            back = all(goes_back(one, chapter.steps, self._past) for one in others)
            made.append(
                told(
                    self._forms.next(
                        "fitted too",
                        f"{names} went {'back ' if back else ''}on too",
                        f"{names} {'are' if many else 'is'} {'back in place' if back else 'in place'} too",
                    ),
                    *others,
                    other=_so_with(made[0].text, names, many=many, back=back),
                )
            )
        return [*made, *self._reasons.of(main)]

    def _fitted(self, main: Step, chapter: Chapter) -> Told:
        name = named(main, self._terms)
        if main.new:
            return told(self._forms.next("fitted", f"{name} went on", f"we fitted {name}"), main)
        taken = [one for one in chapter.steps if one.act == "remove" and one.item == main.item and one.at < main.at]
        if taken and main.until.date() != taken[0].day:
            back = "were" if is_many(main, self._terms) else "was"
            return told(f"by {on_day(main.until.date(), self._days)} {name} {back} back on", main)
        if taken:
            return told(f"before we were done, {name} went on again", main)
        off_on = self._past.came_off(main.item, main.sides)
        many = is_many(main, self._terms)
        if off_on is not None:
            when = "last year" if off_on.year == main.day.year - 1 else f"in {off_on.year}"
            near = off_on.year == main.day.year or (main.day - off_on).days < _MONTH_ALONE_IS_CLEAR_DAYS
            when = f"in {month(off_on)}" if near else when
            return told(f"{name}, which came off {when}, {'are' if many else 'is'} {_IS_BACK}", main)
        if main.back:
            return told(f"{name} went back on", main)
        return told(self._forms.next("fitted", f"{name} went on", f"we fitted {name}"), main)

    def _people(self, main: Step) -> list[Told]:
        if main.people < 2:
            return []
        brief = short(main.item, self._terms)
        return [self._off.hands(main, f"to put the {brief} in place")]

    def _kind(self, step: Step) -> str:
        return kind_and_zone(self._terms, step.item)[0]


def _so_with(before: str, names: str, *, many: bool, back: bool) -> str:
    """Return "so is the lift strut", "so did the lift strut", "" where that is not true or says nothing."""
    if back and before.endswith(_IS_BACK):
        return f"so {'are' if many else 'is'} {names}"
    return f"so did {names}" if before.endswith((" went on", " went back on")) else ""


def labels(all_steps: Sequence[Step], terms: Terms, *, along: bool = False) -> list[Told]:
    """Return the one sentence that tells of labels and bags, none where there were none.

    Args:
        all_steps: everything that the report tells.
        terms: the vocabulary.
        along: whether it stands under one heading of several, where it is not of that heading and its days alone.
    """
    tagged = [step for step in all_steps if step.act == "tag"]
    bagged = [step for step in all_steps if step.act == "bag" and kind_and_zone(terms, step.item)[0] == "fastener"]
    bagged.sort(key=lambda step: step.item)
    done = []
    if tagged:
        parts = [named(step, terms, sides=False) for step in tagged]
        done.append(f"labelled {parts[0] if len(set(parts)) == 1 else 'the parts'}")
    if bagged:
        done.append(f"bagged {parts_listed([part_named(step.item, (), terms) for step in bagged[:2]])}")
    if not done:
        return []
    text = " and ".join(done)
    one = not bagged and len(tagged) == 1 and not is_many(tagged[0], terms)
    each = "it" if one else "each"
    way = "along the way " if along else ""
    return [told(f"{way}we {text}, so that {each} can go back where it came from", *tagged, *bagged)]


def _joined(blocks: Sequence[list[Told]]) -> list[list[Told]]:
    """Join short paragraphs with the one before them."""
    made: list[list[Told]] = []
    for block in blocks:
        if made and (len(block) < _LONG_ENOUGH or len(made[-1]) < _LONG_ENOUGH) and len(block) + len(made[-1]) < 7:
            made[-1] = [*made[-1], *block]
        else:
            made.append(list(block))
    return made
