"""Tells whether Qt can open a window on this machine, and what it lacks.

Qt ends the whole process, without a Python error, when a system library or the
display is missing. So this is asked before Qt is loaded, and by `blockmap doctor`.
It uses the standard library alone, never imports PySide6, installs nothing and
changes nothing. Only Linux is examined: elsewhere the wheels bring all they need.
"""

from __future__ import annotations

import ctypes
import importlib.util
import os
import re
import sys
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

__all__ = [
    "LIBRARIES",
    "Library",
    "Machine",
    "MissingLibrary",
    "install_command",
    "missing_libraries",
    "pyside_problem",
    "report",
    "window_problem",
]


@dataclass(frozen=True, slots=True)
class Library:
    """A shared library that the PySide6 wheels leave to the system.

    `use` is "any" (Qt loads nothing without it), "x11" (needed for a window) or
    "extra" (a window opens without it). `packages` has one name for each of
    "debian", "fedora" and "arch".
    """

    soname: str
    use: str
    needed_by: str
    packages: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class MissingLibrary:
    """A library that is not there; `debian_package` is empty when none is known."""

    soname: str
    needed_by: str
    debian_package: str


# Read from the NEEDED entries of the wheels' files. The Debian names were tried on
# an empty Debian 12; on Debian 13 and Ubuntu 24.04 a few end in t64, and apt finds
# those by the old name. The names for Fedora and Arch are untested.
# Columns: soname, use, needed by, Debian and Ubuntu, Fedora, Arch.
_TABLE = """
libstdc++.so.6        any   QtCore  libstdc++6          libstdc++           gcc-libs
libgcc_s.so.1         any   QtCore  libgcc-s1           libgcc              gcc-libs
libz.so.1             any   QtCore  zlib1g              zlib-ng-compat      zlib
libzstd.so.1          any   QtCore  libzstd1            libzstd             zstd
libglib-2.0.so.0      any   QtCore  libglib2.0-0        glib2               glib2
libgthread-2.0.so.0   any   QtCore  libglib2.0-0        glib2               glib2
libdbus-1.so.3        any   QtDBus  libdbus-1-3         dbus-libs           dbus
libGL.so.1            any   QtGui   libgl1              libglvnd-glx        libglvnd
libEGL.so.1           any   QtGui   libegl1             libglvnd-egl        libglvnd
libX11.so.6           any   QtGui   libx11-6            libX11              libx11
libfontconfig.so.1    any   QtGui   libfontconfig1      fontconfig          fontconfig
libfreetype.so.6      any   QtGui   libfreetype6        freetype            freetype2
libxkbcommon.so.0     any   QtGui   libxkbcommon0       libxkbcommon        libxkbcommon
libxkbcommon-x11.so.0 x11   X11     libxkbcommon-x11-0  libxkbcommon-x11    libxkbcommon-x11
libX11-xcb.so.1       x11   X11     libx11-xcb1         libX11-xcb          libx11
libxcb.so.1           x11   X11     libxcb1             libxcb              libxcb
libxcb-cursor.so.0    x11   X11     libxcb-cursor0      xcb-util-cursor     xcb-util-cursor
libxcb-icccm.so.4     x11   X11     libxcb-icccm4       xcb-util-wm         xcb-util-wm
libxcb-image.so.0     x11   X11     libxcb-image0       xcb-util-image      xcb-util-image
libxcb-keysyms.so.1   x11   X11     libxcb-keysyms1     xcb-util-keysyms    xcb-util-keysyms
libxcb-randr.so.0     x11   X11     libxcb-randr0       libxcb              libxcb
libxcb-render.so.0    x11   X11     libxcb-render0      libxcb              libxcb
libxcb-render-util.so.0 x11 X11     libxcb-render-util0 xcb-util-renderutil xcb-util-renderutil
libxcb-shape.so.0     x11   X11     libxcb-shape0       libxcb              libxcb
libxcb-shm.so.0       x11   X11     libxcb-shm0         libxcb              libxcb
libxcb-sync.so.1      x11   X11     libxcb-sync1        libxcb              libxcb
libxcb-util.so.1      x11   X11     libxcb-util1        xcb-util            xcb-util
libxcb-xfixes.so.0    x11   X11     libxcb-xfixes0      libxcb              libxcb
libxcb-xkb.so.1       x11   X11     libxcb-xkb1         libxcb              libxcb
libcups.so.2          extra printers libcups2           cups-libs           libcups
libwayland-client.so.0 extra Wayland libwayland-client0 libwayland-client   wayland
libwayland-cursor.so.0 extra Wayland libwayland-cursor0 libwayland-cursor   wayland
libwayland-egl.so.1   extra Wayland libwayland-egl1     libwayland-egl      wayland
"""  # noqa: E501 - one library a line is worth the width

LIBRARIES: tuple[Library, ...] = tuple(
    Library(soname, use, part, {"debian": debian, "fedora": fedora, "arch": arch})
    for soname, use, part, debian, fedora, arch in map(
        str.split, _TABLE.strip().splitlines()
    )
)
_BY_SONAME = {library.soname: library for library in LIBRARIES}

_FAMILIES = {  # of Linux: what installs packages, and how its line is introduced
    "debian": ("sudo apt install", "On Debian or Ubuntu"),
    "fedora": ("sudo dnf install", "On Fedora (untested)"),
    "arch": ("sudo pacman -S", "On Arch (untested)"),
}


def _load_error(name: str) -> str | None:
    try:
        ctypes.CDLL(name)
    except OSError as error:
        return str(error)
    return None


def _pyside_folder() -> Path | None:
    found = importlib.util.find_spec("PySide6")
    if found is None or not found.submodule_search_locations:
        return None
    return Path(next(iter(found.submodule_search_locations)))


def _pyside_version() -> str | None:
    # The folder's name says it 13 ms sooner than importlib.metadata, which counts
    # when a window is about to open; that one is the fallback.
    folder = _pyside_folder()
    if folder is None:
        return None
    for path in folder.parent.iterdir():
        found = re.fullmatch(r"(?i)pyside6_essentials-(.+)\.dist-info", path.name)
        if found is not None:
            return found[1]
    from importlib import metadata

    for distribution in ("PySide6-Essentials", "PySide6"):
        try:
            return metadata.version(distribution)
        except metadata.PackageNotFoundError:
            continue
    return None


def _x11_answers(display: str) -> bool:
    try:
        xcb = ctypes.CDLL("libxcb.so.1")
    except OSError:
        return False
    xcb.xcb_connect.restype = ctypes.c_void_p
    xcb.xcb_connect.argtypes = (ctypes.c_char_p, ctypes.c_void_p)
    xcb.xcb_connection_has_error.argtypes = (ctypes.c_void_p,)
    xcb.xcb_disconnect.argtypes = (ctypes.c_void_p,)
    connection = xcb.xcb_connect(os.fsencode(display), None)
    answers = not xcb.xcb_connection_has_error(connection)
    xcb.xcb_disconnect(connection)
    return answers


@dataclass(frozen=True)
class Machine:
    """What is asked of the machine; tests give their own answers here.

    `load_error` takes a soname or a path and returns None when it loads, else the
    loader's message.
    """

    load_error: Callable[[str], str | None] = _load_error
    pyside_folder: Callable[[], Path | None] = _pyside_folder
    pyside_version: Callable[[], str | None] = _pyside_version
    x11_answers: Callable[[str], bool] = _x11_answers
    environ: Mapping[str, str] = field(default_factory=lambda: os.environ)
    python: tuple[int, int] = sys.version_info[:2]
    linux: bool = sys.platform == "linux"


def _missing_in(message: str) -> str | None:
    """Return the soname that the dynamic loader's message says is missing."""
    found = re.match(r"(\S+): cannot open shared object file", message)
    return found[1] if found else None


def _qt_files(folder: Path, plugin: str) -> list[Path]:
    names = [f"lib/libQt6{part}.so.6" for part in ("Core", "Gui", "Widgets")]
    names.append(f"plugins/platforms/lib{plugin}.so")
    return [path for name in names if (path := folder / "Qt" / name).is_file()]


def missing_libraries(
    *, display: bool = True, machine: Machine | None = None
) -> tuple[MissingLibrary, ...]:
    """Return every system library that Qt needs and that does not load.

    Without `display` only those count that Qt needs even when it draws no window.
    A library that no table here knows is found too, when Qt's own files name it.
    """
    machine = machine or Machine()
    if not machine.linux:
        return ()
    uses = ("any", "x11") if display else ("any",)
    absent = [lib.soname for lib in LIBRARIES if lib.use in uses]
    absent = [soname for soname in absent if machine.load_error(soname) is not None]
    found = {soname: _described(soname) for soname in absent}
    folder = machine.pyside_folder()
    plugin = "qxcb" if display else "qoffscreen"
    for path in _qt_files(folder, plugin) if folder else ():
        soname = _missing_in(machine.load_error(str(path)) or "")
        if soname is not None:
            found.setdefault(soname, _described(soname, path.name))
    return tuple(found.values())


def _described(soname: str, needed_by: str = "Qt") -> MissingLibrary:
    library = _BY_SONAME.get(soname)
    if library is None:
        return MissingLibrary(soname, needed_by, "")
    return MissingLibrary(soname, library.needed_by, library.packages["debian"])


def install_command(
    missing: Iterable[MissingLibrary], *, family: str = "debian"
) -> str | None:
    """Return the one command that installs them, or None when no package is known.

    `family` is "debian", "fedora" or "arch"; the last two are untested.
    """
    known = (_BY_SONAME[lib.soname] for lib in missing if lib.soname in _BY_SONAME)
    packages = dict.fromkeys(library.packages[family] for library in known)
    return " ".join([_FAMILIES[family][0], *packages]) if packages else None


def pyside_problem(machine: Machine | None = None) -> str | None:
    """Return the sentence that says why PySide6 cannot be used, or None."""
    machine = machine or Machine()
    version = machine.pyside_version()
    pip = f'{sys.executable} -m pip install "PySide6-Essentials>=6.8,<6.12"'
    if version is None:
        return f"PySide6, which draws the window, is not installed. Run: {pip}"
    numbers = tuple(int(part) for part in re.findall(r"\d+", version)[:2])
    # 6.12.0 on CPython 3.11 gives None, True and False back once too often, until
    # the interpreter ends in none_dealloc; measured, and absent on 3.12.
    if numbers >= (6, 12) and machine.python < (3, 12):
        return (
            f"PySide6 {version} ends this program on Python "
            f"{'.'.join(map(str, machine.python))} after a while. Run: {pip}"
        )
    return None


def window_problem(machine: Machine | None = None) -> str | None:
    """Return the sentence that says why no window can open, or None.

    Ask before anything of PySide6 is imported. Knows the same order as Qt: what
    QT_QPA_PLATFORM names, else Wayland when its display is set, then X11.
    """
    machine = machine or Machine()
    problem = pyside_problem(machine)
    if problem is not None or not machine.linux:
        return problem
    for platform in _platforms(machine.environ):
        problem = _platform_problem(platform, machine)
        if problem is None:
            return None
    return problem


def _platforms(environ: Mapping[str, str]) -> Sequence[str]:
    asked = environ.get("QT_QPA_PLATFORM", "")
    if asked:
        return [part.partition(":")[0] for part in asked.split(";")]
    return ["wayland", "xcb"] if environ.get("WAYLAND_DISPLAY") else ["xcb"]


def _platform_problem(platform: str, machine: Machine) -> str | None:
    kind = "wayland" if platform.startswith("wayland") else platform
    absent = _display_absent(kind, machine.environ)
    if absent is not None:
        return absent
    folder = machine.pyside_folder()
    plugin = folder / f"Qt/plugins/platforms/libq{kind}.so" if folder else None
    if plugin is None or not plugin.is_file():
        return None  # an unusual platform: Qt itself says what it thinks of it
    error = machine.load_error(str(plugin))
    if error is not None:
        return _library_problem(error, kind, machine)
    display = machine.environ.get("DISPLAY", "")
    if kind == "xcb" and not machine.x11_answers(display):
        return (
            f"No window can open: the display {display} does not answer or refuses "
            "this user."
        )
    return None


def _display_absent(kind: str, environ: Mapping[str, str]) -> str | None:
    if kind == "xcb" and not environ.get("DISPLAY"):
        return (
            "No window can open: there is no display (neither DISPLAY nor "
            "WAYLAND_DISPLAY is set). Start blockmap in a desktop session; "
            "checking and printing to PDF work without one: see blockmap --help."
        )
    if kind == "wayland":
        name = environ.get("WAYLAND_DISPLAY", "wayland-0")
        if not Path(environ.get("XDG_RUNTIME_DIR", "/"), name).is_socket():
            return f"No window can open: the Wayland display {name} is not there."
    return None


def _library_problem(error: str, kind: str, machine: Machine) -> str:
    named = _missing_in(error)
    if named is None:
        return f"No window can open: Qt's part for {kind} does not load: {error}"
    missing = missing_libraries(display=kind == "xcb", machine=machine)
    if named not in [lib.soname for lib in missing]:
        missing = (*missing, _described(named))
    names = ", ".join(lib.soname for lib in missing)
    noun = "library" if len(missing) == 1 else "libraries"
    sentence = f"No window can open: missing system {noun} {names}."
    family = _family()
    command = install_command(missing, family=family)
    return sentence if command is None else f"{sentence} Run: {command}"


def _family(os_release: Path = Path("/etc/os-release")) -> str:
    """Return which family of Linux this is, "debian" when it is none we know."""
    try:
        text = os_release.read_text(encoding="utf-8", errors="replace")
    except OSError:
        return "debian"
    words = re.findall(r"(?m)^ID(?:_LIKE)?=(.*)$", text)
    named = {word for line in words for word in line.strip("\"'").split()}
    return next((family for family in _FAMILIES if family in named), "debian")


def report(display: bool = True, machine: Machine | None = None) -> str:
    """Return what `blockmap doctor` prints: versions, libraries, display.

    With `display` false, only what drawing without a window needs is examined.
    """
    machine = machine or Machine()
    python = ".".join(map(str, machine.python))
    lines = [f"Python {python}, PySide6 {machine.pyside_version() or 'missing'}"]
    if (problem := pyside_problem(machine)) is not None:
        lines.append(problem)
    missing = missing_libraries(display=display, machine=machine)
    lines += _library_lines(missing)
    if display:
        lines += _extra_lines(machine)
        verdict = window_problem(machine)
        lines.append("A window can open." if verdict is None else verdict)
    return "\n".join(lines) + "\n"


def _library_lines(missing: Sequence[MissingLibrary]) -> list[str]:
    if not missing:
        return ["System libraries: none missing."]
    lines = ["Missing system libraries:"]
    for lib in missing:
        package = lib.debian_package or "package unknown"
        lines.append(f"  {lib.soname}, needed by {lib.needed_by}: {package}")
    for family, (_, introduction) in _FAMILIES.items():
        command = install_command(missing, family=family)
        if command is not None:
            lines.append(f"{introduction}: {command}")
    return lines


def _extra_lines(machine: Machine) -> list[str]:
    extras = [lib for lib in LIBRARIES if lib.use == "extra" and machine.linux]
    return [
        f"Not needed, but used when there: {lib.soname} for {lib.needed_by} "
        f"({lib.packages['debian']})"
        for lib in extras
        if machine.load_error(lib.soname) is not None
    ]
