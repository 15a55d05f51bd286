"""The command ``undial serve`` as a process of its own: where it listens, what it says, how it ends."""

from __future__ import annotations

import contextlib
import http.client
import os
import re
import signal
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner

from converter.cli import cli
from converter.serve import listening
from converter.serve.app import build
from converter.serve.door import Door
from converter.serve.listening import HEAD_BYTES, MOST_FROM_ONE
from tests.serve.doorstep import Server, environment, free_port

Serving = Callable[..., Server]


def listens_at(pid: int) -> set[str]:
    """The addresses at which a process listens, as the kernel has them."""
    held = {os.readlink(path) for path in Path(f"/proc/{pid}/fd").iterdir() if path.is_symlink()}
    found = set()
    for table, family in (("tcp", socket.AF_INET), ("tcp6", socket.AF_INET6)):
        for line in Path(f"/proc/{pid}/net/{table}").read_text(encoding="ascii").splitlines()[1:]:
            fields = line.split()
            if fields[3] == "0A" and f"socket:[{fields[9]}]" in held:
                address, port = fields[1].split(":")
                words = [bytes.fromhex(address[at : at + 8])[::-1] for at in range(0, len(address), 8)]
                found.add(f"{socket.inet_ntop(family, b''.join(words))} {int(port, 16)}")
    return found


def answer(port: int, path: str = "/key", *, seconds: float = 5) -> int:
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=seconds)
    connection.request("GET", path)
    status = connection.getresponse().status
    connection.close()
    return status


@pytest.mark.skipif(not Path("/proc/self/net/tcp").exists(), reason="the kernel's table of sockets is Linux's")
def test_it_listens_on_loopback_alone(server: Server) -> None:
    assert listens_at(server.process.pid) == {f"127.0.0.1 {server.port}"}


def test_one_line_says_where_and_ctrl_c_ends_it_quietly(serving: Serving) -> None:
    made = serving()
    status = made.stop()
    assert status in (0, 130)
    assert made.said == f"undial is at {made.address}/ (Ctrl-C ends it)\n"


def test_it_ends_with_an_open_stream(serving: Serving, family: Path, home: Path) -> None:
    """A browser that follows a run keeps its request open; that must not keep the command alive."""
    made = serving("--folder", str(family), home_of=home)
    connection = http.client.HTTPConnection("127.0.0.1", made.port, timeout=5)
    connection.request("GET", "/folder/run/events")
    assert connection.getresponse().status == 200
    begun = time.monotonic()
    assert made.stop() in (0, 130)
    assert time.monotonic() - begun < 6
    assert "Traceback" not in made.said


def test_a_port_that_is_taken_is_said(serving: Serving, home: Path) -> None:
    made = serving()
    again = subprocess.run(
        [sys.executable, "-c", "from converter.cli import main; main()", "serve", "--port", str(made.port)],
        env=environment(home), capture_output=True, text=True, timeout=60, check=False,
    )  # fmt: skip
    assert again.returncode == 2
    assert f"port {made.port} is in use" in again.stderr
    assert again.stdout == ""
    assert answer(made.port) == 200


def test_without_a_port_the_next_free_one_is_found() -> None:
    first = free_port()
    with listening.listen("127.0.0.1", first):
        port, sockets = listening.listen_all(("127.0.0.1",), first, tries=5)
        for one in sockets:
            one.close()
    assert first < port < first + 5


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--folder", "nowhere"], "there is no such folder"),
        (["--folder", "."], "no ledger is kept here; undial folder makes one"),
        (["--house", "tablet"], "is no address"),
        (["--house", "127.0.0.1"], "reached from this machine only"),
        (["--house", "0.0.0.0"], "stands for many addresses"),
        (["--house", "::"], "stands for many addresses"),
        (["--house", "224.0.0.1"], "stands for many addresses"),
        (["--house", "9.9.9.9"], "no address of a house's own network"),
        (["--house", "169.254.1.1"], "no address of a house's own network"),
        (["--house", "10.255.255.254"], "no address of this machine"),
        (["--port", "0"], "0 is not in the range"),
        (["--port", "70000"], "70000 is not in the range"),
    ],
    ids=lambda value: " ".join(value) if isinstance(value, list) else "",
)
def test_wrong_use_is_said_in_a_sentence(
    home: Path, monkeypatch: pytest.MonkeyPatch, words: list[str], said: str
) -> None:
    monkeypatch.chdir(home)
    done = CliRunner().invoke(cli, ["serve", "--no-browser", *words])
    assert done.exit_code == 2
    assert said in done.output
    assert "Traceback" not in done.output


def test_the_door_to_the_house_is_opened_with_a_warning_and_a_key(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Both addresses are asked for; what is said warns, names the address and shows the key. Nothing is listened on."""
    asked: list[tuple[str, ...]] = []
    doors: list[Door] = []

    def listen_all(addresses: tuple[str, ...], port: int, *, tries: int = 1) -> tuple[int, list[socket.socket]]:
        asked.append(addresses)
        return port, []

    def built(door: Door, **more: object) -> object:
        doors.append(door)
        return build(door, **more)  # type: ignore[arg-type]

    def run(server: listening.Server, sockets: object = None) -> None:
        server.ready()

    monkeypatch.setattr(listening, "listen_all", listen_all)
    monkeypatch.setattr(listening.Server, "run", run)
    monkeypatch.setattr("converter.serve.app.build", built)
    done = CliRunner().invoke(cli, ["serve", "--no-browser", "--port", "8437", "--house", "192.168.1.20"])
    assert done.exit_code == 0
    assert asked == [("127.0.0.1", "192.168.1.20")]
    assert doors[0].house
    assert doors[0].hosts >= {"127.0.0.1:8437", "192.168.1.20:8437"}
    words = " ".join(done.output.split())
    for part in (
        "undial is at http://127.0.0.1:8437/", "http://192.168.1.20:8437/", "can read along",
        "nothing on the way is encrypted", "in your own house", "It ends with this command",
    ):  # fmt: skip
        assert part in words
    assert re.search(r"Key for one device: [2-9a-z]{4}-[2-9a-z]{4}$", done.output.strip())


def test_the_browser_is_opened_at_the_address(home: Path, tmp_path: Path) -> None:
    record = tmp_path / "opened"
    program = tmp_path / "browser"
    program.write_text(f'#!/bin/sh\nprintf %s "$1" > {record}\n', encoding="utf-8")
    program.chmod(0o755)
    port = free_port()
    command = [sys.executable, "-c", "from converter.cli import main; main()", "serve", "--port", str(port)]
    process = subprocess.Popen(command, env=environment(home) | {"BROWSER": str(program)}, stdout=subprocess.PIPE)
    try:
        deadline = time.monotonic() + 30
        while not (record.exists() and record.read_text(encoding="utf-8")) and time.monotonic() < deadline:
            time.sleep(0.05)
        assert record.read_text(encoding="utf-8") == f"http://127.0.0.1:{port}/"
    finally:
        process.send_signal(signal.SIGINT)
        process.communicate(timeout=10)


def test_starting_is_quick_enough_and_help_loads_no_server() -> None:
    code = "import sys; from converter.cli import main\ntry: main(['serve', '--help'])\nexcept SystemExit: pass\n" + (
        "print(sorted(name for name in ('uvicorn', 'fastapi', 'jinja2', 'spacy') if name in sys.modules))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, timeout=60, check=True)
    assert done.stdout.splitlines()[-1] == "[]"


def test_answers_do_not_wait_for_their_second_half(server: Server) -> None:
    """Without TCP_NODELAY each answer, which is sent as head and body, waits 40 ms for the client's receipt."""
    with listening.listen("127.0.0.1", free_port()) as one:
        assert one.proto == socket.IPPROTO_TCP
    connection = http.client.HTTPConnection("127.0.0.1", server.port, timeout=5)
    times = []
    for _ in range(25):
        begun = time.perf_counter()
        connection.request("GET", "/key")
        connection.getresponse().read()
        times.append(time.perf_counter() - begun)
    connection.close()
    assert sorted(times)[len(times) // 2] < 0.03


# ---------------------------------------------------------------- broken and slow clients


@pytest.fixture
def patient(home: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[int]:
    """The port of a server in this process that waits half a second for a head or a part of a body."""
    monkeypatch.setattr(listening, "HEAD_SECONDS", 0.5)
    monkeypatch.setattr(listening, "IDLE_SECONDS", 0.5)
    monkeypatch.setattr("converter.serve.guard.CHUNK_SECONDS", 0.5)
    port, sockets = listening.listen_all(("127.0.0.1",), free_port())
    made = listening.server(build(Door(port=port, kept=home / "pasted.sqlite")))
    thread = threading.Thread(target=made.run, kwargs={"sockets": sockets})
    thread.start()
    deadline = time.monotonic() + 10
    while not made.started and time.monotonic() < deadline:
        time.sleep(0.02)
    yield port
    made.should_exit = True
    thread.join(10)
    assert not thread.is_alive()


def raw(port: int, words: bytes = b"") -> socket.socket:
    made = socket.create_connection(("127.0.0.1", port), timeout=5)
    made.sendall(words)
    return made


def drip(one: socket.socket, words: bytes, *, seconds: float) -> float:
    """Send `words` again and again until the other side has had enough; how long that took, at most `seconds`."""
    begun = time.monotonic()
    one.settimeout(0.02)
    while time.monotonic() - begun < seconds:
        try:
            one.sendall(words)
            if one.recv(4096) == b"":
                break
        except TimeoutError:
            time.sleep(0.03)
        except OSError:
            break
    return time.monotonic() - begun


def test_a_head_that_never_ends_is_let_go(patient: int) -> None:
    with raw(patient) as silent, raw(patient, b"GET / HTTP/1.1\r\n") as slow:
        assert drip(slow, b"X-A: b\r\n", seconds=5) < 2
        assert silent.recv(10) == b""


def test_a_second_head_that_never_ends_is_let_go(patient: int) -> None:
    with raw(patient, f"GET /key HTTP/1.1\r\nHost: 127.0.0.1:{patient}\r\n\r\n".encode()) as slow:
        assert slow.recv(20).startswith(b"HTTP/1.1 200")
        assert drip(slow, b"X", seconds=6) < 3


def test_a_body_that_does_not_arrive_is_let_go(patient: int) -> None:
    head = f"POST /key HTTP/1.1\r\nHost: 127.0.0.1:{patient}\r\nContent-Length: 1000\r\n"
    kind = "Content-Type: application/x-www-form-urlencoded\r\n\r\n"
    with raw(patient, (head + kind + "token=").encode()) as slow:
        assert slow.recv(4096).startswith(b"HTTP/1.1 408")
        assert slow.recv(4096) in (b"", b"the rest of this did not arrive\n")


def test_a_body_that_comes_after_its_answer_is_not_waited_for(patient: int) -> None:
    head = f"POST /nothing HTTP/1.1\r\nHost: 127.0.0.1:{patient}\r\nContent-Length: 100000\r\n\r\n"
    with raw(patient, head.encode()) as slow:
        assert slow.recv(20).startswith(b"HTTP/1.1 404")
        assert drip(slow, b"x", seconds=6) < 3


def test_slow_clients_keep_nobody_out(server: Server) -> None:
    """Three hundred connections that never finish their request, and one cook."""
    words = f"POST /key HTTP/1.1\r\nHost: 127.0.0.1:{server.port}\r\nContent-Length: 1000\r\n"
    held = [raw(server.port, (words + ("\r\ntoken=" if number % 2 else "")).encode()) for number in range(300)]
    try:
        begun = time.monotonic()
        for _ in range(10):
            assert answer(server.port) == 200
        assert time.monotonic() - begun < 5
    finally:
        for one in held:
            one.close()


@pytest.mark.parametrize(
    "words",
    [
        b"\r\n\r\n", b"\0" * 200, b"GET\r\n\r\n", b"GET / HTTP/9\r\n\r\n", b"GET / HTTP/1.1\r\nHost : x\r\n\r\n",
        b"GET / HTTP/1.1\r\n\r\n", b"\x16\x03\x01\x02\x00", b"GET http://recipes.example/ HTTP/1.1\r\nHost: x\r\n\r\n",
        b"CONNECT recipes.example:443 HTTP/1.1\r\nHost: recipes.example:443\r\n\r\n",
        b"POST /key HTTP/1.1\r\nHost: x\r\nContent-Length: 5\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\n",
        b"POST /key HTTP/1.1\r\nHost: x\r\nContent-Length: 5\r\nContent-Length: 6\r\n\r\nabcdef",
        b"GET / HTTP/1.1\r\nHost: x\r\nX: " + b"a" * (2 * HEAD_BYTES) + b"\r\n\r\n",
    ],
    ids=range(12),
)  # fmt: skip
def test_what_is_no_request_of_ours_gets_nothing(server: Server, words: bytes) -> None:
    with raw(server.port, words) as one:
        one.shutdown(socket.SHUT_WR)
        told = b""
        try:
            while part := one.recv(65_536):
                told += part
        except OSError:
            pass
    assert not told or re.match(rb"HTTP/1.1 4\d\d", told)
    assert b"Traceback" not in told
    assert answer(server.port) == 200


@pytest.mark.parametrize(
    ("head", "rest"),
    [
        ("POST /key HTTP/1.1\r\nHost: {host}\r\nTransfer-Encoding: chunked\r\n\r\n-1\r\nX\r\n", ""),
        ("POST /key HTTP/1.1\r\nHost: {host}\r\nTransfer-Encoding: chunked\r\n\r\n", "-1\r\nX\r\n"),
        ("POST /key HTTP/1.1\r\nHost: x\r\nTransfer-Encoding: chunked\r\n\r\n", "\0\0\0\r\n"),
        ("GET /key HTTP/1.1\r\nHost: {host}\r\n\r\n", "GET / HTTP/9\r\n\r\n"),
        (
            "POST /key HTTP/1.1\r\nHost: {host}\r\nContent-Length: 20\r\n"
            "Content-Type: multipart/form-data; boundary=x\r\n\r\n--xxxxxxxxxxxxxxxxxx",
            "",
        ),
        (
            "POST /key HTTP/1.1\r\nHost: {host}\r\nContent-Length: 72\r\n"
            "Content-Type: multipart/form-data; charset=undefined; boundary=x\r\n\r\n"
            "--x\r\nContent-Disposition: form-data; name=token\r\n\r\naaaaaaaa\r\n--x--\r\n",
            "",
        ),
    ],
    ids=range(6),
)  # fmt: skip
def test_a_broken_client_leaves_nothing_on_the_terminal(serving: Serving, head: str, rest: str) -> None:
    """Nor does it make undial say that it has failed itself: any machine of the house could fill the terminal."""
    made = serving()
    with raw(made.port, head.format(host=f"127.0.0.1:{made.port}").encode()) as one:
        told = one.recv(4096)
        assert re.match(rb"HTTP/1.1 (200|4\d\d)", told)
        one.sendall(rest.encode())
        one.shutdown(socket.SHUT_WR)
        with contextlib.suppress(OSError):
            while one.recv(65_536):
                pass
    assert answer(made.port) == 200
    made.stop()
    assert made.said == f"undial is at {made.address}/ (Ctrl-C ends it)\n"


def test_a_websocket_is_not_opened(server: Server) -> None:
    head = (
        f"GET / HTTP/1.1\r\nHost: 127.0.0.1:{server.port}\r\nConnection: Upgrade\r\nUpgrade: websocket\r\n"
        "Sec-WebSocket-Version: 13\r\nSec-WebSocket-Key: AAAAAAAAAAAAAAAAAAAAAA==\r\n\r\n"
    )
    with raw(server.port, head.encode()) as one:
        assert not one.recv(100).startswith(b"HTTP/1.1 101")


def test_the_house_does_not_take_all_the_room() -> None:
    """Of one other machine so many connections are held, of this one more."""
    from uvicorn import Config
    from uvicorn.server import ServerState

    class Transport:
        def __init__(self, client: str) -> None:
            self.client, self.aborted = client, False

        def get_extra_info(self, name: str) -> object:
            return {"peername": (self.client, 5), "sockname": ("192.168.1.20", 8437)}.get(name)

        def abort(self) -> None:
            self.aborted = True

    state = ServerState()
    config = Config("none", log_config=None, interface="asgi3")
    config.loaded, config.loaded_app, config.ws_protocol_class = True, None, None  # type: ignore[assignment]

    class Loop:
        def call_later(self, *_: object) -> None:
            return None

    def come(client: str) -> bool:
        one = listening.Patient(config, state, {}, Loop())  # type: ignore[arg-type]
        transport = Transport(client)
        one.connection_made(transport)  # type: ignore[arg-type]
        return not transport.aborted

    assert [come("192.168.1.40") for _ in range(MOST_FROM_ONE + 1)] == [True] * MOST_FROM_ONE + [False]
    assert come("192.168.1.41")
    assert all(come("127.0.0.1") for _ in range(2 * MOST_FROM_ONE))
