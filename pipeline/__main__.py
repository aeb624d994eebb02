"""``python -m pipeline``: the same as the command ``saidseen``."""

from pipeline.command_line import main

main()
