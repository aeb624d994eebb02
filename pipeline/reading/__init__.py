"""From words to facts: the vocabulary, and the reader that works by it."""
