"""How quick the program is and how much memory it takes: made-up books of any size, and the commands that measure."""
