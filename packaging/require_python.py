"""Says in one line that this Python is too old, instead of failing somewhere later.

It is written so that any Python 3 can read it. It refuses to do anything else.
"""

import sys

OLDEST = (3, 11)


def require_python() -> None:
    """Ends the program with exit code 2 on a Python that blockmap does not run on."""
    own = sys.version_info[:2]
    if own < OLDEST:
        needed, found = (".".join(map(str, version)) for version in (OLDEST, own))
        sys.stderr.write("blockmap needs Python " + needed + " or newer; ")
        sys.stderr.write("this is Python " + found + " (" + sys.executable + ").\n")
        sys.exit(2)
