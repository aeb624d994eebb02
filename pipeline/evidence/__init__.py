"""Proof for an archive: a book packed as a bag, and the check that nothing has changed since."""
