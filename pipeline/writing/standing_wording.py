"""Fasteners, disconnections, findings and owed work in words: cells of their registers, and what is to be asked."""

import re
from collections.abc import Sequence
from datetime import date

from pipeline.english import capital, day_text, listed, plural
from pipeline.lists.findings import nobody_followed_up, where
from pipeline.lists.severity import CORROSION_GRADES
from pipeline.reading.fluids import is_bled
from pipeline.records import (
    DisconnectionLine,
    FastenerLine,
    FindingLine,
    LineQuestion,
    Move,
    Observation,
    SupportLine,
    ToDo,
    WaitsFor,
)
from pipeline.writing.measures import measure_text
from pipeline.writing.terms import Terms, term
from pipeline.writing.wording import FINDINGS, act_words, counted, finding_text, part_text, place_text

ZONES = {
    "nose": "Nose",
    "front": "Front fuselage",
    "centre": "Centre fuselage",
    "rear": "Rear fuselage",
    "tail": "Tail",
    "wing": "Wings",
    "nacelle": "Engines and nacelles",
    "gear": "Undercarriage",
    "any": "Elsewhere, or no place told",
}

_NUMBER_BEFORE = re.compile(r"\{(\d)\} \{what\}")
QUESTIONS = {
    "bag-of-no-joint": "{bags} {what} of a joint that nobody undid.",
    "joint-not-told": "Nobody said what is held by the {what}.",
    "said-and-listed-differ": "It was said to be held by {0}; the list for this type has {1}.",
    "part-or-more": "{0} and {1} were told: are the {1} among the {0}?",
    "more-than-expected": "{0} {what} are out, but {1} were expected. Was something told twice?",
    "off-with-some-left": "The part is off; never said to be undone: {0} of {1} {what}.",
    "not-bagged": "Undone and not said to be bagged: {0} of {1} {what}.",
    "fewer-back": "Said to be back: only {0} of {1} {what}.",
    "more-bagged-than-undone": "Bagged: {0} {what}; said to be undone: only {1}.",
    "bagged-not-undone": "Bagged, and nobody said undone: {0} {what}.",
    "to-account-for": "{0} of {1} {what} still to be accounted for: the part is off, and no bag was told of.",
    "connected-not-parted": "It was connected, but nobody said when it was disconnected.",
    "blanked-not-parted": "It was blanked, but nobody said when it was opened.",
    "service-not-told": "Something was disconnected, and nobody said what.",
    "not-blanked": "It was opened on {first}, and nobody said that it was blanked. Check that it is.",
    "which-was-connected": "On {last} one of these was said to be connected again, but not which. Check them all.",
    "which-was-blanked": "On {last} one of these was said to be blanked, but not which. Check them all.",
    "another-end": "It was said to be disconnected on {first} too. Is this another end, or the same one told again?",
    "there-and-not-there": "On {last} it was said to be there and not to be there. Which is it?",
    "gone-not-mended": "A crack was seen on {first} and not found on {last}; nobody said that it was mended.",
    "put-back-not-mended": "It was put back on {last}; nobody said that it was mended, or that it is another one.",
    "which-was-worked-on": "On {last} work was told of on one of that name, but not on which. Was it this one?",
    "seen-again-since": "Work on it was told on {first}, and it was seen again on {last}. Is it still there?",
    "said-good-since": "The part was said to be good on {last}. Is this still there?",
}


def fasteners_question(question: LineQuestion, line: FastenerLine, terms: Terms) -> str:
    """Return a question of a line of fasteners as a sentence."""
    return question_text(question, fasteners_text(line, terms), fasteners_text(line, terms, 1))


def question_text(question: LineQuestion, what: str = "fastenings", one: str = "fastening") -> str:
    """Return a question of a line as a sentence; a kind without words of its own is named.

    Args:
        question: what is asked.
        what: what is counted on the line, in the plural ("bolts").
        one: the same where the number before it is one.
    """
    days = [day_text(day) for day in question.days] or [""]
    if not question.bags:
        bags = "A bag holds"
    elif len(question.bags) == 1:
        bags = f"Bag {question.bags[0]} holds"
    else:
        bags = f"Bags {listed(question.bags)} hold"
    form = QUESTIONS.get(question.kind, capital(question.kind.replace("-", " ")) + ".")
    number = _NUMBER_BEFORE.search(form)
    alone = number is not None and question.numbers[int(number[1])] == 1
    return form.format(*question.numbers, what=one if alone else what, bags=bags, first=days[0], last=days[-1])


def fasteners_text(line: FastenerLine, terms: Terms, count: int | None = None) -> str:
    """Return the kind of fastener, in the plural but for a count of one: "bolts"; "fastenings" where nobody said."""
    return plural(term(terms, line.of) if line.of else "fastening", count)


def name_text(line: FastenerLine | FindingLine | SupportLine | ToDo, terms: Terms) -> str:
    """Return what a line is of, without its side and place: "rudder", "outer engine"; "" where nobody said."""
    called = line.called if isinstance(line, FindingLine | ToDo) else ""
    return part_text(line.item, None, None, terms, article=False, position=line.position, called=called)


def joint_text(line: FastenerLine, terms: Terms) -> str:
    """Return what the fasteners hold: "Port wing joint"."""
    if line.item is None:
        return "(joint not named)"
    return capital(part_text(line.item, line.side, line.place, terms, article=False, position=line.position))


def expected_text(line: FastenerLine) -> str:
    """Return how many there should be and who says so: "about 240, as explained", "16, list for the type"."""
    if line.expected is None:
        return ""
    source = "as explained" if line.expected_from == "said" else "list for the type"
    return f"{'about ' if line.expected_about else ''}{line.expected:,}, {source}"


def number_text(line: FastenerLine, name: str) -> str:
    """Return one number of a line: "12", "about 110", "12 and more", "some, not counted"; "" for none."""
    number = getattr(line, name)
    more = name in line.uncounted
    if number is None:
        return "some, not counted" if more else ""
    return f"{'about ' if name in line.about else ''}{number:,}{' and more' if more else ''}"


def bagged_text(line: FastenerLine) -> str:
    """Return how many were bagged, where, and what was told of it since: "12, bag 3; 3 there on 24 October 2026"."""
    bags = f"{'bag' if len(line.bags) == 1 else 'bags'} {listed(line.bags)}" if line.bags else ""
    first = ", ".join(filter(None, (number_text(line, "bagged"), bags)))
    later = ""
    if line.emptied_on:
        later = f"empty on {day_text(line.emptied_on)}"
    elif line.in_bag_on and line.in_bag is not None:
        later = f"{line.in_bag:,} there on {day_text(line.in_bag_on)}"
    return "; ".join(filter(None, (first, later)))


def difference_text(line: FastenerLine) -> str:
    """Return what the numbers leave: "2 not undone; 3 not bagged", "1 to account for"; "about" where they are."""
    about = "about " if line.expected_about or line.about else ""
    left = f"{about}{line.left:,} not undone" if line.left else ""
    still_out = (line.undone or 0) > (line.fitted or 0)  # of those that are back, nobody asks in which bag they were
    loose = f"{about}{line.not_bagged:,} not bagged" if line.not_bagged and still_out else ""
    owed = f"{about}{line.to_account_for:,} to account for" if line.to_account_for else ""
    return "; ".join(filter(None, (left, loose, owed)))


def service_text(line: DisconnectionLine, terms: Terms) -> str:
    """Return a service with its side and place: "Port fuel line"."""
    if line.item is None:
        return "(service not named)"
    part = part_text(
        line.item, line.side, line.place, terms, article=False, position=line.position, called=line.called
    )
    name = capital(part)
    return f"{name} ({line.count})" if line.count else name


def parted_at_text(line: DisconnectionLine, terms: Terms) -> str:
    """Return where a service was parted: as it was said, else the joint told with it; "" where nothing tells."""
    if line.parted_at or line.joint is None:
        return line.parted_at
    joint = term(terms, line.joint)
    return f"{joint} (told with it)" if line.joint_inferred else joint


def blank_text(line: DisconnectionLine, day: str) -> str:
    """Return when and with what it was blanked; "open" for a line that should be and is not known to be."""
    if line.blanked_on:
        return f"{day}, {line.blanked_with}" if line.blanked_with else day
    return "not told" if line.must_be_blanked and line.connected_on is None else ""


def second_inspection_text(line: DisconnectionLine) -> str:
    """Return why a second inspection is usual after reconnecting, else "". It tells of none that was made."""
    return f"after reconnecting: {line.inspect_independently}" if line.inspect_independently else ""


def observation_text(seen: Observation, finding: str, day: str) -> str:
    """Return one telling of a condition: "14 Feb 2026: light, 15 mm", with an earlier time where one was said."""
    size = ", ".join(measure_text(one) for one in seen.measure or ())
    number = f"{seen.count:,}" if seen.count is not None else ""
    how = ", ".join(filter(None, ("not found" if seen.absent else "", seen.grade, number, size))) or "seen"
    when = f"{capital(seen.earlier)} (told {day})" if seen.earlier else day
    return f"{when}: {how}"


def finding_name(finding: str) -> str:
    """Return a finding by its heading's words: "crack", "looked at and good"."""
    known = FINDINGS.get(finding)
    return known.seen.rstrip(":") if known else finding.replace("-", " ")


def published_grade(line: FindingLine) -> str:
    """Return the published word for a grade of corrosion with what it means there, "" for all else."""
    words = CORROSION_GRADES.get(line.grade or "") if line.finding == "corrosion" and not line.absent else None
    return f"{words.term}: {words.pits}" if words else ""


def done_texts(line: FindingLine, days: Sequence[str], terms: Terms) -> list[str]:
    """Return what was done about a finding: "repaired 1 Mar 2026", "fitted the doubler 8 Mar 2026", "replaced".

    Args:
        line: the finding.
        days: the day of each ``done`` as it is to be written.
        terms: the vocabulary.
    """
    told = zip(line.done, days, strict=True)
    pasts = {"replace": "replaced"}
    return [f"{_work(move, pasts.get(move.what) or act_words(move.what).past, terms)} {day}" for move, day in told]


def planned_texts(line: FindingLine, terms: Terms) -> list[str]:
    """Return what is planned about a finding: "paint", "fit the doubler"."""
    return [_work(move, act_words(move.what).order, terms) for move in line.planned]


def _work(move: Move, verb: str, terms: Terms) -> str:
    return f"{verb} {part_text(move.item, None, None, terms)}" if move.item else verb


def follow_up_text(line: FindingLine, days: Sequence[str], terms: Terms) -> str:
    """Return what was done and planned about it: "repaired 1 Mar 2026; to do: paint"; or that nobody has.

    Args:
        line: the finding.
        days: the day of each ``done`` as it is to be written.
        terms: the vocabulary.
    """
    done = done_texts(line, days, terms)
    planned = [f"to do: {one}" for one in planned_texts(line, terms)]
    told = "; ".join(dict.fromkeys((*done, *planned)))
    nobody = "nobody since" if told else "nobody yet"
    return "; ".join(filter(None, (told, nobody if nobody_followed_up(line) else "")))


def found_text(line: FindingLine) -> str:
    """Return the name of what was found with its grade and number: "Heavy corrosion"."""
    return finding_text(line.finding, absent=line.absent, grade=line.grade, count=line.count)


def group_text(line: FindingLine) -> str:
    """Return the heading that a finding stands under: "Rear fuselage, frame 15", "Front spar", "Ribs 1 to 7"."""
    first = where(line)
    place = place_text([one for one in line.place or () if f"{one.scheme} {one.at}" == first])
    if line.zone == "any" and place:
        return capital(place)
    return ", ".join(filter(None, (ZONES.get(line.zone, capital(line.zone)), place)))


def work_text(line: ToDo, terms: Terms) -> str:
    """Return what is still to be done, with its number: "Drill out 1 screw of the port wing tip"."""
    part = part_text(line.item, line.side, line.place, terms, position=line.position, called=line.called)
    if line.count is not None and line.of and line.of != line.item:
        part = " of ".join(filter(None, (counted(line.count, line.of, terms), part)))
    elif line.count is not None and line.of:
        part = f"{counted(line.count, line.of, terms)} ({part})"
    order = "bleed" if is_bled(line.act, line.words) else act_words(line.act).order
    return capital(f"{order} {part}".strip())


def waits_text(waits: WaitsFor, terms: Terms) -> str:
    """Return what work waits for: "remove the tailplane (said)", "clean the fin (owed before)"."""
    why = {"said": "said", "owed-before": "owed before"}[waits.why]
    return f"{act_words(waits.act).order} {part_text(waits.item, waits.side, None, terms)} ({why})"


def age_text(days: int) -> str:
    """Return an age in days: "0 days", "1 day"."""
    return f"{days:,} day{'' if days == 1 else 's'}"


def entries_of(moves: Sequence[Move]) -> tuple[str, ...]:
    """Return the entries that a line comes from, in order, each once."""
    return tuple(dict.fromkeys(move.entry for move in moves))


def entries_of_finding(line: FindingLine) -> tuple[str, ...]:
    """Return the entries that told of a finding and of what was done about it, each once; the latest first."""
    moves = (*line.done, *line.planned)
    told = (line.entry, *(one.entry for one in line.seen), *(move.entry for move in moves))
    return tuple(dict.fromkeys(told))


def iso(day: date | None) -> str:
    """Return a day as a spreadsheet reads it everywhere: "2026-02-14"; "" for none."""
    return day.isoformat() if day else ""
