"""Hostile words through every page: markup, scripts, right-to-left marks, very long words; and what pages may hold."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path

import pytest

from converter.serve.door import Door
from tests.folder.cookery import converted
from tests.serve.doorstep import BAKE, BISCUITS, CHICKEN, Cook, cook, read_page, walk

SCRIPT = "<script>alert(1)</script>"
HOSTILE = {
    "script": SCRIPT,
    "handler": '"><img src=x onerror=alert(1)>',
    "quote": "'\" autofocus onfocus=alert(1) x='",
    "close": "</textarea></title></style></script><script>alert(1)</script>",
    "address": "[look](javascript:alert(1)) <a href='javascript:alert(1)'>look</a> https://recipes.example/x.js",
    "template": "{{ 7*7 }} {% include '/etc/passwd' %} ${7*7} <%= 7*7 %>",
    "comment": "<!-- --!> <![CDATA[ ]]> <?xml ?> <svg onload=alert(1)>",
    "entity": "&lt;script&gt;alert(1)&lt;/script&gt; &#60;b&#62;",
    "turned": "\u202etxet\u2066 desrever \u2069\u200f\u061c",
    "control": "a\x01b\x7fc\u2028d\ufeffe",
}


def hostile(words: str) -> str:
    """A recipe with `words` in its title, yield, parts, ingredients, steps and notes."""
    return f"""Pudding {words}

Serves 4 {words}

Ingredients {words}

- 200 g flour {words}
- 100 g butter {words}

Method

1. Heat the oven to 180°C {words}.
2. Melt the butter {words} in a pan over a medium heat.
3. Bake for 40 minutes {words} until golden, or 1 hour in a roasting tin {words}.

Notes

{words} keeps for two days.
"""


def pages_of(client: Cook, text: str) -> dict[str, str]:
    """Every page that a pasted recipe leads to, by its address."""
    answer = client.hand_in("/recipes", {"text": text, "cooker": "", "units": "both"})
    assert answer.status_code == 200
    path = answer.url.path
    assert path.startswith("/recipes/")
    found = {}
    for address, page in walk(client, path, "/", f"{path}/stove"):
        assert page.status_code == 200, address
        found[address] = page.text
    return found


@pytest.mark.parametrize("words", HOSTILE.values(), ids=HOSTILE)
def test_words_stay_words_on_every_page(client: Cook, words: str) -> None:
    pages = pages_of(client, hostile(words))
    assert len(pages) >= 8
    plain = set(pages_of(client, hostile("of ours")).values())
    tags = {tag for page in plain for tag in read_page(page).tags}
    drawn = 0
    for address, page in pages.items():
        if "/file/" in address and not address.endswith("/html"):
            continue
        read = read_page(page)
        # The file to keep is a page of its own: it brings its style and its own policy along.
        own = ("<style>", "style='", "within a script or style", "<meta http-equiv>") if "/file/" in address else ()
        assert [fault for fault in read.faults if not any(part in fault for part in own)] == [], address
        assert "script" not in read.tags or "/file/" not in address
        assert set(read.tags) <= tags, address
        assert "49" not in re.findall(r"\b49\b", "".join(read.words))
        drawn += "Melt the butter" in page
    assert drawn >= 5


@pytest.mark.parametrize("words", HOSTILE.values(), ids=HOSTILE)
def test_files_carry_hostile_words_as_data(client: Cook, words: str) -> None:
    pages = pages_of(client, hostile(words))
    (jsonld,) = [page for address, page in pages.items() if address.endswith("/file/jsonld")]
    assert json.loads(jsonld)["@type"] == "Recipe"


@pytest.mark.parametrize(
    "title",
    [
        "../../etc/passwd", "a\r\nSet-Cookie: x=y", 'a"; filename="b', "\u202egpj.exe", "ö" * 400, "con", ".hidden",
        "/", "\\",
    ],
)  # fmt: skip
def test_a_title_does_not_steer_the_name_of_a_file(client: Cook, title: str) -> None:
    answer = client.hand_in("/recipes", {"text": BISCUITS.replace("Oat biscuits", title), "units": "both"})
    assert answer.status_code == 200
    for form in ("markdown", "html", "jsonld"):
        saved = client.get(f"{answer.url.path}/file/{form}")
        assert saved.status_code == 200
        assert "set-cookie" not in saved.headers
        assert saved.headers["content-disposition"].startswith("attachment")
        names = re.findall(r"filename\*?=(?:UTF-8'')?\"?([^\";]*)", saved.headers["content-disposition"])
        assert names
        for name in names:
            assert not re.search(r"[/\\\r\n\u202e]|%2f|%5c|%0d|%0a|%E2%80%AE|^\.", name, re.IGNORECASE)
            assert len(name) < 250


def test_a_file_name_is_only_a_name(client: Cook) -> None:
    """What a browser calls an uploaded file opens nothing and is drawn as words."""
    for name in (
        "../../etc/passwd.txt",
        "/etc/passwd.txt",
        "<img src=x onerror=alert(1)>.txt",
        "\u202etxt.txt",
        "a.txt\0.html",
    ):
        answer = client.post(
            "/recipes",
            data={"token": client.token, "units": "both"},
            files={"file": (name, BISCUITS.encode(), "text/plain")},
        )
        assert answer.status_code in (200, 422)
        assert "root:" not in answer.text
        assert read_page(answer.text).faults == []


@pytest.mark.parametrize(
    "word", ["a" * 100_000, "<" * 100_000, "ß" * 100_000, "9" * 100_000, "°" * 50_000 + "C" * 50_000]
)
def test_a_word_of_a_hundred_thousand_letters_is_taken_or_refused_in_a_sentence(client: Cook, word: str) -> None:
    for text in (
        BISCUITS.replace("golden", word),
        BISCUITS.replace("Oat biscuits", word),
        BISCUITS.replace("200 g oats", word),
        word,
    ):
        answer = client.hand_in("/recipes", {"text": text, "units": "both"})
        assert answer.status_code in (200, 422)
        assert "undial itself failed" not in answer.text
        assert read_page(answer.text).faults == []


@pytest.mark.parametrize(
    "text", ["", " ", "\0", "\0\0" + BISCUITS, "\ud83d", "\r\n" * 1000, "1. \n" * 500, "No recipe."]
)
def test_what_is_no_recipe_is_refused_in_a_sentence(client: Cook, text: str) -> None:
    body = text.encode("utf-8", "surrogatepass")
    answer = client.post(
        "/recipes", files={"text": (None, body), "token": (None, client.token), "units": (None, "both")}
    )  # fmt: skip
    assert answer.status_code in (200, 422)
    assert "undial itself failed" not in answer.text


def test_every_page_holds_only_what_is_ours(family_client: Cook) -> None:
    """All pages, with a folder and a pasted recipe: no inline code, no outer address, every link leads somewhere."""
    client = family_client
    pasted = client.hand_in("/recipes", {"text": CHICKEN, "units": "both"}).url.path
    met = set()
    for path, page in walk(client, "/", pasted, "/key", "/cooker", "/cooker/sheet", "/nothing"):
        met.add(path)
        assert page.status_code == (404 if path == "/nothing" else 200), path
        if "/file/" in path:
            continue
        read = read_page(page.text)
        assert read.faults == [], path
        assert read.tags.count("h1") == 1, path
        for address in read.loads:
            assert address.startswith("/assets/")
            assert client.get(address).status_code == 200, address
    assert {"/", "/folder", "/judgement", "/cooker", f"{pasted}/sheet", f"{pasted}/stove"} <= met
    assert any(path.startswith("/folder/recipes/") for path in met)


def test_no_asset_names_an_outer_address() -> None:
    from converter.serve.views import HERE

    assets = list((HERE / "assets").iterdir())
    assert assets
    for asset in assets:
        words = asset.read_text(encoding="utf-8").replace("http://www.w3.org/2000/svg", "")
        assert not re.search(r"https?://|//[a-z]+\.[a-z]|@import|\beval\(|innerHTML|document\.write", words), asset.name


def test_a_browser_asks_for_an_asset_once(family_client: Cook) -> None:
    """What a page loads stands at an address of its content, and may be kept for good (RFC 8246, immutable)."""
    client = family_client
    for path in ("/", "/folder", "/cooker", "/cooker/sheet"):
        loads = set(read_page(client.get(path).text).loads)
        assert loads
        for address in loads:
            assert client.get(address).headers["cache-control"] == "public, max-age=31536000, immutable", address
            plain = "/assets/" + address.rpartition("/")[2]
            assert client.get(plain).headers["cache-control"] == "no-cache", plain
            assert client.get(plain).content == client.get(address).content
        assert client.get(path).headers["cache-control"] == "no-store"
    missing = client.get(next(iter(loads)) + "x")
    assert (missing.status_code, missing.headers["cache-control"]) == (404, "no-store")


def test_the_address_of_the_assets_follows_their_content(tmp_path: Path) -> None:
    from converter.serve.views import HERE, address_of, assets

    copy = tmp_path / "assets"
    shutil.copytree(HERE / "assets", copy)
    assert address_of(copy) == assets()
    (copy / "recipe.css").write_text("p { color: red }", encoding="utf-8")
    assert address_of(copy) != assets()


def test_hostile_words_in_a_folder_stay_words(home: Path, tmp_path: Path) -> None:
    """Names of files and folders, titles and steps of a family's folder, on the pages of folder and judgement."""
    src, dest = tmp_path / "recipes", tmp_path / "converted"
    (src / "<b onclick=alert(1)>").mkdir(parents=True)
    for number, words in enumerate(HOSTILE.values()):
        (src / "<b onclick=alert(1)>" / f"card {number} <img src=x onerror=alert(1)>.txt").write_text(
            hostile(words), encoding="utf-8"
        )
    (src / "lost <script>alert(1)<.txt").write_text("nothing to cook", encoding="utf-8")
    converted(src, dest)
    client = cook(Door(kept=home / "pasted.sqlite", folder=dest))
    met = 0
    for path, page in walk(client, "/folder", "/judgement", "/judgement/lines", most=120):
        assert page.status_code == 200, path
        if "/file/" not in path:
            assert read_page(page.text).faults == [], path
        met += 1
    assert met > 20


TURNS = "[\u202a-\u202e\u2066-\u2069]"


def test_nothing_on_a_page_turns_the_words_beside_it(home: Path, tmp_path: Path) -> None:
    """Names of files, titles, own words, who decides, what is looked for: with signs that turn and that hide."""
    src, dest = tmp_path / "recipes", tmp_path / "converted"
    src.mkdir()
    (src / "plum\u202etrap\u200b.txt").write_text(BAKE.replace("Leek", "Leek \u202eno."), encoding="utf-8")
    (src / "lost\u2067.txt").write_text("nothing to cook", encoding="utf-8")
    converted(src, dest)
    client = cook(Door(kept=home / "pasted.sqlite", folder=dest))
    (key, *_) = re.findall(r"/judgement/([0-9a-f.]{27})", client.get("/judgement").text)
    client.hand_in("/judgement/who", {"who": "Ann\u202ea"})
    assert client.hand_in(f"/judgement/{key}", {"answer": "words", "words": "as \u202egran did"}).status_code == 200
    sent = {"token": client.token, "units": "both"}
    for name, text in (("pie\u202epans.txt", BISCUITS.partition("\n")[2]), ("tart\u2067.txt", "no recipe")):
        page = client.post("/recipes", data=sent, files={"file": (name, text.encode(), "text/plain")})
        assert not re.search(TURNS, page.text)
    met, words = 0, ""
    looked = "/folder?find=%E2%80%AEleek", "/judgement?find=%E2%80%AEnone", f"/judgement/{key}"
    for path, page in walk(client, "/", "/folder", "/judgement", "/judgement/lines", *looked, most=60):
        if "/file/" in path:  # the cook's own words, as they were written
            continue
        assert not re.search(TURNS, page.text), path
        met += 1
        words += page.text
    assert met > 12
    for part in ("plum\ufffdtrap\ufffd.txt", "lost\ufffd.txt", "as gran did", "Ann a", "leek"):
        assert part in words


def test_pages_are_small(family_client: Cook) -> None:
    """A page with all that it loads has at most 100 KB, so that an old tablet draws it at once."""
    client = family_client
    pasted = client.hand_in("/recipes", {"text": CHICKEN, "units": "both"}).url.path
    sizes: dict[str, int] = {}
    for path, page in walk(client, "/", pasted, most=60):
        if "/file/" in path:
            continue
        loads = set(read_page(page.text).loads)
        loads |= {f"/assets/{name}" for load in loads for name in imported(client.get(load).text)}
        sizes[path] = len(page.content) + sum(len(client.get(load).content) for load in loads)
    assert len(sizes) > 8
    assert {path: size for path, size in sizes.items() if size > 100_000} == {}


def imported(script: str) -> list[str]:
    return re.findall(r"from \"(?:/assets/|\./)([\w.-]+)\"", script)


def test_the_pictures_of_the_readme_are_there_and_small() -> None:
    root = Path(__file__).resolve().parent.parent.parent
    named = re.findall(r"!\[([^\]]*)\]\(([^)]*)\)", (root / "README.md").read_text(encoding="utf-8"))
    assert len(named) >= 4
    assert all(len(words) > 20 for words, _ in named)
    assert sum((root / path).stat().st_size for _, path in named) < 300_000
