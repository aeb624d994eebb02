"""Rows of the registers of fasteners, disconnections, findings and owed work: a header and one row for each line."""

from collections.abc import Iterable, Sequence

from pipeline.lists.findings import nobody_followed_up
from pipeline.records import DisconnectionLine, FastenerLine, FindingLine, ToDo
from pipeline.writing import standing_wording as words
from pipeline.writing.measures import measure_text
from pipeline.writing.terms import Terms, term
from pipeline.writing.wording import act_words, counted, part_text, place_text

Rows = tuple[Sequence[str], list[Sequence[object]]]
_NUMBERS = ("undone", "drilled_out", "bagged", "fitted", "tightened", "missing", "broken")


def fastener_rows(lines: Iterable[FastenerLine], terms: Terms) -> Rows:
    """Return the register of fasteners: numbers stand alone in their cells, and "about" in cells of its own."""
    header = ["joint", "notation", "side", "place", "fastener", "expected", "expected from", "undone", "drilled out",
              "bagged", "fitted again", "tightened", "found missing", "found broken", "only about right",
              "also told without a number", "bags", "in the bags now", "not undone", "not bagged", "to account for",
              "part numbers", "entries", "questions"]  # fmt: skip
    rows: list[Sequence[object]] = []
    for line in lines:
        about = [*(["expected"] if line.expected_about else []), *line.about]
        rows.append(
            (
                words.name_text(line, terms),
                line.item,
                line.side,
                place_text(line.place),
                term(terms, line.of) if line.of else "",
                line.expected,
                {"said": "as explained", "vocabulary": "list for the type", "": ""}[line.expected_from],
                *(getattr(line, name) for name in _NUMBERS),
                "; ".join(one.replace("_", " ") for one in about),
                "; ".join(one.replace("_", " ") for one in line.uncounted),
                "; ".join(line.bags),
                0 if line.emptied_on else line.in_bag,
                line.left,
                line.not_bagged,
                line.to_account_for,
                "; ".join(line.part_numbers),
                " ".join(words.entries_of(line.moves)),
                " ".join(words.fasteners_question(one, line, terms) for one in line.questions),
            )
        )
    return header, rows


def disconnection_rows(lines: Iterable[DisconnectionLine], terms: Terms) -> Rows:
    """Return the register of services and controls that were parted."""
    header = ["service", "notation", "side", "place", "number", "at", "where from", "parted on", "how", "blanked on",
              "blanked with", "should be blanked", "tag", "labelled on", "connected on", "second inspection usual",
              "entries", "questions"]  # fmt: skip
    rows: list[Sequence[object]] = [
        (
            part_text(line.item, None, None, terms, article=False, position=line.position, called=line.called),
            line.item,
            line.side,
            place_text(line.place),
            line.count,
            line.parted_at or (term(terms, line.joint) if line.joint else ""),
            "as it was said" if line.parted_at else "told in the same entry" if line.joint_inferred else "",
            line.disconnected_on,
            act_words(line.act).past if line.act else "",
            line.blanked_on,
            line.blanked_with,
            "yes" if line.must_be_blanked else "",
            line.tag,
            line.tagged_on,
            line.connected_on,
            words.second_inspection_text(line),
            " ".join(words.entries_of(line.moves)),
            " ".join(words.question_text(one) for one in line.questions),
        )
        for line in lines
    ]
    return header, rows


def finding_rows(lines: Iterable[FindingLine], terms: Terms) -> Rows:
    """Return the register of conditions that were looked at, in the order of the list."""
    header = ["seen on", "part", "notation", "side", "place", "finding", "present", "grade", "measure", "count",
              "entry", "photos", "first told on", "history", "worst", "closed on", "done since", "planned",
              "published grade", "zone", "group", "order", "entries", "questions"]  # fmt: skip
    rows: list[Sequence[object]] = []
    for line in lines:
        told = [words.observation_text(one, line.finding, words.iso(one.on)) for one in line.seen]
        done = words.done_texts(line, [words.iso(move.on) for move in line.done], terms)
        done = done or (["nobody yet"] if nobody_followed_up(line) else [])
        rows.append(
            (
                line.seen[-1].on if line.seen else line.on,
                words.name_text(line, terms),
                line.item,
                line.side,
                place_text(line.place),
                words.finding_name(line.finding),
                "no" if line.absent else "yes",
                line.grade,
                "; ".join(measure_text(one) for one in line.measure or ()),
                counted(line.count, line.of, terms) if line.count is not None and line.of else line.count,
                line.entry,
                len(line.photos),
                line.on,
                "; ".join(told) if len(told) > 1 else "",
                told[line.worst] if line.worst is not None and len(told) > 1 else "",
                line.closed_on,
                "; ".join(done),
                "; ".join(words.planned_texts(line, terms)),
                words.published_grade(line),
                line.zone,
                words.group_text(line),
                line.severity,
                " ".join(words.entries_of_finding(line)),
                " ".join(words.question_text(one) for one in line.questions),
            )
        )
    return header, rows


def to_do_rows(lines: Iterable[ToDo], terms: Terms) -> Rows:
    """Return the register of what was said to be planned or not done, and has not been done since."""
    header = ["said on", "state", "work", "part", "notation", "side", "place", "in the speaker's words", "entry",
              "age in days", "waits for"]  # fmt: skip
    rows: list[Sequence[object]] = [
        (
            line.said_on,
            line.status.replace("-", " ") + (f", left undone on {line.owed_since}" if line.owed_since else ""),
            words.work_text(line, terms),
            words.name_text(line, terms),
            line.item,
            line.side,
            place_text(line.place),
            line.words,
            line.entry,
            line.age_days,
            "; ".join(words.waits_text(one, terms) for one in line.waits_for),
        )
        for line in lines
    ]
    return header, rows
