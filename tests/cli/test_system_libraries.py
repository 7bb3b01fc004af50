"""What Qt lacks is named, with its package, before Qt can abort."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from blockmap.cli import system_libraries
from blockmap.cli.system_libraries import (
    LIBRARIES,
    Machine,
    install_command,
    missing_libraries,
    pyside_problem,
    report,
    window_problem,
)

# Packages that an empty Debian 12 needed before a Qt window opened: measured with
# the wheels' own dependency entries, then by installing them.
WINDOW_PACKAGES = [
    "libgl1",
    "libegl1",
    "libfontconfig1",
    "libglib2.0-0",
    "libdbus-1-3",
    "libxkbcommon-x11-0",
    "libxcb-cursor0",
    "libxcb-icccm4",
    "libxcb-keysyms1",
    "libxcb-shape0",
    "libxkbcommon0",
    "libx11-xcb1",
    "libxcb-image0",
    "libxcb-render-util0",
    "libxcb-randr0",
    "libxcb-sync1",
    "libxcb-xfixes0",
    "libxcb-xkb1",
    "libxcb-util1",
]
OFFSCREEN_PACKAGES = [
    "libgl1",
    "libegl1",
    "libfontconfig1",
    "libglib2.0-0",
    "libdbus-1-3",
    "libxkbcommon0",
]

NOT_FOUND = "{}: cannot open shared object file: No such file or directory"


@pytest.fixture
def qt_folder(tmp_path: Path) -> Path:
    """A PySide6 folder with the files that are examined, empty."""
    folder = tmp_path / "PySide6"
    names = [f"lib/libQt6{part}.so.6" for part in ("Core", "Gui", "Widgets")]
    names += [f"plugins/platforms/libq{p}.so" for p in ("xcb", "offscreen", "wayland")]
    for name in names:
        path = folder / "Qt" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.touch()
    return folder


@pytest.fixture
def machine_without(qt_folder: Path) -> Callable[..., Machine]:
    """Make a machine that lacks some libraries; Qt's files then fail by the first."""

    def make(*absent: str, **environ: str) -> Machine:
        def load_error(name: str) -> str | None:
            if name in absent:
                return NOT_FOUND.format(name)
            if name.endswith(("libqxcb.so", "libqoffscreen.so")) and absent:
                return NOT_FOUND.format(absent[0])
            return None

        return Machine(
            load_error=load_error,
            pyside_folder=lambda: qt_folder,
            pyside_version=lambda: "6.11.3",
            x11_answers=lambda display: display != ":9",
            environ=environ,
            python=(3, 11),
            linux=True,
        )

    return make


def test_every_library_of_a_window_has_its_debian_package() -> None:
    known = {lib.packages["debian"] for lib in LIBRARIES if lib.use != "extra"}
    assert set(WINDOW_PACKAGES) <= known


def test_what_drawing_without_a_window_needs_is_marked() -> None:
    known = {lib.packages["debian"] for lib in LIBRARIES if lib.use == "any"}
    assert set(OFFSCREEN_PACKAGES) <= known
    assert not any(package.startswith("libxcb") for package in known)


def test_table_knows_every_system_library_that_the_wheel_asks_for() -> None:
    """Oracle: the dependency entries of the installed Qt, as the loader reads them."""
    folder = system_libraries._pyside_folder()
    assert folder is not None
    plugin = folder / "Qt/plugins/platforms/libqxcb.so"
    if sys.platform != "linux" or not plugin.is_file():
        pytest.skip("only the Linux wheel takes libraries from the system")
    libc = {"libc.so.6", "libm.so.6", "libdl.so.2", "libpthread.so.0", "librt.so.1"}
    known = {lib.soname.encode() for lib in LIBRARIES} | {s.encode() for s in libc}
    own = {path.name.encode() for path in (folder / "Qt/lib").iterdir()}
    names = ("libQt6Core", "libQt6Gui", "libQt6Widgets", "libQt6XcbQpa")
    files = [plugin, *(folder / f"Qt/lib/{name}.so.6" for name in names)]
    for path in files:
        asked = _needed(path)
        assert b"libc.so.6" in asked
        loader = {name for name in asked if name.startswith(b"ld-linux")}
        assert asked - own - loader <= known, path.name


def _needed(path: Path) -> set[bytes]:
    """Return the DT_NEEDED entries of a 64-bit little-endian ELF file.

    Source: System V ABI, chapters 4 and 5 (section header, dynamic section).
    """
    data = path.read_bytes()
    assert data[:6] == b"\x7fELF\x02\x01"

    def number(at: int, size: int = 8) -> int:
        return int.from_bytes(data[at : at + size], "little")

    start, size, count = number(0x28), number(0x3A, 2), number(0x3C, 2)
    headers = [start + index * size for index in range(count)]
    dynamic = next(at for at in headers if number(at + 4, 4) == 6)
    names_at = number(headers[number(dynamic + 0x28, 4)] + 0x18)
    found = set()
    first, length = number(dynamic + 0x18), number(dynamic + 0x20)
    for at in range(first, first + length, 16):
        if number(at) == 1:
            name_at = names_at + number(at + 8)
            found.add(data[name_at : data.index(b"\0", name_at)])
    return found


def test_missing_libraries_are_all_named(
    machine_without: Callable[..., Machine],
) -> None:
    machine = machine_without("libxcb-icccm.so.4", "libxcb-keysyms.so.1")
    missing = missing_libraries(machine=machine)
    assert [(lib.soname, lib.debian_package) for lib in missing] == [
        ("libxcb-icccm.so.4", "libxcb-icccm4"),
        ("libxcb-keysyms.so.1", "libxcb-keysyms1"),
    ]
    assert install_command(missing) == "sudo apt install libxcb-icccm4 libxcb-keysyms1"


def test_x11_libraries_do_not_count_without_a_display(qt_folder: Path) -> None:
    machine = Machine(
        load_error=lambda name: NOT_FOUND.format(name) if "xcb" in name else None,
        pyside_folder=lambda: qt_folder,
        linux=True,
    )
    assert missing_libraries(display=False, machine=machine) == ()
    assert len(missing_libraries(display=True, machine=machine)) > 5


def test_library_that_no_table_knows_is_named_too(
    machine_without: Callable[..., Machine],
) -> None:
    machine = machine_without("libstrange.so.9", DISPLAY=":0")
    (missing,) = missing_libraries(machine=machine)
    assert missing.soname == "libstrange.so.9"
    assert missing.debian_package == ""
    assert install_command([missing]) is None
    assert "libstrange.so.9, needed by libqxcb.so: package unknown" in report(
        machine=machine
    )
    problem = window_problem(machine)
    assert problem == "No window can open: missing system library libstrange.so.9."


def test_a_package_with_two_libraries_is_named_once(
    machine_without: Callable[..., Machine],
) -> None:
    machine = machine_without("libglib-2.0.so.0", "libgthread-2.0.so.0")
    missing = missing_libraries(machine=machine)
    assert install_command(missing) == "sudo apt install libglib2.0-0"


def test_missing_library_is_the_reason_that_no_window_opens(
    machine_without: Callable[..., Machine], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(system_libraries, "_family", lambda: "debian")
    problem = window_problem(machine_without("libxcb-cursor.so.0", DISPLAY=":0"))
    assert problem == (
        "No window can open: missing system library libxcb-cursor.so.0. "
        "Run: sudo apt install libxcb-cursor0"
    )


def test_missing_display_is_said_instead_of_libraries(
    machine_without: Callable[..., Machine],
) -> None:
    problem = window_problem(machine_without("libxcb-cursor.so.0"))
    assert problem is not None
    assert "there is no display" in problem
    assert "libxcb" not in problem


def test_display_that_does_not_answer_is_named(
    machine_without: Callable[..., Machine],
) -> None:
    problem = window_problem(machine_without(DISPLAY=":9"))
    assert problem is not None
    assert "the display :9 does not answer" in problem
    assert window_problem(machine_without(DISPLAY=":0")) is None


@pytest.mark.parametrize("platform", ["offscreen", "minimal", "offscreen:size=1x1"])
def test_drawing_into_memory_needs_no_display(
    machine_without: Callable[..., Machine], platform: str
) -> None:
    assert window_problem(machine_without(QT_QPA_PLATFORM=platform)) is None


@pytest.mark.parametrize("platform", ["xcb", "xcb:gl=egl", "wayland;xcb"])
def test_platform_asked_for_needs_its_display(
    machine_without: Callable[..., Machine], platform: str
) -> None:
    assert window_problem(machine_without(QT_QPA_PLATFORM=platform)) is not None


def test_wayland_display_that_is_gone_falls_back_to_x11(
    machine_without: Callable[..., Machine], tmp_path: Path
) -> None:
    gone = {"WAYLAND_DISPLAY": "wayland-7", "XDG_RUNTIME_DIR": str(tmp_path)}
    assert window_problem(machine_without(DISPLAY=":0", **gone)) is None
    assert window_problem(machine_without(**gone)) is not None
    problem = window_problem(machine_without(QT_QPA_PLATFORM="wayland", **gone))
    assert problem == "No window can open: the Wayland display wayland-7 is not there."


def test_message_of_the_loader_is_passed_on_when_nothing_is_missing(
    qt_folder: Path,
) -> None:
    machine = Machine(
        load_error=lambda name: "GLIBC_2.99 not found" if "qxcb" in name else None,
        pyside_folder=lambda: qt_folder,
        pyside_version=lambda: "6.11.3",
        environ={"DISPLAY": ":0"},
        linux=True,
    )
    problem = window_problem(machine)
    assert problem is not None
    assert problem.endswith("GLIBC_2.99 not found")


@pytest.mark.parametrize(
    ("version", "python", "refused"),
    [
        ("6.11.3", (3, 11), False),
        ("6.12.0", (3, 11), True),
        ("6.13.1", (3, 11), True),
        ("7.0.0", (3, 11), True),
        ("6.12.0", (3, 12), False),
        ("6.8.0", (3, 13), False),
    ],
)
def test_pyside_that_ends_python_is_refused(
    version: str, python: tuple[int, int], refused: bool
) -> None:
    machine = Machine(
        pyside_version=lambda: version,
        python=python,
        environ={"QT_QPA_PLATFORM": "offscreen"},
    )
    problem = pyside_problem(machine)
    assert (problem is not None) is refused
    if problem is not None:
        assert problem.startswith(f"PySide6 {version} ends this program on Python 3.11")
        assert "\n" not in problem
        assert problem.endswith('-m pip install "PySide6-Essentials>=6.8,<6.12"')
        assert window_problem(machine) == problem


def test_pyside_that_is_not_installed_is_named() -> None:
    problem = window_problem(Machine(pyside_version=lambda: None))
    assert problem is not None
    assert "PySide6, which draws the window, is not installed" in problem


def test_installed_version_is_read_without_importing_it() -> None:
    from importlib.metadata import version

    code = (
        "import sys; from blockmap.cli import system_libraries as s;"
        "print(s.Machine().pyside_version(), 'PySide6' in sys.modules)"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True
    )
    assert done.stdout.split() == [version("PySide6-Essentials"), "False"]


def test_report_names_packages_and_marks_what_is_untested(
    machine_without: Callable[..., Machine],
) -> None:
    text = report(machine=machine_without("libxcb-icccm.so.4", DISPLAY=":0"))
    lines = text.splitlines()
    assert lines[0] == "Python 3.11, PySide6 6.11.3"
    assert "  libxcb-icccm.so.4, needed by X11: libxcb-icccm4" in lines
    assert "On Debian or Ubuntu: sudo apt install libxcb-icccm4" in lines
    assert "On Fedora (untested): sudo dnf install xcb-util-wm" in lines
    assert "On Arch (untested): sudo pacman -S xcb-util-wm" in lines
    assert lines[-1].startswith("No window can open: missing system library")


def test_report_of_a_complete_machine(
    machine_without: Callable[..., Machine],
) -> None:
    text = report(machine=machine_without(DISPLAY=":0"))
    assert text.splitlines() == [
        "Python 3.11, PySide6 6.11.3",
        "System libraries: none missing.",
        "A window can open.",
    ]


def test_report_names_what_is_useful_but_not_needed(
    machine_without: Callable[..., Machine],
) -> None:
    text = report(machine=machine_without("libcups.so.2", DISPLAY=":9"))
    assert "Not needed, but used when there: libcups.so.2" in text


@pytest.mark.parametrize(
    ("os_release", "family"),
    [
        ("ID=debian\n", "debian"),
        ('ID="rhel"\nID_LIKE="fedora"\n', "fedora"),
        ("ID=arch\n", "arch"),
        ("ID=other\n", "debian"),
    ],
)
def test_command_is_that_of_the_running_system(
    tmp_path: Path, os_release: str, family: str
) -> None:
    path = tmp_path / "os-release"
    path.write_text(os_release, encoding="utf-8")
    assert system_libraries._family(path) == family
    assert system_libraries._family(tmp_path / "gone") == "debian"


def test_other_systems_bring_their_own_libraries() -> None:
    machine = Machine(
        load_error=lambda name: f"{name} does not load",
        pyside_version=lambda: "6.11.3",
        environ={},
        linux=False,
    )
    assert missing_libraries(machine=machine) == ()
    assert window_problem(machine) is None
