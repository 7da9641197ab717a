"""What every test stands on: closed sockets, settings that suit tests, a database of its own, Chromium."""

import ipaddress
import os
import shutil
import socket
from pathlib import Path

import hypothesis
import pytest
from django.db import connections
from django.test import override_settings
from django.test.testcases import LiveServerThread
from playwright.sync_api import expect

from tests.served import CountedServer

CHROMIUM_NAMES = ("chromium", "chromium-browser", "google-chrome")

# Playwright keeps an event loop running in the main thread, which Django takes for asynchronous code.
os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "true")

# No deadline, since a busy machine breaks no law; in CI the same examples every time.
hypothesis.settings.register_profile("house", deadline=None, derandomize="CI" in os.environ)
hypothesis.settings.load_profile("house")
expect.set_options(timeout=20_000)  # milliseconds; as patient with a busy machine


def pytest_configure(config: pytest.Config) -> None:
    """Keep what a browser test leaves behind where CI collects it, when it says where."""
    if artefacts := os.environ.get("CI_ARTEFACTS"):
        config.option.output = str(Path(artefacts) / "browser")


@pytest.hookimpl(trylast=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Run what empties the database last: such a test takes away what migrations brought, too.

    pytest-django orders them so as well, but grouping by browser undoes it.
    """
    items.sort(key=_empties_database)
    for item in filter(_empties_database, items):
        item.add_marker(pytest.mark.django_db(transaction=True, serialized_rollback=True), append=False)


def _empties_database(item: pytest.Item) -> bool:
    marker = item.get_closest_marker("django_db")
    return bool(marker and marker.kwargs.get("transaction")) or "live_server" in getattr(item, "fixturenames", ())


class OutsideNetworkError(RuntimeError):
    """A test reached for an address that is not on this machine."""


def _is_loopback(host: str) -> bool:
    if host in ("localhost", ""):
        return True
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return False


@pytest.fixture(autouse=True, scope="session")
def closed_sockets():
    """Refuse every connection of this process that leaves the machine."""
    real_connect, real_connect_ex = socket.socket.connect, socket.socket.connect_ex

    def refuse_outside(opened: socket.socket, address) -> None:
        if opened.family in (socket.AF_INET, socket.AF_INET6) and not _is_loopback(address[0]):
            raise OutsideNetworkError(f"a test may not connect to {address[0]}")

    def connect(opened: socket.socket, address) -> None:
        refuse_outside(opened, address)
        real_connect(opened, address)

    def connect_ex(opened: socket.socket, address) -> int:
        refuse_outside(opened, address)
        return real_connect_ex(opened, address)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(socket.socket, "connect", connect)
        patch.setattr(socket.socket, "connect_ex", connect_ex)
        yield


@pytest.fixture(autouse=True, scope="session")
def settings_for_tests(tmp_path_factory: pytest.TempPathFactory):
    """Hash passwords fast, serve static files unhashed (live_server has no manifest), keep files in a folder of the run."""
    folder = tmp_path_factory.mktemp("data")
    (folder / "static").mkdir()
    with override_settings(
        PASSWORD_HASHERS=["django.contrib.auth.hashers.MD5PasswordHasher"],
        STORAGES={
            "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
            "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
        },
        MEDIA_ROOT=folder / "files",
        STATIC_ROOT=folder / "static",
    ):
        yield


@pytest.fixture(scope="session")
def django_db_modify_db_settings(
    django_db_modify_db_settings: None, request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Put SQLite's test database in a file, as in service: in memory, threads would share one connection and no lock.

    Once Playwright runs, Django has connections of another context, which do not know what migrations brought. So it is
    started before the database is made.
    """
    if any("browser" in getattr(item, "fixturenames", ()) for item in request.session.items):
        request.getfixturevalue("browser")
    settings = connections["default"].settings_dict
    if settings["ENGINE"] == "django.db.backends.sqlite3":
        settings["TEST"]["NAME"] = str(tmp_path_factory.mktemp("database") / "test.sqlite3")


@pytest.fixture(scope="session")
def browser_type_launch_args(browser_type_launch_args: dict) -> dict:
    """Launch Debian's Chromium, closed to every network but loopback."""
    found = next(filter(None, map(shutil.which, CHROMIUM_NAMES)), None)
    if found is None:
        pytest.fail("Chromium is missing: `apt-get install chromium` brings it", pytrace=False)
    quiet = ("background-networking", "component-update", "sync", "gpu", "quic", "dev-shm-usage")
    return {
        **browser_type_launch_args,
        "executable_path": found,
        "args": [
            "--no-sandbox",
            "--no-first-run",
            *(f"--disable-{part}" for part in quiet),
            "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1, EXCLUDE localhost",
        ],
    }


@pytest.fixture(scope="session")
def base_url(django_db_setup, live_server) -> str:
    """Let ``page.goto("/sign-in/")`` reach a server of the test's own, which stops before its database is dropped."""
    return live_server.url


@pytest.fixture(autouse=True, scope="session")
def counted_server():
    """Let ``live_server`` know whom it still serves."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(LiveServerThread, "server_class", CountedServer)
        yield


@pytest.fixture(autouse=True)
def server_at_rest(request: pytest.FixtureRequest):
    """End a browser test when its last request is answered, not while one may still write into the next test's database.

    A page that closes may have a save under way. It is set up after the database and before any page, so it comes
    between the two when they are taken down.
    """
    if "live_server" not in request.fixturenames:
        yield
        return
    request.getfixturevalue("transactional_db")
    served = request.getfixturevalue("live_server")
    yield
    served.thread.httpd.wait_until_idle(seconds=60)


@pytest.fixture(scope="session")
def browser_context_args(browser_context_args: dict) -> dict:
    """Open pages on a desktop, as a person in London has it set up."""
    return {**browser_context_args, "viewport": {"width": 1440, "height": 900}, "locale": "en-GB"}


@pytest.fixture(scope="session")
def pictures() -> Path:
    """Return the folder for screenshots: where CI collects them, else ``var/pictures``."""
    folder = Path(os.environ.get("CI_ARTEFACTS", "var")) / "pictures"
    folder.mkdir(parents=True, exist_ok=True)
    return folder.resolve()
