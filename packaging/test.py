"""Checks the whole checkout: python3 packaging/test.py [ARGUMENTS OF PYTEST]

Makes an environment in .venv with the tools of the tests, then runs the linters, the
type checker, the import rules and the tests. All of them run, whatever fails; the
exit code is 1 when any failed, and 2 when the user must act first.
"""

import sys

from require_python import require_python

require_python()

import os  # noqa: E402 - an old Python must not get this far

from setup_environment import (  # noqa: E402
    Machine,
    Project,
    SetupError,
    Shell,
    Terminal,
    install_libraries,
    install_simulator,
    prepare,
)


def main(
    arguments: "list[str]",
    *,
    shell: "Shell | None" = None,
    machine: "Machine | None" = None,
    project: "Project | None" = None,
) -> int:
    """Do what the module says; return the exit code."""
    shell = shell or Terminal()
    machine = machine or Machine.this(shell)
    project = project or Project()
    try:
        prepare(shell, machine, project, editable=True)
        problem = install_libraries(shell, machine, project, display=True)
        if problem is not None:
            # The tests draw into memory, which needs less than a window does.
            if install_libraries(shell, machine, project, display=False):
                raise SetupError(problem)
            shell.say(problem)
        install_simulator(shell, machine)
    except SetupError as error:
        print(error, file=sys.stderr)
        return 2
    return _check(shell, project, arguments)


def _check(shell: Shell, project: Project, arguments: "list[str]") -> int:
    python = str(project.python)
    before = {
        "ruff check": (python, "-m", "ruff", "check"),
        "ruff format": (python, "-m", "ruff", "format", "--check"),
        "mypy": (python, "-m", "mypy"),
        "lint-imports": (str(project.program("lint-imports")),),
    }
    failed = []
    for name, command in before.items():
        shell.say(f"== {name}")
        if shell.run(*command, cwd=project.root) != 0:
            failed.append(name)
    if failed:
        shell.say(f"Failed before the tests: {', '.join(failed)}")
    shell.say("== pytest")
    env = {"QT_QPA_PLATFORM": os.environ.get("QT_QPA_PLATFORM") or "offscreen"}
    pytest = (python, "-m", "pytest", *arguments)
    if shell.run(*pytest, env=env, cwd=project.root) != 0:
        failed.append("pytest")
    if failed:
        shell.say(f"Failed: {', '.join(failed)}")
    return 1 if failed else 0


if __name__ == "__main__":
    try:
        sys.exit(main(sys.argv[1:]))
    except KeyboardInterrupt:
        sys.exit(130)
