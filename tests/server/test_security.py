"""What a browser or a stranger may send, written to the socket byte by byte."""

import socket
from collections.abc import Iterator
from urllib.parse import urlsplit

import pytest
from fastapi import FastAPI
from starlette.testclient import TestClient

from server.security import CONTENT_POLICY, HEADERS, LARGEST_BODY_BYTES
from server.settings import allowed_hosts

FORM = "Content-Type: application/x-www-form-urlencoded"
FILE = "Content-Type: multipart/form-data; boundary=x"
FILE_BEGINS = b'--x\r\nContent-Disposition: form-data; name="file"; filename="room.json"\r\n\r\n'


@pytest.fixture
def address(server_url: str) -> tuple[str, int]:
    parts = urlsplit(server_url)
    assert parts.hostname and parts.port
    return parts.hostname, parts.port


def ask(address: tuple[str, int], *lines: str, body: bytes = b"") -> tuple[int, str]:
    """Send a request as written, and give back the status and the rest of the answer."""
    with socket.create_connection(address, timeout=20) as wire:
        head = "\r\n".join((*lines, "Connection: close", "", "")).encode()
        wire.sendall(head + body)
        answer = b"".join(iter(lambda: wire.recv(65536), b"")).decode("utf-8", "replace")
    return int(answer.split()[1]), answer


@pytest.mark.parametrize("host", ["evil.example", "localhost.evil.example", "127.0.0.1.evil.example", "", "192.0.2.1"])
def test_a_host_that_is_not_this_machine_is_refused(address: tuple[str, int], host: str) -> None:
    status, _ = ask(address, "GET /help HTTP/1.1", f"Host: {host}")

    assert status == 400


def test_a_request_without_a_host_is_refused(address: tuple[str, int]) -> None:
    status, _ = ask(address, "GET /help HTTP/1.1")

    assert status == 400


@pytest.mark.parametrize("host", ["localhost", "LOCALHOST", "127.0.0.1:8000", "[::1]:8000"])
def test_this_machine_answers_to_its_own_names(address: tuple[str, int], host: str) -> None:
    status, _ = ask(address, "GET /help HTTP/1.1", f"Host: {host}")

    assert status == 200


@pytest.mark.parametrize(
    "header",
    [
        "Sec-Fetch-Site: cross-site",
        "Sec-Fetch-Site: same-site",
        "Origin: https://evil.example",
        "Origin: http://localhost:1",
        "Origin: null",
    ],
)
def test_a_change_asked_for_by_another_site_is_refused(address: tuple[str, int], header: str) -> None:
    status, answer = ask(
        address, "POST /measure HTTP/1.1", "Host: localhost:8000", header, FORM, "Content-Length: 8", body=b"name=Own"
    )

    assert status == 403
    assert "Another website asked for this change" in answer


@pytest.mark.parametrize("header", ["Sec-Fetch-Site: same-origin", "Origin: http://localhost:8000", "X-Nothing: said"])
def test_a_change_asked_for_by_our_own_page_or_by_a_program_is_read(address: tuple[str, int], header: str) -> None:
    status, answer = ask(
        address, "POST /measure HTTP/1.1", "Host: localhost:8000", header, FORM, "Content-Length: 8", body=b"name=Own"
    )

    assert status == 422
    assert "Write what the tape says." in answer


def test_a_link_from_another_site_may_open_a_page(address: tuple[str, int]) -> None:
    status, _ = ask(address, "GET /help HTTP/1.1", "Host: localhost", "Sec-Fetch-Site: cross-site")

    assert status == 200


def test_a_body_announced_as_too_large_gets_the_page_for_that(address: tuple[str, int]) -> None:
    body = FILE_BEGINS + b" " * LARGEST_BODY_BYTES

    status, answer = ask(
        address, "POST /rooms HTTP/1.1", "Host: localhost", FILE, f"Content-Length: {len(body)}", body=body
    )

    assert status == 413
    assert "a room file is under 2 MB" in answer


def test_a_body_in_chunks_that_grows_too_large_gets_the_same_page(address: tuple[str, int]) -> None:
    parts = [FILE_BEGINS] + [b" " * 0x10000] * (LARGEST_BODY_BYTES // 0x10000 + 1) + [b""]
    chunks = b"".join(b"%x\r\n%b\r\n" % (len(part), part) for part in parts)

    status, answer = ask(
        address, "POST /rooms HTTP/1.1", "Host: localhost", FILE, "Transfer-Encoding: chunked", body=chunks
    )

    assert status == 413
    assert "a room file is under 2 MB" in answer


def test_a_path_that_climbs_out_of_the_static_folder_finds_nothing(address: tuple[str, int]) -> None:
    for path in ("/static/../pyproject.toml", "/static/%2e%2e/pyproject.toml", "/static/..%2fserver/main.py"):
        status, answer = ask(address, f"GET {path} HTTP/1.1", "Host: localhost")

        assert status == 404
        assert "[project]" not in answer


@pytest.mark.parametrize("path", ["/", "/help", "/nowhere", "/rooms/nowhere", "/static/look.css", "/static/nothing"])
def test_every_answer_carries_the_headers(client: TestClient, path: str) -> None:
    answer = client.get(path)

    assert {name: answer.headers[name] for name in HEADERS} == HEADERS


def test_even_a_refused_host_and_a_fault_of_our_own_carry_the_headers(app: FastAPI, client: TestClient) -> None:
    @app.get("/fault")
    def fault() -> None:
        raise RuntimeError("the secret is 1234")

    answers = [client.get("/fault"), client.get("/help", headers={"Host": "evil.example"})]

    assert [answer.status_code for answer in answers] == [500, 400]
    assert [answer.headers["Content-Security-Policy"] for answer in answers] == [CONTENT_POLICY] * 2
    assert "1234" not in answers[0].text


def test_pages_stay_out_of_caches_and_styles_are_asked_for_again(client: TestClient) -> None:
    assert client.get("/help").headers["Cache-Control"] == "no-store"
    assert client.get("/static/look.css").headers["Cache-Control"] == "no-cache"


def test_the_content_policy_lets_in_nothing_inline_and_nothing_from_elsewhere() -> None:
    assert "unsafe" not in CONTENT_POLICY
    assert "http" not in CONTENT_POLICY
    assert CONTENT_POLICY.startswith("default-src 'none'")


@pytest.mark.parametrize("path", ["/docs", "/redoc", "/openapi.json"])
def test_no_page_describes_the_inside_of_the_server(client: TestClient, path: str) -> None:
    assert client.get(path).status_code == 404


@pytest.fixture
def stranger(app: FastAPI) -> Iterator[TestClient]:
    with TestClient(app, base_url="http://plant.example", raise_server_exceptions=False) as stranger:
        yield stranger


def test_a_name_is_answered_to_only_when_it_was_allowed(stranger: TestClient) -> None:
    assert stranger.get("/help").status_code == 400
    assert "plant.example" in allowed_hosts("0.0.0.0", ("plant.example",))


def test_an_address_of_version_6_is_allowed_in_brackets() -> None:
    assert allowed_hosts("2001:db8::1")[-1] == "[2001:db8::1]"
