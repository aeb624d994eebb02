"""The laws to which the learnt reading is held: what the rules say beyond doubt, and what of theirs is never lost."""
