"""Days of work that were never worked: media with known truth, to judge clocks and matching by."""
