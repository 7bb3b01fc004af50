"""Starts blockmap from a checkout: python3 packaging/run.py [FILE]

Makes an environment in .venv, installs blockmap and what it needs, and opens FILE,
or the demo map. Without a display it writes the sheets of the map as PDF into the
current folder instead.
"""

import sys

from require_python import require_python

require_python()

from pathlib import Path  # noqa: E402 - an old Python must not get this far

from setup_environment import (  # noqa: E402
    Machine,
    Project,
    SetupError,
    Shell,
    Terminal,
    install_libraries,
    prepare,
)

_DEMO = "layouts/demo.blockmap.yaml"
_SHEETS = ("labels", "card")


def main(
    arguments: "list[str]",
    *,
    shell: "Shell | None" = None,
    machine: "Machine | None" = None,
    project: "Project | None" = None,
) -> int:
    """Do what the module says; return the exit code, 2 when the user must act."""
    if len(arguments) > 1 or (arguments and arguments[0].startswith("-")):
        wants_help = arguments[0] in ("-h", "--help")
        print(__doc__, file=sys.stdout if wants_help else sys.stderr)
        return 0 if wants_help else 2
    shell = shell or Terminal()
    machine = machine or Machine.this(shell)
    project = project or Project()
    map_file = Path(arguments[0]) if arguments else project.root / _DEMO
    try:
        if not map_file.is_file():
            raise SetupError(f"There is no file {map_file}.")
        prepare(shell, machine, project, editable=False)
        problem = install_libraries(shell, machine, project, display=True)
        if not machine.has_display:
            if problem is not None:
                shell.say(f"{problem}\nA window needs them; the PDF files do not.")
            return _write_sheets(shell, project, map_file)
        if problem is not None:
            raise SetupError(problem)
    except SetupError as error:
        print(error, file=sys.stderr)
        return 2
    shell.say(f"Opening {map_file} ...")
    return shell.run(str(project.python), "-P", "-m", "blockmap", str(map_file))


def _write_sheets(shell: Shell, project: Project, map_file: Path) -> int:
    shell.say("There is no display, so no window can open. Writing the sheets as PDF:")
    stem = map_file.name.removesuffix(".yaml").removesuffix(".blockmap")
    worst = 0
    for sheet in _SHEETS:
        output = Path.cwd() / f"{stem}-{sheet}.pdf"
        command = ("-P", "-m", "blockmap", "print", sheet, str(map_file))
        code = shell.run(str(project.python), *command, "-o", str(output))
        # Exit code 1 only means that the check of the map found something.
        written = code in (0, 1) and output.is_file()
        shell.say(f"  {output}" if written else f"  {sheet}: not written")
        worst = max(worst, code)
    return worst


if __name__ == "__main__":
    try:
        sys.exit(main(sys.argv[1:]))
    except KeyboardInterrupt:
        sys.exit(130)
