"""The door that is open to the house: who comes in, and by what."""

from __future__ import annotations

import re
import threading
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from converter.serve.app import build
from converter.serve.door import Door
from converter.serve.house import MOST_TRIES, PAUSE_SECONDS, SHUT_SECONDS, House, TooSoon
from tests.serve.doorstep import Cook

TABLET = ("192.168.1.40", 50_000)
COOKIE = "undial-8437-house"


class Hall:
    """A page that is open to the house, its clock, and the keys that its screen has shown."""

    def __init__(self, kept: Path) -> None:
        self.keys: list[str] = []
        self.seconds = 100.0
        self.house = House(open_to_house=True, told=self.keys.append, clock=lambda: self.seconds)
        self.house.show()
        self.app = build(Door(address="192.168.1.20", house=True, kept=kept), house=self.house)

    def device(self, client: tuple[str, int] = TABLET, host: str = "192.168.1.20:8437") -> Cook:
        return Cook(self.app, base_url=f"http://{host}", client=client)

    def offer(self, device: Cook, key: str) -> int:
        self.seconds += PAUSE_SECONDS
        return int(device.hand_in("/key", {"key": key}, follow_redirects=False).status_code)


def is_in(device: Cook) -> bool:
    """Whether a device sees more than the page that asks for the key."""
    answer = device.get("/judgement", follow_redirects=False)
    return answer.headers.get("location") != "/key" and answer.status_code != 401


@pytest.fixture
def hall(home: Path) -> Hall:
    return Hall(home / "pasted.sqlite")


def test_a_key_is_easily_read_aloud(hall: Hall) -> None:
    assert re.fullmatch(r"[2-9a-hjkmnp-z]{4}-[2-9a-hjkmnp-z]{4}", hall.keys[-1])


@pytest.mark.parametrize(
    "path", ["/", "/folder", "/judgement", "/cooker", "/recipes/x", "/nothing", "/keyhole", "/key/"]
)
def test_a_device_without_a_key_is_led_to_the_key(hall: Hall, path: str) -> None:
    device = hall.device()
    for answer in (device.get(path, follow_redirects=False), device.hand_in(path, follow_redirects=False)):
        assert (answer.status_code, answer.headers["location"]) == (303, "/key")
    assert "The key" in device.get(path).text


def test_programs_without_a_key_are_refused(hall: Hall) -> None:
    for path in ("/api/openapi.json", "/api/convert"):
        assert hall.device().get(path, follow_redirects=False).status_code == 401


def test_the_key_lets_one_device_in_and_works_once(hall: Hall) -> None:
    key = hall.keys[-1]
    device = hall.device()
    assert hall.offer(device, key) == 303
    assert is_in(device)
    assert hall.keys[-1] != key
    other = hall.device(("192.168.1.41", 50_000))
    assert hall.offer(other, key) == 403
    assert not is_in(other)
    assert hall.offer(other, hall.keys[-1].upper().replace("-", " ")) == 303
    assert is_in(other)


def test_ten_wrong_keys_change_the_key(hall: Hall) -> None:
    key = hall.keys[-1]
    device = hall.device()
    for _ in range(MOST_TRIES - 1):
        assert hall.offer(device, "aaaa-aaaa") == 403
    assert hall.keys == [key]
    assert hall.offer(device, "aaaa-aaaa") == 403
    assert len(hall.keys) == 2
    assert hall.offer(device, hall.keys[-1]) == 429
    hall.seconds += SHUT_SECONDS
    assert hall.offer(device, key) == 403
    assert hall.offer(device, hall.keys[-1]) == 303


def test_who_guesses_keeps_nobody_else_out(hall: Hall) -> None:
    """A machine that offers a wrong key every second neither holds up the others nor changes the key under them."""
    guest, tablet = hall.device(("192.168.1.66", 50_000)), hall.device()
    for _ in range(MOST_TRIES):
        assert hall.offer(guest, "aaaa-aaaa") == 403
    key = hall.keys[-1]
    for _ in range(30):
        assert hall.offer(guest, "aaaa-aaaa") == 429
    assert "10 minutes" in guest.hand_in("/key", {"key": "aaaa-aaaa"}).text
    assert hall.keys[-1] == key
    assert hall.offer(tablet, key) == 303
    assert is_in(tablet)


def test_two_devices_with_one_key_at_once_let_one_in(hall: Hall) -> None:
    """Forty at the same moment, from as many addresses."""
    key, came, ready = hall.keys[-1], [], threading.Barrier(40)

    def come(number: int) -> None:
        ready.wait()
        came.append(hall.house.enter(key, f"192.168.1.{number}"))

    threads = [threading.Thread(target=come, args=(number,)) for number in range(40)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(came) == 40
    assert sum(one is not None for one in came) == 1
    assert len(hall.keys) == 2


def test_two_pages_of_one_machine_keep_their_devices_apart(hall: Hall, home: Path) -> None:
    """Cookies do not tell ports apart: a tablet that is let in at a second page stays in at the first."""
    device = hall.device()
    assert hall.offer(device, hall.keys[-1]) == 303
    second = House(open_to_house=True)
    app = build(Door(port=8438, address="192.168.1.20", house=True, kept=home / "pasted.sqlite"), house=second)
    other = Cook(app, base_url="http://192.168.1.20:8438", client=TABLET)
    assert other.hand_in("/key", {"key": second._key}, follow_redirects=False).status_code == 303
    device.cookies.update(other.cookies)
    assert is_in(device)
    other.cookies.update(device.cookies)
    assert is_in(other)


def test_a_key_right_after_a_wrong_one_is_not_looked_at(hall: Hall) -> None:
    device = hall.device()
    assert hall.offer(device, "aaaa-aaaa") == 403
    answer = device.hand_in("/key", {"key": hall.keys[-1]}, follow_redirects=False)
    assert answer.status_code == 429
    assert "Wait a second" in answer.text
    assert not is_in(device)
    with pytest.raises(TooSoon):
        hall.house.enter(hall.keys[-1], TABLET[0])
    hall.seconds += PAUSE_SECONDS
    assert hall.house.enter(hall.keys[-1], TABLET[0])


@pytest.mark.parametrize("key", ["", " ", "-", "0", "ſ" * 8, "\ud800" * 8, "ａａａａａａａａ", "x" * 40])
def test_what_is_no_key_opens_nothing(hall: Hall, key: str) -> None:
    assert hall.house.enter(key) is None


@pytest.mark.parametrize("value", ["", "x", "None", "a" * 32, "..", "%00"])
def test_a_made_up_cookie_opens_nothing(hall: Hall, value: str) -> None:
    answer = hall.device().get("/", headers={"Cookie": f"{COOKIE}={value}"}, follow_redirects=False)
    assert answer.status_code == 303


@pytest.mark.parametrize(
    "header", ["X-Forwarded-For", "Forwarded", "X-Real-IP", "X-Client-IP", "Client-IP", "True-Client-IP", "Via"]
)
def test_no_header_makes_a_device_this_machine(hall: Hall, header: str) -> None:
    for value in ("127.0.0.1", "for=127.0.0.1", "::1", "localhost"):
        assert hall.device().get("/", headers={header: value}, follow_redirects=False).status_code == 303


@pytest.mark.parametrize("host", ["127.0.0.1:8437", "localhost:8437", "192.168.1.20:8437"])
def test_no_name_makes_a_device_this_machine(hall: Hall, host: str) -> None:
    assert hall.device(host=host).get("/", follow_redirects=False).status_code == 303


@pytest.mark.parametrize("client", ["127.0.0.1", "127.8.8.8", "::1"])
def test_this_machine_needs_no_key(hall: Hall, client: str) -> None:
    assert is_in(hall.device((client, 50_000), host="127.0.0.1:8437"))


@pytest.mark.parametrize("client", ["0.0.0.0", "10.0.0.1", "fd00::7", "fe80::1%eth0", "localhost", "", "128.0.0.1"])
def test_every_other_machine_needs_one(hall: Hall, client: str) -> None:
    assert hall.device((client, 50_000)).get("/", follow_redirects=False).status_code == 303


def test_a_client_of_no_address_needs_one(hall: Hall) -> None:
    plain = TestClient(hall.app, base_url="http://192.168.1.20:8437")
    assert plain.get("/", follow_redirects=False).status_code == 303


def test_foreign_names_are_not_answered_in_the_house_either(hall: Hall) -> None:
    assert hall.device(host="recipes.example:8437").get("/key").status_code == 421
    assert hall.device(host="192.168.1.21:8437").get("/key").status_code == 421


def test_another_site_cannot_try_keys_from_the_tablet(hall: Hall) -> None:
    device = hall.device()
    fields = {"token": device.token, "key": hall.keys[-1]}
    answer = device.post("/key", data=fields, headers={"Origin": "http://recipes.example"}, follow_redirects=False)
    assert answer.status_code == 403
    assert COOKIE not in answer.cookies
    assert device.post("/key", data={"key": hall.keys[-1]}, follow_redirects=False).status_code == 403
    assert len(hall.keys) == 1


def test_the_cookie_of_a_device_is_out_of_reach_of_scripts(hall: Hall) -> None:
    device = hall.device()
    answer = device.hand_in("/key", {"key": hall.keys[-1]}, follow_redirects=False)
    (cookie,) = [value for value in answer.headers.get_list("set-cookie") if value.startswith(COOKIE)]
    assert "HttpOnly" in cookie
    assert "samesite=lax" in cookie.lower()


def test_a_closed_door_has_no_key() -> None:
    told: list[str] = []
    house = House(open_to_house=False, told=told.append)
    assert house.enter("") is None
    assert told == []


def test_a_door_to_the_house_is_never_open_by_accident() -> None:
    with pytest.raises(ValueError, match="needs the house door"):
        Door(address="192.168.1.20")
    assert not Door().house
