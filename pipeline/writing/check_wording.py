"""What a check found and what a seal is, in words; results for a person to read, each difference on a line."""

from collections.abc import Iterator, Sequence
from typing import Any

from pipeline.english import plural
from pipeline.evidence.differences import NOT_LOOKED_AT, Checked, Difference, Kind
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
        # a changed file differs in each of its hashes, and in what the bag says of all of them together
        places = {(one.within, one.path) for one in changed if one.algorithm != "Payload-Oxum"} or {("", "")}
        where = f"{len(places)} {plural('file', len(places))}"
        yield f"{what} fails its check: {where} {'differs' if len(places) == 1 else 'differ'}."
        yield from _in_plain_words(changed, sealed=bool(checked.seals))
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
        yield f"Of {unknown} {plural('thing', unknown)} it is not known what they were. A run of the book notes it."
    if unread:
        yield "Its settings cannot be read, so no signature was held against the keys in them. Put them right first."
    if checked.seals and not expected and not changed:
        yield (
            "This shows that the bag agrees with itself. Whether it is the bag that was sealed shows only "
            "against the seal that was copied down then: --expect SEAL"
        )


def _in_plain_words(changed: Sequence[Difference], *, sealed: bool) -> Iterator[str]:
    """Yield a sentence for each file that is not what it was, or is gone; the results have the hashes."""
    said = {Kind.CHANGED: f"is not the file that was {'sealed' if sealed else 'taken in or written'}"}
    said |= {Kind.MISSING: "is missing", Kind.NOT_LISTED: "was not there then"}
    told = dict.fromkeys(
        f"{_shown(one.path)}{f' ({_shown(one.of)})' if one.of else ''} {said[one.kind]}."
        for one in changed
        if one.kind in said
    )
    yield from list(told)[:_MOST_TOLD]
    if len(told) > _MOST_TOLD:
        yield f"And {len(told) - _MOST_TOLD} more."


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
