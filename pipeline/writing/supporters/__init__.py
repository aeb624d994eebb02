"""The report for supporters: planned from facts, passed through one gate, written as a page and as text to edit."""
