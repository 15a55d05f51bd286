"""The guard before the page, tried as another site, another machine or a broken client would."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from importlib import import_module
from pathlib import Path
from typing import Any

import pytest
from fastapi import APIRouter

from converter.serve.app import _ROOMS, build
from converter.serve.door import MOST_BODY_BYTES, MOST_KEY_BYTES, MOST_WORDS_BYTES, Door
from tests.folder.cookery import converted
from tests.serve.doorstep import BAKE, BISCUITS, SCRATCH, Cook, cook

PORT = 8437
OWN = f"http://127.0.0.1:{PORT}"


def routes() -> list[tuple[str, str]]:
    """Every method and path of every room."""

    def inside(router: Any) -> Iterator[tuple[str, str]]:
        for route in router.routes:
            if hasattr(route, "methods"):
                yield from ((method, route.path) for method in sorted(route.methods))
            else:  # a router in a router
                yield from inside(route.original_router)

    return [one for name in _ROOMS for one in inside(import_module(f"converter.serve.{name}").router)]


def filled(path: str, value: str = "") -> str:
    """The path with `value`, or something of the right shape, for each of its parts."""
    shapes = {"key": f"{'0' * 18}.{'0' * 8}", "row": "0" * 16}
    return re.sub(r"\{([^}]*)\}", lambda found: value or shapes.get(found[1], "x"), path)


@pytest.fixture(scope="module")
def visited(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Cook]:
    """One page with a folder for the tests that change nothing in it."""
    home = tmp_path_factory.mktemp("home")
    src = home / "recipes"
    src.mkdir()
    for name, text in (("biscuits", BISCUITS), ("bake", BAKE)):
        (src / f"{name}.txt").write_text(text, encoding="utf-8")
    with pytest.MonkeyPatch.context() as patch:
        for name in SCRATCH:
            patch.setenv(name, str(home / name.lower()))
        converted(src, home / "converted")
        yield cook(Door(kept=home / "pasted.sqlite", folder=home / "converted"))


# ---------------------------------------------------------------- whom the page answers


@pytest.mark.parametrize(
    "host",
    [
        "recipes.example", "recipes.example:8437", "127.0.0.1", "127.0.0.1:80", "127.0.0.1.recipes.example:8437",
        "localhost:8438", "127.1:8437", "0.0.0.0:8437", "2130706433:8437", "[::]:8437", "192.168.1.20:8437",
        "127.0.0.1:8437@recipes.example", "127.0.0.1:8437,recipes.example", " ", "",
    ],
)  # fmt: skip
def test_a_foreign_host_is_not_answered(client: Cook, host: str) -> None:
    """A name that another site points at 127.0.0.1 (DNS rebinding) is not ours."""
    for method, path in (("GET", "/"), ("GET", "/assets/undial.css"), ("POST", "/key"), ("GET", "/api/openapi.json")):
        answer = client.request(method, path, headers={"Host": host})
        assert answer.status_code == 421
        assert "set-cookie" not in answer.headers


@pytest.mark.parametrize("host", ["127.0.0.1:8437", "localhost:8437", "LOCALHOST:8437", "[::1]:8437"])
def test_our_own_names_are_answered(client: Cook, host: str) -> None:
    assert client.get("/key", headers={"Host": host}).status_code == 200


def test_two_hosts_are_not_answered(client: Cook) -> None:
    raw = [("Host", f"127.0.0.1:{PORT}"), ("Host", f"127.0.0.1:{PORT}")]
    assert client.get("/key", headers=raw).status_code == 421


def test_a_host_that_another_machine_claims_to_have_passed_on_is_not_believed(client: Cook) -> None:
    more = {"X-Forwarded-Host": f"127.0.0.1:{PORT}", "Forwarded": f"host=127.0.0.1:{PORT}"}
    assert client.get("/key", headers={"Host": "recipes.example", **more}).status_code == 421


# ---------------------------------------------------------------- what another site may do


FOREIGN = [
    {"Origin": "http://recipes.example"},
    {"Origin": "https://127.0.0.1:8437"},
    {"Origin": "http://127.0.0.1:8438"},
    {"Origin": "http://127.0.0.1"},
    {"Origin": "http://127.0.0.1:8437.recipes.example"},
    {"Origin": "null"},
    {"Origin": ""},
    {"Sec-Fetch-Site": "cross-site"},
    {"Sec-Fetch-Site": "same-site"},
    {"Sec-Fetch-Site": "nonsense"},
    {"Origin": OWN, "Sec-Fetch-Site": "cross-site"},
    {"Origin": "http://recipes.example", "Sec-Fetch-Site": "same-origin"},
]


@pytest.mark.parametrize("headers", FOREIGN, ids=str)
def test_another_site_changes_nothing_even_with_the_token(client: Cook, headers: dict[str, str]) -> None:
    answer = client.post("/key", data={"token": client.token, "key": "x"}, headers=headers)
    assert answer.status_code == 403
    assert "not asked for by undial's own page" in answer.text


def test_two_origins_are_none(client: Cook) -> None:
    raw = [("Origin", OWN), ("Origin", "http://recipes.example")]
    assert client.post("/key", data={"token": client.token}, headers=raw).status_code == 403


@pytest.mark.parametrize(("method", "path"), routes())
@pytest.mark.parametrize("headers", [{"Origin": "http://recipes.example"}, {"Sec-Fetch-Site": "cross-site"}], ids=str)
def test_no_room_listens_to_another_site(visited: Cook, method: str, path: str, headers: dict[str, str]) -> None:
    token = visited.token
    more: dict[str, Any] = {} if method == "GET" else {"data": {"token": token}}
    answer = visited.request(method, filled(path), headers=headers, **more)
    if method == "GET" and "Origin" in headers:
        assert "access-control-allow-origin" not in answer.headers
    else:
        assert answer.status_code == 403


def test_no_preflight_is_granted(client: Cook) -> None:
    asked = {"Origin": "http://recipes.example", "Access-Control-Request-Method": "POST"}
    for path in ("/", "/recipes", "/api/convert", "/judgement/x"):
        answer = client.options(path, headers=asked)
        assert answer.status_code == 403
        assert not [name for name in answer.headers if name.lower().startswith("access-control")]


CHANGES = [(method, path) for method, path in routes() if method not in ("GET", "HEAD")]


@pytest.mark.parametrize(
    ("method", "path"), [(method, path) for method, path in CHANGES if not path.startswith("/api/")]
)
@pytest.mark.parametrize("token", [None, "", "0" * 32, "x"])
def test_a_form_without_our_token_changes_nothing(visited: Cook, method: str, path: str, token: str | None) -> None:
    visited.get("/key")
    answer = visited.request(method, filled(path), data={} if token is None else {"token": token})
    assert answer.status_code == 403
    assert "earlier visit" in answer.text


def test_there_are_changes_that_these_tests_try() -> None:
    assert len(CHANGES) > 5
    assert {"/recipes", "/key"} <= {path for _, path in CHANGES}


def test_the_token_of_another_browser_changes_nothing(client: Cook, home: Path) -> None:
    other = cook(Door(kept=home / "pasted.sqlite"))
    assert other.token != client.token
    assert client.post("/key", data={"token": other.token, "key": "x"}).status_code == 403


@pytest.mark.parametrize("kind", ["application/json", "text/plain", "application/octet-stream", "multipart/form-data"])
def test_a_token_in_what_is_no_form_changes_nothing(client: Cook, kind: str) -> None:
    body = json.dumps({"token": client.token, "key": "x"})
    answer = client.post("/key", content=body, headers={"Content-Type": kind})
    assert answer.status_code in (400, 403)


@pytest.mark.parametrize("kind", ["text/plain", "application/x-www-form-urlencoded", "multipart/form-data", ""])
def test_programs_are_asked_in_json_alone(client: Cook, kind: str) -> None:
    """What a page of another site could send without being asked first is no JSON of ours."""
    body = json.dumps({"text": BISCUITS})
    assert client.post("/api/convert", content=body, headers={"Content-Type": kind}).status_code == 415
    assert client.post("/api/convert", content=body, headers={"Content-Type": "application/json"}).status_code == 200


@pytest.mark.parametrize(
    "headers",
    [
        {"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "no-cors", "Sec-Fetch-Dest": "image"},
        {"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "no-cors", "Sec-Fetch-Dest": "script"},
        {"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "cors", "Sec-Fetch-Dest": "empty"},
        {"Sec-Fetch-Site": "same-site", "Sec-Fetch-Mode": "cors", "Sec-Fetch-Dest": "empty"},
        {"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "navigate", "Sec-Fetch-Dest": "iframe"},
        {"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "navigate", "Sec-Fetch-Dest": "object"},
        {"Sec-Fetch-Site": "cross-site"},
    ],
    ids=lambda headers: headers.get("Sec-Fetch-Dest", "none"),
)
def test_another_site_loads_and_frames_nothing(client: Cook, headers: dict[str, str]) -> None:
    for path in ("/", "/folder", "/assets/undial.css", "/api/openapi.json"):
        assert client.get(path, headers=headers).status_code == 403


def test_another_site_may_lead_here(client: Cook) -> None:
    led = {"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "navigate", "Sec-Fetch-Dest": "document"}
    assert client.get("/key", headers=led).status_code == 200


def test_a_refused_form_does_not_replace_the_cookie(client: Cook) -> None:
    """A form that another site makes the browser send comes without our cookie; its answer must bring no new one."""
    answer = client.post("/key", data={"token": "x"}, headers={"Origin": "http://recipes.example"})
    assert answer.status_code == 403
    assert "set-cookie" not in answer.headers


def test_the_cookie_is_out_of_reach_of_scripts_and_other_sites(client: Cook) -> None:
    (cookie,) = client.get("/key").headers.get_list("set-cookie")
    assert re.fullmatch(rf"undial-{PORT}=[0-9a-f]{{32}}; Path=/; HttpOnly; SameSite=Lax", cookie)


def test_a_cookie_that_is_none_of_ours_is_replaced(client: Cook) -> None:
    for value in ("", "x", "0" * 31, "0" * 33, "Z" * 32, "'" * 32):
        answer = client.get("/key", headers={"Cookie": f"undial-{PORT}={value}"})
        assert f"undial-{PORT}=" in answer.headers["set-cookie"]


# ---------------------------------------------------------------- what an answer may do in the browser


EVERYWHERE = ["/", "/key", "/folder", "/judgement", "/cooker", "/nothing", "/assets/undial.css", "/api/openapi.json"]


@pytest.mark.parametrize("path", EVERYWHERE)
def test_every_answer_is_bound_by_the_policy(visited: Cook, path: str) -> None:
    for answer in (
        visited.get(path),
        visited.get(path, headers={"Host": "recipes.example"}),
        visited.post(path, data={"token": "x"}),
        visited.put(path),
    ):
        policy = dict(part.split(" ", 1) for part in answer.headers["content-security-policy"].split("; "))
        assert policy["default-src"] == "'none'"
        assert policy["frame-ancestors"] == "'none'"
        assert policy["base-uri"] == "'none'"
        assert policy["form-action"] == "'self'"
        assert policy["script-src"] == policy["style-src"] == policy["connect-src"] == "'self'"
        assert "unsafe" not in str(policy)
        assert not re.search(r"https?:|\*", str(policy))
        assert answer.headers["x-frame-options"] == "DENY"
        assert answer.headers["x-content-type-options"] == "nosniff"
        assert answer.headers["cross-origin-resource-policy"] == "same-origin"
        assert answer.headers["cross-origin-opener-policy"] == "same-origin"
        assert answer.headers["referrer-policy"] == "same-origin"
        assert "server" not in answer.headers


# ---------------------------------------------------------------- how much is taken


def test_a_stated_length_that_is_too_much_is_refused_unread(client: Cook) -> None:
    for length in (str(MOST_BODY_BYTES + 1), "9" * 30, "99999999999999999999999999999999"):
        answer = client.post(
            "/recipes", content=b"x", headers={"Content-Length": length, "Content-Type": "multipart/form-data"}
        )
        assert answer.status_code == 413


@pytest.mark.parametrize(
    ("path", "kind", "most"),
    [
        ("/recipes", "multipart/form-data; boundary=x", MOST_BODY_BYTES),
        ("/recipes", "application/x-www-form-urlencoded", MOST_WORDS_BYTES),
        ("/api/convert", "application/json", MOST_WORDS_BYTES),
        ("/key", "application/x-www-form-urlencoded", MOST_KEY_BYTES),
        ("/key", "multipart/form-data; boundary=x", MOST_KEY_BYTES),
    ],
)
@pytest.mark.parametrize("stated", [None, "1", "-5", "many"])
def test_a_body_that_is_longer_than_stated_is_cut_off(
    client: Cook, path: str, kind: str, most: int, stated: str | None
) -> None:
    sent = 0

    def parts() -> Iterator[bytes]:
        nonlocal sent
        yield b"--x\r\nContent-Disposition: form-data; name=a; filename=a\r\n\r\n" if "multipart" in kind else b'"'
        while sent < most + 10_000_000:
            sent += 500_000
            yield b"a" * 500_000

    headers = {"Content-Type": kind} | ({} if stated is None else {"Content-Length": stated})
    answer = client.post(path, content=parts(), headers=headers)
    assert answer.status_code == 413
    assert "larger than any recipe" in answer.text
    assert answer.headers["connection"] == "close"


def test_forms_of_many_fields_are_refused(client: Cook) -> None:
    body = f"token={client.token}&" + "a=1&" * 5000
    answer = client.post("/recipes", content=body, headers={"Content-Type": "application/x-www-form-urlencoded"})
    assert answer.status_code == 400


@pytest.mark.parametrize(
    "body",
    [
        b"", b"--x", b"--x\r\n\r\n", b"--x\r\nContent-Disposition: form-data\r\n\r\na\r\n--x--\r\n", b"\0" * 100,
        b"--x\r\n" + b"a: b\r\n" * 10_000, b"--x\r\na: " + b"b" * 100_000,
        b'--x\r\nContent-Disposition: form-data; name="token"; filename="token"\r\n\r\na\r\n--x--\r\n',
    ],
    ids=range(8),
)  # fmt: skip
def test_broken_forms_are_refused_in_a_sentence(client: Cook, body: bytes) -> None:
    answer = client.post("/recipes", content=body, headers={"Content-Type": "multipart/form-data; boundary=x"})
    assert answer.status_code in (400, 403)
    assert "Traceback" not in answer.text


@pytest.mark.parametrize(
    "charset", ["punycode", "undefined", "unicode_escape", "utf-7", "utf-16", "idna", "rot13", "cp037", "latin-1", "x"]
)
def test_forms_in_other_encodings_are_refused_in_a_sentence(client: Cook, charset: str) -> None:
    """Python knows decoders that fail with errors of their own or make halves of characters."""
    fields = {"token": client.token, "text": BISCUITS + "\\ud800"}
    parts = [
        f'--x\r\nContent-Disposition: form-data; name="{name}"\r\n\r\n{value}\r\n' for name, value in fields.items()
    ]
    for kind in (
        f"multipart/form-data; charset={charset}; boundary=x",
        f'multipart/form-data; boundary=x; Charset="{charset}"',
    ):
        answer = client.post("/recipes", content="".join(parts).encode() + b"--x--\r\n", headers={"Content-Type": kind})
        assert answer.status_code == 400
        assert "cannot be read" in answer.text
    kind = "multipart/form-data; charset=UTF-8; boundary=x"
    assert client.post(
        "/recipes", content="".join(parts).encode() + b"--x--\r\n", headers={"Content-Type": kind}
    ).status_code == 200  # fmt: skip


# ---------------------------------------------------------------- paths


TRICKS = [
    "..%2f..%2f..%2fetc%2fpasswd", "%2e%2e%2f%2e%2e%2fetc%2fpasswd", "..%5c..%5cetc%5cpasswd", "%2fetc%2fpasswd",
    "x%00", "%00", "....%2f%2fetc%2fpasswd", "file:%2f%2f%2fetc%2fpasswd", "undial-ledger.sqlite", "recipes",
    "%ff%fe", "%ed%a0%80", "%0d%0aSet-Cookie:%20a=b", "a" * 3000, "-1", "0", "1e309", "NaN", "'%20or%201=1--",
    "%3Cscript%3Ealert(1)%3C%2Fscript%3E", "%E2%80%AEtxt.exe", "*", "%25", "__class__",
]  # fmt: skip
WITH_PART = [(method, path) for method, path in routes() if "{" in path]


@pytest.mark.parametrize("trick", TRICKS, ids=range(len(TRICKS)))
def test_no_part_of_an_address_opens_anything(visited: Cook, trick: str) -> None:
    token = visited.token
    assert WITH_PART
    for method, path in WITH_PART:
        more: dict[str, Any] = {} if method == "GET" else {"data": {"token": token, "answer": "keep", "kind": "keep"}}
        answer = visited.request(method, filled(path, trick), follow_redirects=False, **more)
        assert 300 <= answer.status_code < 500, (method, path)
        assert "root:" not in answer.text
        assert "Traceback" not in answer.text
        assert "<script>alert" not in answer.text
        assert "a" not in answer.cookies


@pytest.mark.parametrize(
    "path",
    [
        "/assets/../app.py", "/assets/..%2fapp.py", "/assets/%2e%2e/app.py", "/assets/..%5capp.py",
        "/assets//etc/passwd", "/assets/%2fetc%2fpasswd", "/assets/undial.css%00.html", "/assets/", "/assets",
        "/assets/" + "a" * 5000, "/../etc/passwd", "//etc/passwd", "/%2e%2e/%2e%2e/etc/passwd",
        "/templates/base.html", "/assets/../templates/base.html",
    ],
)  # fmt: skip
def test_no_file_but_an_asset_is_given_out(client: Cook, path: str) -> None:
    answer = client.get(path)
    assert answer.status_code == 404
    assert "There is nothing at this address." in answer.text


def test_queries_open_nothing(visited: Cook) -> None:
    for method, path in routes():
        if method != "GET" or "{" in path or "events" in path:
            continue
        for trick in TRICKS:
            names = ("row", "file", "path", "name", "words", "q", "zone", "page", "start", "cooker", "sample", "key")
            query = "&".join(f"{name}={trick[:1500]}" for name in names)
            answer = visited.get(f"{path}?{query}", follow_redirects=False)
            assert answer.status_code < 500, (path, trick)
            assert "root:" not in answer.text
            assert "<script>alert" not in answer.text
            assert "Set-Cookie" not in answer.headers.get("location", "")


# ---------------------------------------------------------------- when undial itself fails


@pytest.fixture
def failing(home: Path) -> Cook:
    """A page with routes that fail: as a page, under /api, and in the middle of an answer."""
    from starlette.responses import StreamingResponse

    app = build(Door(kept=home / "pasted.sqlite"))
    router = APIRouter()

    def broken() -> None:
        secret = "/home/nobody/secret"
        raise RuntimeError(f"no {secret}")

    router.add_api_route("/broken", broken)
    router.add_api_route("/api/broken", broken)

    def torn() -> StreamingResponse:
        def parts() -> Iterator[str]:
            yield "half"
            broken()

        return StreamingResponse(parts())

    router.add_api_route("/torn", torn)
    app.include_router(router)
    return Cook(app, base_url=OWN)


@pytest.mark.parametrize("path", ["/broken", "/api/broken"])
def test_a_failure_of_ours_is_a_sentence(failing: Cook, path: str, capsys: pytest.CaptureFixture[str]) -> None:
    answer = failing.get(path)
    assert answer.status_code == 500
    assert "undial itself failed (RuntimeError)" in answer.text
    assert "secret" not in answer.text
    assert "Traceback" not in answer.text
    assert ".py" not in answer.text
    assert answer.headers["content-security-policy"].startswith("default-src 'none'")
    assert answer.headers["content-type"].startswith("application/json" if "api" in path else "text/html")
    said = capsys.readouterr().err
    assert path in said
    assert "secret" not in said


def test_a_failure_in_the_middle_of_an_answer_ends_it(failing: Cook, capsys: pytest.CaptureFixture[str]) -> None:
    answer = failing.get("/torn")
    assert answer.text == "half"
    assert "RuntimeError" in capsys.readouterr().err


def test_who_looks_for_the_fault_gets_the_traceback_on_the_terminal(
    failing: Cook, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("UNDIAL_DEBUG", "1")
    assert "secret" not in failing.get("/broken").text
    assert "no /home/nobody/secret" in capsys.readouterr().err


def test_what_is_said_about_a_wrong_way_is_a_sentence(client: Cook) -> None:
    assert "There is nothing at this address." in client.get("/nothing").text
    assert "Nothing can be done this way" in client.put("/key").text
    assert client.put("/key").status_code == 405
