"""How things stood before a run, kept until it has said what stands otherwise since.

A run that is killed after it dated or placed something anew, or wrote a report anew, has said nothing of it, and the
next one finds it as it is to be. So how it stood is noted before it is changed, and let go of only with the end of a
run that comes to say it.
"""

from pipeline.store import Store

_SCHEMA = "CREATE TABLE IF NOT EXISTS unsaid (what TEXT PRIMARY KEY, stood TEXT NOT NULL) WITHOUT ROWID"


def stood(store: Store, what: str, now: str) -> str:
    """Return how something stood when a run last came to say how it stands.

    Args:
        store: the open book.
        what: names it ("report 2026-02").
        now: how it stands now, or the line that is to be said of it; noted, unless a run that was killed had noted
            another. "" for nothing.
    """
    store.connection.execute(_SCHEMA)
    if now:
        store.connection.execute("INSERT OR IGNORE INTO unsaid VALUES (?,?)", (what, now))
    noted = store.connection.execute("SELECT stood FROM unsaid WHERE what=?", (what,)).fetchone()
    return "" if noted is None else str(noted[0])


def all_said(store: Store) -> None:
    """Let go of all that was noted."""
    store.connection.execute(_SCHEMA)
    store.connection.execute("DELETE FROM unsaid")
