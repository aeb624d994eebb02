"""The trade's vocabulary as data: lists that an engineer edits, checked, added to, and exported."""
