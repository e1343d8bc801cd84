"""What the readers of this folder have in common: files named on the command line, troubles told, and the exit code."""

import sys


def run(read):
    """Reads each file named; exit code 1 for any trouble, or when none is named."""
    failed = False
    for path in sys.argv[1:]:
        for trouble in read(path):
            failed = True
            print(f"{path}: {trouble}")
    sys.exit(1 if failed or len(sys.argv) < 2 else 0)
