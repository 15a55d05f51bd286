"""Finds the words of the trade in a method: verbs, vessels, appliances.

A blank English spaCy pipeline with one component of ours, ``undial_words``,
registered as a factory. Lists come from lexicon/methods.yaml and
lexicon/vessels.yaml. Longest match wins; guards ("baking powder") win over
what they contain.
"""

from __future__ import annotations

import re
from functools import cache
from typing import Any, NamedTuple

import spacy
from spacy.language import Language
from spacy.matcher import PhraseMatcher
from spacy.tokens import Doc

from converter.data import DataError, lexicon
from converter.model import APPLIANCES, ENVIRONMENTS, METHODS

_TOKENS = re.compile(r"-|[^\s-]+?(?=['’]s\b)|['’]s|[^\s-]+")
_ENDLESS = re.compile(r"\S{200,}")
_BULLETS = str.maketrans("*#", ",,")  # "*Simmer" is one token otherwise
ACTS = (
    "put", "add", "turn", "out", "off", "cover", "uncover", "more", "less", "back", "begin", "preheat", "cool", "mix",
    "cut", "serve",
)  # fmt: skip
VESSEL_KINDS = ("hob", "oven", "either", "cold")


class Word(NamedTuple):
    """What a word of the lexicon means.

    ``kind`` is heat, act, vessel, appliance or guard; ``key`` the method, the
    act, the vessel's kind or the appliance; ``form`` base, ing or ed.
    """

    kind: str
    key: str
    form: str
    environment: str = ""
    general: bool = False
    needs: str = ""
    lemma: str = ""


class Hit(NamedTuple):
    """A word of the lexicon in the text: characters, tokens, meaning."""

    start: int
    end: int
    first: int
    last: int
    word: Word


def _forms(verb: str) -> dict[str, str]:
    """Return the forms of a regular verb by name of the form; the first word is the one that changes."""
    head, _, tail = verb.partition(" ")
    rest = f" {tail}" if tail else ""
    if head.endswith("e") and not head.endswith("ee"):
        ing, past = head[:-1] + "ing", head + "d"
    elif head.endswith("y") and head[-2] not in "aeiou":
        ing, past = head + "ing", head[:-1] + "ied"
    elif len(head) > 2 and head[-1] in "bdgmnprt" and head[-2] in "aeiou" and head[-3] not in "aeiou" and len(head) < 5:
        ing, past = head + head[-1] + "ing", head + head[-1] + "ed"
    else:
        ing, past = head + "ing", head + "ed"
    return {head + rest: "base", ing + rest: "ing", past + rest: "ed"}


def _form_of(word: str) -> str:
    head = word.split(" ")[0]
    if head in ("bring", "spring"):
        return "base"
    if word.endswith("ing") or head.endswith("ing"):
        return "ing"
    return "ed" if word.endswith(("ed", "éed")) or head.endswith("ed") else "base"


def _plural(noun: str) -> str:
    if noun.endswith(("s", "sh", "ch", "x")):
        return noun + "es"
    if noun.endswith("y") and noun[-2] not in "aeiou":
        return noun[:-1] + "ies"
    return noun + "s"


@cache
def entries() -> dict[str, Word]:
    """Return every phrase of the two lists, in lower case, with its meaning.

    Raises ``DataError`` for a method, environment, act or appliance that
    GLOSSARY does not know.
    """
    out: dict[str, Word] = {}
    _verbs(out)
    _nouns(out)
    for noun, key in (("oven", "oven"), ("grill", "grill"), ("broiler", "grill"), ("salamander", "grill")):
        for text in (noun, noun + "s"):
            out.setdefault(text, Word("place", key, "base", lemma=noun))
    return out


def _verbs(out: dict[str, Word]) -> None:
    methods = lexicon("methods")
    for verb, item in methods["heat"].items():
        method, environment = item["method"], item["environment"]
        if method not in METHODS and method not in APPLIANCES:
            raise DataError(item.where, f"unknown method '{method}'")
        if environment not in ENVIRONMENTS and environment != "any":
            raise DataError(item.where, f"unknown environment '{environment}'")
        forms = {verb: "base"} if "forms" in item else _forms(verb)
        for form in item.get("forms", ()):
            forms[form] = _form_of(form)
        for text, form in forms.items():
            out[text] = Word(
                "heat", method, form, environment, bool(item.get("general")), item.get("needs", ""), verb
            )  # fmt: skip
    for act, words in methods["acts"].items():
        if act not in ACTS:
            raise DataError(methods["acts"].at(act), f"unknown act '{act}'; allowed are {', '.join(ACTS)}")
        for text in words:
            out.setdefault(text, Word("act", act, _form_of(text), lemma=text))


def _nouns(out: dict[str, Word]) -> None:
    vessels = lexicon("vessels")
    lists = [("vessel", kind, vessels[kind]) for kind in VESSEL_KINDS]
    for appliance, nouns in vessels["appliances"].items():
        if appliance not in APPLIANCES:
            raise DataError(vessels["appliances"].at(appliance), f"unknown appliance '{appliance}'")
        lists.append(("appliance", appliance, nouns))
    lists.append(("guard", "guard", vessels["guards"]))
    for kind, key, nouns in lists:
        for noun in nouns:
            for text in (noun, _plural(noun)):
                out[text] = Word(kind, key, "base", lemma=noun)


class WordFinder:
    """Pipeline component: leaves the hits, in order and free of overlaps, in ``doc.user_data['undial']``.

    ``doc.user_data['undial_tokens']`` holds the tokens in lower case and their offsets.
    """

    def __init__(self, nlp: Language) -> None:
        self.matcher = PhraseMatcher(nlp.vocab, attr="LOWER")
        self.words: dict[int, Word] = {}
        self.single: dict[int, Word] = {}
        for text, word in entries().items():
            tokens = _TOKENS.findall(text)
            if len(tokens) == 1:
                self.single[nlp.vocab.strings.add(text)] = word
            else:
                # cut here as the tokenizer cuts it: by spaces and by hyphens between letters
                self.matcher.add(text, [Doc(nlp.vocab, words=tokens)])
                self.words[nlp.vocab.strings[text]] = word

    def __call__(self, doc: Doc) -> Doc:
        from spacy.attrs import IDX, LENGTH, LOWER

        grid = doc.to_array([LOWER, IDX, LENGTH]).tolist()
        text = doc.text
        low = text.lower()
        if len(low) != len(text):
            low = "".join(c.lower() if len(c.lower()) == 1 else c for c in text)
        doc.user_data["undial_tokens"] = (
            [low[start : start + length] for _, start, length in grid],
            [start for _, start, _ in grid],
        )
        hits: list[Hit] = []
        taken: dict[int, int] = {}
        found = self.matcher(doc)
        if found:
            for key, first, last in sorted(found, key=lambda m: (m[1] - m[2], m[1])):
                if any(n in taken for n in range(first, last)):
                    continue
                for n in range(first, last):
                    taken[n] = last
                end = grid[last - 1][1] + grid[last - 1][2]
                hits.append(Hit(grid[first][1], end, first, last, self.words[key]))
        single = self.single
        for n, (lower, idx, length) in enumerate(grid):
            word = single.get(lower)
            if word is not None and n not in taken:
                hits.append(Hit(idx, idx + length, n, n + 1, word))
        hits.sort()
        doc.user_data["undial"] = hits
        return doc


@Language.factory("undial_words")
def make_word_finder(nlp: Language, name: str) -> WordFinder:
    """Build the component; `name` is spaCy's own argument."""
    return WordFinder(nlp)


@cache
def pipeline() -> Language:
    """Return the blank English pipeline with our component, built once."""
    nlp = spacy.blank("en")
    nlp.add_pipe("undial_words")
    return nlp


def hits(text: str) -> tuple[Doc, list[Hit]]:
    """Return the tokens of `text` and the words of the trade in it."""
    nlp: Any = pipeline()
    if "*" in text or "#" in text:
        text = text.translate(_BULLETS)
    # the tokenizer's time grows with the square of a word's length; no word of a recipe is this long
    doc = nlp(_ENDLESS.sub(lambda run: " " * len(run[0]), text) if len(text) > 200 else text)
    return doc, doc.user_data["undial"]
