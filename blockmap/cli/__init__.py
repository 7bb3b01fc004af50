"""The command line: the same maps, checks and sheets without a window.

Nothing in this package imports Qt.
"""

COMMANDS = (
    "check",
    "isolate",
    "print",
    "table",
    "fill",
    "parts",
    "new",
    "format",
    "doctor",
)
"""Every command's name: what else stands first on the line is a file to open."""
