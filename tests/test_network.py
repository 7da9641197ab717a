"""Tests reach nothing but this machine."""

import socket

import pytest

from tests.conftest import OutsideNetworkError

DOCUMENTATION_ADDRESS = ("192.0.2.1", 80)  # RFC 5737: TEST-NET-1, never a real host


@pytest.mark.parametrize("way", ["connect", "connect_ex"])
def test_connection_outside_is_refused(way):
    with socket.socket() as opened, pytest.raises(OutsideNetworkError):
        getattr(opened, way)(DOCUMENTATION_ADDRESS)


def test_connection_to_loopback_is_made():
    with socket.create_server(("127.0.0.1", 0)) as server, socket.create_connection(server.getsockname()) as opened:
        assert opened.getpeername() == server.getsockname()
