"""The append-only history of a book: what the program made, and what people decided and signed."""
