"""A served folder against connections that send half a request, too much, or nothing.

The rules come from outside: RFC 9112 (chunked beside a length, section 6.3), RFC 6585 and 9110
(408, 413). Sockets are opened by the standard library, so that what is sent is exactly this.
"""

import json
import re
import socket
import threading
import time
import urllib.request
from contextlib import ExitStack, suppress

import pytest
import uvicorn

from reports.folders import write_folder
from reports.lines import real_size
from sixwright.web import connections, guard
from sixwright.web.app import make_app
from web.asking import clock

MOST_S = 20


@pytest.fixture(scope="module")
def served(tmp_path_factory):
    """Where a folder is served with the bounds of `sixwright serve`."""
    folder = write_folder(real_size(parts=6, boxes=2), tmp_path_factory.mktemp("line") / "flood")
    listening = socket.create_server(("127.0.0.1", 0))
    config = uvicorn.Config(
        make_app(folder, clock), log_level="critical", http=connections.Connection, ws="none"
    )
    server = uvicorn.Server(config)
    thread = threading.Thread(target=server.run, args=([listening],), daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.02)
    yield listening.getsockname()
    server.should_exit = True
    thread.join(10)


def page(at, path="/report"):
    with urllib.request.urlopen(f"http://{at[0]}:{at[1]}{path}", timeout=MOST_S) as answer:
        return answer.read().decode()


def opened(at, sent=b""):
    one = socket.create_connection(at, timeout=MOST_S)
    one.sendall(sent)
    return one


def test_four_hundred_half_requests_shut_nobody_out(served):
    with ExitStack() as stack:
        for _ in range(400):
            stack.enter_context(opened(served, b"GET / HTTP/1.1\r\nHost: 127.0.0.1\r\nX-"))
        assert "Sluicekeeper" in page(served)


@pytest.mark.parametrize("sent", [b"", b"GET / HTTP/1.1\r\nHost: 127.0.0.1\r\n"])
def test_half_a_request_is_dropped_in_time(served, monkeypatch, sent):
    monkeypatch.setattr(connections, "HEAD_S", 0.3)
    with opened(served, sent) as one:
        assert ended(one)


def test_half_a_second_request_is_dropped_in_time(served, monkeypatch):
    whole = b"GET /assets/mark.svg HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n"
    with opened(served, whole) as one:
        assert one.recv(65536).startswith(b"HTTP/1.1 200")
        monkeypatch.setattr(connections, "HEAD_S", 0.3)
        one.sendall(whole)
        one.recv(65536)
        one.sendall(b"GET / HTTP/1.1\r\nHo")
        assert ended(one)


def test_a_body_that_does_not_come_is_no_longer_waited_for(served, monkeypatch):
    monkeypatch.setattr(guard, "BODY_S", 0.3)
    with opened(served, head(served, "Content-Length: 100")) as one:
        assert b" 408 " in one.recv(65536)


@pytest.mark.parametrize(
    "lengths",
    ["Content-Length: 5\r\nTransfer-Encoding: chunked", "Transfer-Encoding: chunked"],
)
def test_a_body_longer_than_said_is_not_taken_in(served, lengths):
    with opened(served, head(served, lengths)) as one:
        taken = taken_in(one)
    assert taken < 8 * 2**20  # what the two sockets hold, and not all that is sent


def taken_in(one):
    """Bytes of 100 MB that can be sent before the other side ends it."""
    sent = 0
    chunk = b"10000\r\n" + b" " * 65536 + b"\r\n"
    with suppress(OSError):
        for at in range(1600):
            one.sendall(chunk)
            sent = (at + 1) * len(chunk)
    return sent


def test_a_body_of_a_read_is_not_taken_in(served):
    asked = b"GET /report HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Length: 9000000\r\n\r\n"
    with opened(served, asked) as one:
        assert b" 413 " in one.recv(65536)


def test_a_whole_write_is_taken_as_before(served):
    body = json.dumps({"page": "/", "table": "orders", "id": "box-0", "column": "quantity",
                       "was": "120", "value": "121"}).encode()  # fmt: skip
    with opened(served, head(served, f"Content-Length: {len(body)}")) as one:
        one.sendall(body)
        assert b" 200 " in one.recv(65536)


def head(at, lengths):
    token = re.search(r'name="sixwright-token" content="([^"]+)"', page(at))[1]
    return (
        f"POST /edit HTTP/1.1\r\nHost: 127.0.0.1\r\nX-Sixwright-Token: {token}\r\n"
        f"Content-Type: application/json\r\n{lengths}\r\n\r\n"
    ).encode()


def ended(one):
    """Whether the other side ends it, with an answer or without."""
    try:
        while one.recv(65536):
            pass
    except ConnectionResetError:
        return True
    except TimeoutError:
        return False
    return True
