"""What every test lives under: no network, no home folder, no leanings of the machine it runs on."""

from __future__ import annotations

import ipaddress
import os
import shutil
import socket
from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import settings

# No test is timed: what takes long on a busy machine is no fault. Whatever else the profile at hand says stays.
settings.register_profile("untimed", settings.default, deadline=None)
settings.load_profile("untimed")

BROWSER = os.environ.get("CHROMIUM") or shutil.which("chromium")
"""The browser, or None; `CHROMIUM` names one that is called otherwise or lies elsewhere."""

OFFICE = os.environ.get("SOFFICE") or shutil.which("soffice")
"""The spreadsheet, or None; `SOFFICE` names one that lies elsewhere."""

NODE = shutil.which("node")
"""What runs the language server, or None."""

EDITOR = os.environ.get("YAML_LANGUAGE_SERVER") or shutil.which("yaml-language-server")
"""What editors start for YAML, or None; `YAML_LANGUAGE_SERVER` names its file where it lies elsewhere."""

HEARD = os.environ.get("OUTLOUD") or shutil.which("outloud")
"""A checker of PDF/UA that is not ours, or None; `OUTLOUD` names its file where it lies elsewhere."""

LACKING = [name for name in ("pdftotext", "pdfinfo", "pdfdetach", "qpdf") if shutil.which(name) is None]
"""Programs of others that read PDF and are not on the path."""

# What would change how the program, git or a test behaves from one machine to the next.
_LEANINGS = (
    "NO_COLOR", "FORCE_COLOR", "CLICOLOR", "CLICOLOR_FORCE", "COLUMNS", "LINES", "SOURCE_DATE_EPOCH",
    "PYTHONIOENCODING", "PYTHONUTF8", "PYTHONWARNINGS", "PYTHONPATH", "GITHUB_ACTIONS", "GITHUB_STEP_SUMMARY",
    "XDG_CONFIG_HOME", "XDG_CACHE_HOME", "XDG_DATA_HOME", "XDG_STATE_HOME", "PRE_COMMIT_HOME", "TTY_COMPATIBLE",
)  # fmt: skip


class NetworkRefused(RuntimeError):
    """A test asked for a host that is not this machine."""


def is_here(address: Any, family: int) -> bool:
    """Whether a socket address lies on this machine: a unix socket, or a loopback address."""
    if family not in (socket.AF_INET, socket.AF_INET6):
        return True
    host = address[0] if isinstance(address, tuple) and address else address
    return isinstance(host, str) and _is_loopback(host)


def _is_loopback(host: str) -> bool:
    if host == "localhost":
        return True
    try:
        return ipaddress.ip_address(host.partition("%")[0]).is_loopback
    except ValueError:
        return False


@pytest.fixture(scope="session", autouse=True)
def _no_network() -> Iterator[None]:
    connect, connect_ex, look_up = socket.socket.connect, socket.socket.connect_ex, socket.getaddrinfo

    def refuse(target: Any) -> NetworkRefused:
        return NetworkRefused(f"a test asked for {target!r}; tests reach nothing but this machine")

    def guarded(self: socket.socket, address: Any) -> None:
        if not is_here(address, self.family):
            raise refuse(address)
        connect(self, address)

    def guarded_ex(self: socket.socket, address: Any) -> int:
        if not is_here(address, self.family):
            raise refuse(address)
        return connect_ex(self, address)

    def guarded_look_up(host: Any, *args: Any, **more: Any) -> Any:
        name = host.decode("ascii", "replace") if isinstance(host, bytes) else host
        if name and not _is_loopback(name):
            raise refuse(name)
        return look_up(host, *args, **more)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(socket.socket, "connect", guarded)
        patch.setattr(socket.socket, "connect_ex", guarded_ex)
        patch.setattr(socket, "getaddrinfo", guarded_look_up)
        # Programs that tests start: the installers among them must not ask anybody either.
        patch.setenv("PIP_NO_INDEX", "1")
        patch.setenv("PIP_DISABLE_PIP_VERSION_CHECK", "1")
        yield


@pytest.fixture(scope="session", autouse=True)
def _a_machine_without_leanings(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    home = tmp_path_factory.mktemp("home")
    with pytest.MonkeyPatch.context() as patch:
        for name in [name for name in os.environ if name.startswith("GIT_")]:
            patch.delenv(name)
        for name in _LEANINGS:
            patch.delenv(name, raising=False)
        for name in ("HOME", "USERPROFILE"):
            patch.setenv(name, str(home))
        # What one test left must not answer for another, which may have changed the program under its hands.
        patch.setenv("ASFOUND_CACHE", "off")
        # git reads neither the machine's nor a person's settings; a test that commits brings its own author.
        patch.setenv("GIT_CONFIG_NOSYSTEM", "1")
        patch.setenv("GIT_CONFIG_GLOBAL", os.devnull)
        yield


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Leave out, with the reason said, the tests of the browser where there is none, those that read PDF with the
    programs of others where those are missing, those of a spreadsheet, of an editor and of a checker; `.ci/run` demands
    all."""
    browser = "there is no chromium on the path; CHROMIUM can name one, ASFOUND_REQUIRE_BROWSER=1 makes this a failure"
    leave = {}
    if not BROWSER and os.environ.get("ASFOUND_REQUIRE_BROWSER") != "1":
        leave["browser"] = browser
    if LACKING and os.environ.get("ASFOUND_REQUIRE_PDF_TOOLS") != "1":
        leave["pdf_tools"] = f"{lacking()}; ASFOUND_REQUIRE_PDF_TOOLS=1 makes this a failure"
    if not OFFICE and os.environ.get("ASFOUND_REQUIRE_OFFICE") != "1":
        leave["office"] = f"{NO_OFFICE}; ASFOUND_REQUIRE_OFFICE=1 makes this a failure"
    if not (EDITOR and NODE) and os.environ.get("ASFOUND_REQUIRE_EDITOR") != "1":
        leave["editor"] = f"{NO_EDITOR}; ASFOUND_REQUIRE_EDITOR=1 makes this a failure"
    if not HEARD and os.environ.get("ASFOUND_REQUIRE_HEARD") != "1":
        leave["heard"] = f"{NO_HEARD}; ASFOUND_REQUIRE_HEARD=1 makes this a failure"
    for item in items:
        for name, reason in leave.items():
            if item.get_closest_marker(name):
                item.add_marker(pytest.mark.skip(reason=reason))


NO_EDITOR = (
    "there is no yaml-language-server on the path (npm, 1.25.0), or no node (package nodejs); YAML_LANGUAGE_SERVER can "
    "name the file bin/yaml-language-server of one that lies elsewhere"
)
NO_HEARD = "there is no outloud on the path (PyPI, 0.2.1, in an environment of its own); OUTLOUD can name its file"
NO_OFFICE = "there is no soffice on the path (package libreoffice-calc-nogui)"


def lacking() -> str:
    """Which programs that read PDF are missing, and which packages of Debian bring them."""
    return f"there is no {', no '.join(LACKING)} on the path (packages poppler-utils and qpdf)"


def pytest_runtest_setup(item: pytest.Item) -> None:
    """Fail a test of the browser where one is demanded and there is none."""
    if item.get_closest_marker("browser") and not BROWSER:
        pytest.fail("ASFOUND_REQUIRE_BROWSER=1, and there is no chromium on the path", pytrace=False)
    if item.get_closest_marker("pdf_tools") and LACKING and os.environ.get("ASFOUND_REQUIRE_PDF_TOOLS") == "1":
        pytest.fail(f"ASFOUND_REQUIRE_PDF_TOOLS=1, and {lacking()}", pytrace=False)
    if item.get_closest_marker("office") and not OFFICE:
        pytest.fail(f"ASFOUND_REQUIRE_OFFICE=1, and {NO_OFFICE}", pytrace=False)
    if item.get_closest_marker("editor") and not (EDITOR and NODE):
        pytest.fail(f"ASFOUND_REQUIRE_EDITOR=1, and {NO_EDITOR}", pytrace=False)
    if item.get_closest_marker("heard") and not HEARD:
        pytest.fail(f"ASFOUND_REQUIRE_HEARD=1, and {NO_HEARD}", pytrace=False)
