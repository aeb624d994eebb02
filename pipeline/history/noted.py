"""With which entries the history is up to date: a run compares only those of recordings that changed since."""

import json
from collections.abc import Mapping

from pipeline.history.chain import Chain
from pipeline.made_by import made_by
from pipeline.store import Store, fingerprint

_NAME = "noted"


def noted_at(store: Store, history: Chain, entered: Mapping[str, str]) -> frozenset[str]:
    """Return the recordings whose entries are what they were when this very history was last brought up to date.

    Args:
        store: the open book.
        history: as it was read; of one that is not sound, nothing is known.
        entered: the digest of each recording's entries as they are now, by its id.
    """
    made = None if history.breaks else store.made(_NAME, _NAME, _key(history.head))
    then = json.loads(made.value) if made is not None and made.value else {}
    return frozenset(one for one, digest in entered.items() if then.get(one) == digest)


def note_at(store: Store, head: str, entered: Mapping[str, str]) -> None:
    """Note that the history whose last line has this hash is up to date with these entries."""
    store.keep(_NAME, _NAME, _key(head), json.dumps(entered))


def _key(head: str) -> str:
    return fingerprint(made_by(), head)
