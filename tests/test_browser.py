"""The browser that the journeys drive: it opens our pages, with their styles, and nobody else's."""

from contextlib import closing
from http.client import HTTPConnection

import pytest
from playwright.sync_api import Error

from tests.served import ConnectionsOpenError


def test_browser_opens_our_pages_with_their_styles(page):
    failed = []
    page.on("requestfailed", lambda request: failed.append(request.url))
    page.on("response", lambda answer: failed.append(answer.url) if answer.status >= 400 else None)
    page.goto("/admin/login/")
    assert page.get_by_label("Username").is_visible()
    assert page.evaluate("document.styleSheets.length") > 0
    assert failed == []


def test_browser_reaches_no_other_host(page):
    with pytest.raises(Error, match="ERR_NAME_NOT_RESOLVED"):
        page.goto("http://elsewhere.example/")  # RFC 2606: a name that is never registered


def test_server_is_idle_once_the_last_connection_is_closed(live_server):
    server = live_server.thread.httpd
    with closing(HTTPConnection(*server.server_address[:2])) as connection:
        connection.request("GET", "/sign-in/")
        assert connection.getresponse().read()
        with pytest.raises(ConnectionsOpenError, match="1 connection"):
            server.wait_until_idle(seconds=0)
    server.wait_until_idle(seconds=20)
