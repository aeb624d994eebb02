"""How the work on parts is told that neither takes off nor puts on: looked over, cleaned, painted, tested, made."""

from collections.abc import Sequence

from pipeline.english import listed, plural
from pipeline.writing.fastened import is_of_fastenings
from pipeline.writing.supporters.as_told import BLEED, SLACKEN
from pipeline.writing.supporters.chapters import SERVICES, is_run
from pipeline.writing.supporters.plain_names import plain_name
from pipeline.writing.supporters.reasons import LOOKED_AT, Reasons
from pipeline.writing.supporters.sentences import ACTS, Forms, parts_listed, what_holds
from pipeline.writing.supporters.steps import Step, is_many, is_one, made_named, named
from pipeline.writing.supporters.told import Told, told
from pipeline.writing.terms import Terms, kind_and_zone

# In the order in which such work is told.
_CARE = (
    "open", "inspect", "clean", "prime", "paint", "dope", "make", SLACKEN, "connect", BLEED, "tighten", "lock",
    "test", "blank",
)  # fmt: skip
_PIPES = ("line", "pipe")
_MOST_PARTS = 4
_MOST_JOBS = 8


class Carer:
    """Tells such work: all that was done to a part together, and parts with the same work together."""

    def __init__(self, terms: Terms, forms: Forms, reasons: Reasons) -> None:
        """Reasons are given once in a report."""
        self._terms = terms
        self._forms = forms
        self._reasons = reasons

    def told(self, steps: Sequence[Step]) -> list[Told]:
        """Return the clauses, each with the reason for the work where it was not given before."""
        done: dict[tuple[str, frozenset[str], bool], list[Step]] = {}
        fastened = {(one.item, one.sides) for one in steps if one.act == "tighten"}
        for act in _CARE:
            for one in steps:
                if one.act == act and self._is_news(one):
                    with_it = {act, "tighten"} if (one.item, one.sides) in fastened else {act}
                    apart = is_of_fastenings(with_it, one.item, self._terms)
                    done.setdefault((one.item, one.sides, apart), []).append(one)
        by_acts: dict[tuple[str, ...], list[list[Step]]] = {}
        for own in list(done.values()):
            own.sort(key=lambda one: one.at)  # what was done later is told later
            by_acts.setdefault(tuple(one.act for one in own), []).append(own)
        made: list[Told] = []
        for acts, jobs in list(by_acts.items())[:_MOST_JOBS]:
            made.append(self._clause(acts, jobs))
            looked = next((one for job in jobs for one in job if one.act in LOOKED_AT), None)
            # a pipe is blown through to clear it, and not to judge it
            if looked is not None or (len(jobs) < 3 and not is_run(jobs[0][-1].item, self._terms)):
                made += self._reasons.of(looked or jobs[0][-1])
        return made

    def _is_news(self, one: Step) -> bool:
        kind = kind_and_zone(self._terms, one.item)[0]
        if one.act == SLACKEN and kind != "controls":
            return False
        # that an open end was covered goes with what was freed, or is no news
        is_pipe = kind in SERVICES or one.item.endswith(_PIPES)
        return kind != "fastener" and not (one.act == "blank" and is_pipe)

    def _clause(self, acts: tuple[str, ...], jobs: Sequence[list[Step]]) -> Told:
        steps = [one for job in jobs for one in job]
        firsts = [job[0] for job in jobs]
        if acts == ("make",):
            what = listed([made_named(one, self._terms) for one in firsts[:_MOST_PARTS]])
            if any(one.by_others for one in steps):
                many = len(firsts) > 1 or is_many(firsts[0], self._terms)
                return told(f"{what} {'were' if many else 'was'} made for us", *steps)
            return told(f"we made {what}", *steps, other=f"{what} had to be made")
        names = [self._named(acts, job) for job in jobs]
        parts = parts_listed(names, _MOST_PARTS)
        many = len(firsts) > 1 or is_many(firsts[0], self._terms) or parts.startswith(("both ", "the two "))
        # the bolts of it
        many = many or (names[0] != self._name(firsts[0]) and not names[0].startswith(("a ", "an ")))
        many = many or names[0] == f"the {plural(plain_name(self._terms, firsts[0].item))}"
        past = listed([ACTS[act].past.replace(" {}", "") for act in acts])
        done = listed([ACTS[act].done for act in acts])
        active = f"we {past} {parts}"
        passive = f"{parts} {'were' if many else 'was'} {done}"
        if acts == ("paint",):
            passive = f"{parts} got a coat of paint"
        elif acts == ("dope",):
            passive = f"{parts} got a coat of dope"
        elif acts == ("prime",):
            passive = f"{parts} got a coat of primer"
        elif acts == ("open",):
            active = f"we opened {parts}, so that we could reach inside"
        if any(one.by_others for one in steps):  # "we" would be untrue
            return told(passive, *steps, other=passive)
        first, other = (active, passive) if self._forms.next("care", "a", "p") == "a" else (passive, active)
        return told(first, *steps, other=other)

    def _named(self, acts: tuple[str, ...], job: Sequence[Step]) -> str:
        """Name what was worked on: a part, or what holds it."""
        name = self._name(job[0])
        if not is_of_fastenings(acts, job[0].item, self._terms):
            return name
        return what_holds(name, self._terms, next((one.counts for one in job if one.counts), ()))

    def _name(self, one: Step) -> str:
        """Name pipes and cables as a reader thinks of them: "the control cables", not one of them."""
        if one.act == "connect" and is_run(one.item, self._terms) and not one.number and not is_one(one):
            return f"the {plural(plain_name(self._terms, one.item))}"
        return named(one, self._terms)
