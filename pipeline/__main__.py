"""``python -m pipeline``: the same as the command ``saidseen``."""

import os
import sys


def main() -> None:
    """Run the command line; whoever stops it while it is still loading sees one line too."""
    try:
        from pipeline.command_line import main as run
    except KeyboardInterrupt:
        print("Stopped.", file=sys.stderr)
        os._exit(1)
    run()


if __name__ == "__main__":
    main()
