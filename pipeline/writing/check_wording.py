"""What a check found and what a seal is, in words; results for a person to read, each difference on a line."""

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from pipeline.english import plural
from pipeline.evidence.differences import NOT_LOOKED_AT, Checked, Difference, Kind
from pipeline.mistyped import to_type
from pipeline.plain_text import visible

_SAID = {
    Kind.CHANGED: "changed",
    Kind.MISSING: "missing",
    Kind.NOT_LISTED: "not listed",
    Kind.WRITTEN_OTHERWISE: "not as it was written",
    Kind.LISTED_OTHERWISE: "does not agree",
    Kind.UNSAFE: "lists what is not its own; not followed",
    Kind.AWAY: "not here, so not checked",
    Kind.NOT_KNOWN: "not known, so not checked",
    Kind.NOT_READ: "cannot be read",
    Kind.HISTORY: "history changed",
    Kind.SIGNATURE: "signature not good",
    Kind.SEAL: "another seal",
}
_HASHES = {"sha256": "SHA-256", "sha512": "SHA-512"}
_IN_A_LINE = frozenset({Kind.HISTORY, Kind.SIGNATURE})
"""Differences whose path goes on with the line that they are in."""
_OF_ALL_TOGETHER = "Payload-Oxum"
"""What a bag says of all files together, which differs wherever one is another."""
_MOST_TOLD = 10
_IN_A_GROUP, _IN_A_ROW = 4, 4


def difference_line(one: Difference) -> str:
    """Return one difference as a line: what, which file, which hash, what was expected and what was found."""
    path = f"{one.within}/{one.path}" if one.within else one.path
    said = [f"{_SAID[one.kind]}: {_shown(path)}"]
    if one.kind is Kind.AWAY:  # nothing was found to hold against its hash, which the JSON has
        return said[0] + (f". {visible(one.why)}" if one.why else "")
    if one.algorithm:
        said.append(_HASHES.get(one.algorithm, one.algorithm))
    if one.expected:
        said.append(f"expected {_shown(one.expected)}")
    if one.found:
        said.append(f"found {_shown(one.found)}")
    if one.kind == Kind.SEAL and one.expected and one.found:
        said.append(_where_seals_differ(one.expected, one.found))
    return "; ".join(said) + (f". {visible(one.why)}" if one.why else "")


def _shown(text: str) -> str:
    return visible(text).replace("\n", "⟨U+000A⟩").replace("\r", "⟨U+000D⟩").replace("\t", "⟨U+0009⟩")


def as_json(checked: Checked) -> dict[str, Any]:
    """Return what was checked as values for JSON."""
    return {
        "failed": checked.failed,
        "files": checked.files,
        "seals": [{"bag": name, "seal": seal} for name, seal in checked.seals],
        "differences": [
            {
                "kind": str(one.kind),
                "bag": one.within,
                "path": one.path,
                "algorithm": one.algorithm,
                "expected": one.expected,
                "found": one.found,
                "why": one.why,
                "of": one.of,
            }
            for one in checked.differences
        ],
    }


def verdict(what: str, checked: Checked, expected: bool) -> Iterator[str]:
    """Yield what the check comes to, in sentences.

    Args:
        what: what was checked, as the person named it.
        expected: whether a seal was given to compare with.
    """
    changed = [one for one in checked.differences if one.kind not in NOT_LOOKED_AT]
    away = sum(one.kind == Kind.AWAY for one in checked.differences)
    unread = sum(one.kind == Kind.NOT_READ for one in checked.differences)
    unknown = sum(one.kind == Kind.NOT_KNOWN for one in checked.differences)
    if changed:
        many = _number_of_files(changed)
        yield f"{what} fails its check: {many} {plural('file', many)} {'differs' if many == 1 else 'differ'}."
        yield from _in_plain_words(changed, sealed=bool(checked.seals))
        yield from _to_do_with_a_bag(changed) if checked.seals else what_to_do(what, changed)
    elif away or unknown or unread:
        yield f"Nothing that could be checked in {what} has changed."
    elif not checked.files:
        yield f"{what} is empty: nothing has been written in it yet, so there is nothing to check."
    else:
        yield f"{what} is whole: {checked.files} {plural('file', checked.files)}, and nothing has changed."
    if away:
        lacking = "1 file or bag is" if away == 1 else f"{away} files or bags are"
        yield f"{lacking} not here. Bring the drive that holds them, and check again."
    if unknown:
        were = "it was" if unknown == 1 else "they were"
        yield f"Of {unknown} {plural('thing', unknown)} it is not known what {were}. A run of the book notes it."
    if unread:
        yield "Its settings cannot be read, so no signature was held against the keys in them. Put them right first."
    if checked.seals and not expected and not changed:
        yield (
            "This shows that the bag agrees with itself. Whether it is the bag that was sealed shows only "
            "against the seal that was copied down then: --expect SEAL"
        )


def _number_of_files(changed: Sequence[Difference]) -> int:
    """Count the files that differ: each in its hashes, in what the bag says of all together, and line by line."""
    places = {
        (one.within, _without_line(one) if one.kind in _IN_A_LINE else one.path)
        for one in changed
        if one.algorithm != _OF_ALL_TOGETHER
    }
    return len(places) or 1


def _without_line(one: Difference) -> str:
    return one.path.partition(", ")[0]


def _in_plain_words(changed: Sequence[Difference], *, sealed: bool) -> Iterator[str]:
    """Yield a sentence for each file that is not what it was, or is gone; the results have the hashes."""
    told = dict.fromkeys(filter(None, (_sentence(one, sealed=sealed) for one in changed)))
    yield from list(told)[:_MOST_TOLD]
    if len(told) > _MOST_TOLD:
        yield f"And {len(told) - _MOST_TOLD} more."


def _sentence(one: Difference, *, sealed: bool) -> str:
    if one.kind in _IN_A_LINE:
        return f"{_shown(one.path)}: {visible(one.why)}"
    if one.kind is Kind.SEAL:
        differs = f"The seal is not the one that was given: {_where_seals_differ(one.expected, one.found)}."
        return f"{_shown(one.path)}: {visible(one.why)}" if one.why else differs
    said = {Kind.CHANGED: f"is not the file that was {'sealed' if sealed else 'taken in or written'}"}
    said |= {Kind.MISSING: "is missing", Kind.NOT_LISTED: "was not there then"}
    if one.kind not in said:
        return ""
    of = f" ({_shown(one.of)})" if one.of else ""
    why = f" {visible(one.why)}" if one.kind is Kind.NOT_LISTED and one.why else ""
    return f"{_shown(one.path)}{of} {said[one.kind]}.{why}"


def _to_do_with_a_bag(changed: Sequence[Difference]) -> Iterator[str]:
    """Yield what to do about a bag that fails its check."""
    kinds = {one.kind for one in changed if one.algorithm != _OF_ALL_TOGETHER}
    if kinds - {Kind.SEAL, Kind.NOT_LISTED}:
        yield (
            "Keep the bag as it is until you know how that came about, and take what differs from another copy of it."
        )
    elif Kind.SEAL in kinds:
        yield "Look whether the seal was copied down rightly, and whether it is the seal of this bag and of no other."
    else:
        yield "Take out what was not there then: a bag is never added to."


def what_to_do(book: str, changed: Sequence[Difference]) -> Iterator[str]:
    """Yield what to do about each kind of file in a book that is not what it was.

    Args:
        book: the book's folder, as the person named it.
        changed: what differs; what was merely not looked at is passed over.
    """
    paths = [one.path for one in changed if one.kind in (Kind.CHANGED, Kind.MISSING)]
    if any(one.kind is Kind.HISTORY for one in changed):
        yield (
            "Put history.jsonl and history.head back from a copy of the book that is sound, or from its last bag, "
            "and keep what is there now elsewhere."
        )
    if any(path.startswith("out/") for path in paths):
        yield f"To write out/ again: saidseen run {to_type(Path(book))}"
    if any(not path.startswith("out/") for path in paths):
        yield "Put the originals back as they were: from the card, the phone, or a sealed bag."


def seal_rows(seal: str) -> list[str]:
    """Return a seal in rows of four groups of four figures, as a person copies it."""
    groups = [seal[at : at + _IN_A_GROUP] for at in range(0, len(seal), _IN_A_GROUP)]
    return [" ".join(groups[at : at + _IN_A_ROW]) for at in range(0, len(groups), _IN_A_ROW)]


def seal_lines(name: str, seal: str) -> list[str]:
    """Return a bag's seal, with the bag's name above it."""
    return [f"The seal of {visible(name)}:", *(f"    {row}" for row in seal_rows(seal))]


def _where_seals_differ(expected: str, found: str) -> str:
    """Tell in which groups two seals differ: where it is one, it may have been copied wrongly."""
    rows = zip(seal_rows(expected), seal_rows(found), strict=False)
    places = [
        f"row {row}, group {group}"
        for row, (one, other) in enumerate(rows, start=1)
        for group, (mine, theirs) in enumerate(zip(one.split(), other.split(), strict=False), start=1)
        if mine != theirs
    ]
    return f"they differ in {' and '.join(places)}" if len(places) <= 2 else "they have little in common"


def warnings(not_on_windows: Sequence[tuple[str, str]]) -> Iterator[str]:
    """Yield a line for each file that Windows cannot hold."""
    for path, why in not_on_windows:
        yield f"Windows cannot hold {_shown(path)}: {why}. With --plain-names the bag gives it a plain name."
