"""What other programs may ask the page: the answers, the description, and that the description holds."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import schemathesis
from hypothesis import HealthCheck, given, settings
from schemathesis import GenerationMode
from schemathesis.specs.openapi.checks import positive_data_acceptance

from converter.place import cookers
from converter.serve.app import build
from converter.serve.door import Door
from converter.write import record
from tests.serve.doorstep import BAKE, BEANS, CHICKEN, Cook

ADDRESS = "http://127.0.0.1:8437"


def test_convert_answers_what_the_command_prints(client: Cook) -> None:
    reply = client.post("/api/convert", json={"text": CHICKEN, "cooker": "two-oven", "units": "c"})
    assert reply.status_code == 200
    assert reply.headers["content-type"] == "application/json"
    told = reply.json()
    jsonschema.validate(told, record.schema())
    assert told["cooker"] == "two-oven"
    assert {move["zone"] for placed in told["placements"] for move in placed["moves"]} <= cookers.load("two-oven").kinds
    assert any(flag["level"] == "caution" or flag["name"] == "poultry-core" for flag in told["flags"])
    assert "°F" not in json.dumps(told["header"], ensure_ascii=False)


def test_the_default_cooker_is_the_households(client: Cook) -> None:
    cookers.remember("three-oven")
    assert client.post("/api/convert", json={"text": CHICKEN}).json()["cooker"] == "three-oven"
    found = client.get("/api/cookers").json()
    assert [one["name"] for one in found if one["default"]] == ["three-oven"]
    assert [one["name"] for one in found] == list(cookers.builtin())


def test_a_cooker_of_its_own_is_offered_without_its_path(client: Cook, tmp_path: Path) -> None:
    profile = tmp_path / "kitchen of our own.yaml"
    profile.write_text(cookers.builtin_path("four-oven").read_text(encoding="utf-8").replace("four-oven", "old iron"))
    cookers.remember(profile)
    found = client.get("/api/cookers")
    assert found.json()[0] == {**found.json()[0], "name": "own", "words": "old iron", "default": True}
    assert str(tmp_path) not in found.text
    reply = client.post("/api/convert", json={"text": CHICKEN, "cooker": "own"})
    assert reply.json()["cooker"] == "old iron"
    profile.unlink()
    gone = client.post("/api/convert", json={"text": CHICKEN})
    assert gone.status_code == 409
    assert "gone" in gone.json()["detail"]


def test_a_path_is_no_cooker(client: Cook, tmp_path: Path) -> None:
    profile = tmp_path / "mine.yaml"
    profile.write_text(cookers.builtin_path("four-oven").read_text(encoding="utf-8"))
    for name in (str(profile)[-40:], "../rules/cookers/four-oven.yaml", "/etc/passwd", "own"):
        reply = client.post("/api/convert", json={"text": CHICKEN, "cooker": name})
        if name == "own":  # the household has a built-in one, so that is its own
            assert reply.json()["cooker"] == "four-oven"
        else:
            assert reply.status_code == 422
            assert reply.json()["detail"].startswith("There is no cooker of this name")


@pytest.mark.parametrize(
    ("body", "status", "words"),
    [
        ({"text": "good morning"}, 422, "not a recipe"),
        ({"text": "  \n "}, 422, "empty"),
        ({"text": "x" * 6_000 + "\n\nBake at 180°C for 20 minutes."}, 422, "5,000 signs"),
        ({"text": "Bake it for 5 minutes.\n" * 20_000}, 422, "60000"),
        ({"text": "Bake.", "units": "k"}, 422, "'units'"),
        ({"text": "Bake.", "path": "/etc/passwd"}, 422, "'path'"),
        ({"text": 7}, 422, "'text'"),
        ({}, 422, "'text'"),
        ([], 422, ""),
    ],
)
def test_what_is_no_recipe_is_told_in_one_sentence(client: Cook, body: Any, status: int, words: str) -> None:
    reply = client.post("/api/convert", json=body)
    assert reply.status_code == status
    assert set(reply.json()) == {"detail"}
    assert words in reply.json()["detail"]
    assert reply.json()["detail"].endswith(".")
    assert "\n" not in reply.json()["detail"]


@pytest.mark.parametrize("kind", ["text/plain", "application/x-www-form-urlencoded", "multipart/form-data", ""])
def test_only_json_is_read(client: Cook, kind: str) -> None:
    reply = client.post("/api/convert", content=json.dumps({"text": CHICKEN}), headers={"Content-Type": kind})
    assert reply.status_code == 415


def test_another_site_is_refused(client: Cook) -> None:
    for headers in ({"Origin": "http://example.org"}, {"Sec-Fetch-Site": "cross-site"}):
        assert client.post("/api/convert", json={"text": CHICKEN}, headers=headers).status_code == 403
    assert client.post("/api/convert", json={"text": CHICKEN}, headers={"Host": "example.org"}).status_code == 421


def test_a_body_beyond_all_recipes_is_refused(client: Cook) -> None:
    assert client.post("/api/convert", json={"text": "x" * 22_000_000}).status_code == 413


def test_a_flag_is_explained_as_by_the_command(client: Cook) -> None:
    found = client.get("/api/flags/two-stays").json()
    assert found["level"] == "judgement"
    assert "finishes in the cooler" in found["explanation"]
    assert client.get("/api/flags/no-such-flag").status_code == 404
    assert client.get("/api/flags/..%2f..%2fetc").status_code in (404, 422)


@pytest.mark.parametrize("text", [CHICKEN, BAKE, BEANS], ids=["chicken", "bake", "beans"])
@pytest.mark.parametrize("units", ["c", "f", "both"])
def test_a_converted_recipe_is_as_described(client: Cook, text: str, units: str) -> None:
    case = _DESCRIBED["/api/convert"]["POST"].Case(body={"text": text, "units": units}, media_type="application/json")
    reply = client.post("/api/convert", json=case.body)
    assert reply.status_code == 200
    case.validate_response(reply)
    described = client.get("/api/openapi.json").json()["paths"]["/api/convert"]["post"]["responses"]["200"]
    schema = described["content"]["application/json"]["schema"]
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.validate(reply.json(), schema)
    wrong = reply.json()
    wrong["header"]["lid_up_minutes"].append(1)
    assert not jsonschema.Draft202012Validator(schema).is_valid(wrong)


def test_only_what_is_under_api_is_described(client: Cook) -> None:
    described = client.get("/api/openapi.json").json()
    assert set(described["paths"]) == {"/api/convert", "/api/cookers", "/api/flags/{name}"}
    assert "$defs" not in json.dumps(described["paths"])


# ---------------------------------------------------------------- the description holds

_DESCRIBED = schemathesis.openapi.from_dict(build(Door()).openapi())
_QUIET = settings(
    max_examples=40,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow, HealthCheck.filter_too_much],
)


@pytest.mark.parametrize(
    ("path", "method", "mode"),
    [
        ("/api/convert", "POST", GenerationMode.POSITIVE),
        ("/api/convert", "POST", GenerationMode.NEGATIVE),
        ("/api/flags/{name}", "GET", GenerationMode.POSITIVE),
        ("/api/flags/{name}", "GET", GenerationMode.NEGATIVE),
        ("/api/cookers", "GET", GenerationMode.POSITIVE),  # it takes nothing that could be wrong
    ],
)
def test_answers_are_as_described(client: Cook, path: str, method: str, mode: GenerationMode) -> None:
    operation = _DESCRIBED[path][method]
    seen: list[int] = []

    @_QUIET
    @given(case=operation.as_strategy(generation_mode=mode))
    def ask(case: Any) -> None:
        sent = case.as_transport_kwargs(base_url=ADDRESS)
        sent.pop("cookies", None)
        reply = client.request(**{name: value for name, value in sent.items() if name != "allow_redirects"})
        seen.append(reply.status_code)
        # No schema can say what a recipe is: text of the right shape may still be none.
        case.validate_response(reply, excluded_checks=[positive_data_acceptance] if path == "/api/convert" else None)

    ask()
    assert len(seen) >= 1
    assert all(status < 500 for status in seen)
