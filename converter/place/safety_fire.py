"""Fire, burns, smoke and bursting: fat, sugar, spirit, charcoal, plastic, closed tins."""

from __future__ import annotations

import re

from converter.place.safety_raw import Hit
from converter.place.safety_table import Late, pattern, singles
from converter.place.safety_text import Piece, View, temperatures

_DEEP = Late(
    r"\bdeep[- ]?fat\b|\bdeep[- ]?fr(?:y|ied|ies|ying|yer)\b(?![- ]?pan)(?!\s+(?:shallots?|onions?"
    r"|tofu puffs?|garlic|wok))|(?<!air )(?<!air-)\b(?:in|into|the|a|your|electric) fryer\b(?! chicken)"
    r"|\boil (?:for|to) deep\b|\bhalf[- ]fill\w*\b[^.]{0,30}\boil\b"
    r"|(?<!½ )(?<!1/2 )(?<!¼ )(?<!1/4 )(?<!half )(?<!half an )\b(?:inch(?:es)?|cm|centimet\w+"
    r"|in\.)\s+(?:deep\s+)?(?:of\s+)?(?:\w+\s+)?(?:oil|fat|lard|shortening)\b"
    r"|\boil\b[^.]{0,25}\b(?:inch(?:es)?|cm) deep\b|\benough oil to (?:cover|submerge|float|come)\b"
    r"|\bin deep (?:hot )?(?:oil|fat)\b|\bdeep (?:hot )?oil\b"
)
_DEEP_WORDS = frozenset({
    "deep", "deepfry", "fryer", "half", "inch", "inches", "cm", "centimetres", "centimeters", "in", "enough",
})  # fmt: skip
_NOT_DEEP = Late(r"\b(?:not|don't|never|instead of|rather than|without|no need to|avoid)\b[^.]{0,20}$")
_OIL = Late(r"\b(?:oil|fat|lard|shortening|ghee|tallow|dripping)\b")
_FRY = Late(r"\bfr(?:y|ied|ying)\b|\bhot oil\b|\bheat\b")
_ALONE = Late(
    r"\bheat\w*\s+(?:up\s+)?(?:\d\S*\s+|about\s+|some\s+|the\s+|a\s+|little\s+|of\s+|enough\s+|tbsp\.?\s+"
    r"|tablespoons?\s+|cups?\s+|tsp\.?\s+|remaining\s+|olive\s+|vegetable\s+|cooking\s+|peanut\s+"
    r"|sunflower\s+|canola\s+|sesame\s+|neutral\s+){0,6}(?:oil|ghee|lard)\b"
)
_HOT_PAN = Late(r"\bheat\w*\b|\bhigh heat\b|\bhot plate\b")
_SMOKING = Late(
    r"\b(?:until|till|when|is|it|once|just|begins to|starts to|almost|nearly)\b[^.]{0,25}\bsmok(?:e|es"
    r"|ing)(?: hot| point)?\b|\bsmoking[- ]hot\b|\bsmoke point\b"
)
_NO_SMOKE = Late(r"\b(?:not|don't|never|before|without|avoid|below|too hot|if)\b")
_MEANWHILE = Late(
    r"\b(?:while|as)\b[^.]{0,20}\b(?:oil|fat|lard|ghee)\b[^.]{0,15}\b(?:heats?|is heating|is getting|warms?"
    r"|is warming|gets|comes|heating)\b|\boil\b[^.]{0,60}\bwhile it (?:heats|warms|is heating|gets hot)\b"
)
_WATER_FAT = Late(
    r"\b(?:add|pour|splash|sprinkle|throw|put|tip|drop)\w*\s+(?:the\s+|a\s+|some\s+|in\s+|little\s+"
    r"|cold\s+|hot\s+|cup\s+|of\s+|boiling\s+|warm\s+|\S+\s+cups?\s+){0,5}(?:water|ice"
    r"|ice cubes)\s+(?:\w+\s+){0,2}?(?:to|into|in|onto|over)\s+(?:the\s+|this\s+)?(?:hot|boiling|smoking"
    r"|sizzling|bubbling)?\s*(?:hot\s+)?(?:oil|fat|lard|grease|caramel)\b"
)
_MEANT_HOT = Late(r"\b(?:hot|boiling|smoking|sizzling|bubbling)\s+(?:oil|fat|lard|grease|caramel)\b|\bcaramel\b")
_STAGE = Late(
    r"\b(?:soft|hard|firm)[- ](?:ball|crack)\b|\bthread stage\b|\b(?:candy|sugar|jam|sweet) thermometer\b"
    r"|\bcarameli[sz]e\w*\b[^.]{0,15}\bsugar\b|\bsugar\b[^.]{0,60}\b(?:carameli[sz]e\w*|amber"
    r"|melts? and)\b"
    r"|\bmak(?:e|ing) (?:a|the) caramel\b(?! sauce)"
    r"|\bmelt (?:the )?(?:white |granulated |caster )?sugar\b|\b(?:sugar|syrup|caramel|mixture"
    r"|solution)\b[^.]{0,80}\bamber\b|\b(?:sugar|syrup|cook|heat)\w*\b[^.]{0,60}\b(?:turns?|becomes?|into"
    r"|to|an?|until) (?:\w+ ){0,2}caramel\b(?! sauce)|\bsugar turns (?:light |dark |golden )?brown\b"
)
_ROLLING = Late(
    r"\b(?:rolling|rapid|hard|full|vigorous)\w*\s+boil"
    r"|\bboil(?:ing)?\s+(?:it\s+|them\s+|the \w+\s+)?(?:rapidly|hard|vigorously|fast|briskly|as fast)\b"
)
_NOT_SUGAR = Late(
    r"\bonions?\b|\btorch\b|\bgrill\b|\bbroil\w*|\bcaramel sauce\b|\bjars?\b|\bamber (?:rum|ale|beer|maple)\b"
    r"|\bbutter and sugar\b|\bglass\b|\bleeks?\b|\bvegetables\b|\bdough\b|\bflour\b|\bsugar, brown\b"
    r"|\bsugar and butter\b|\bice cream\b"
)
_FLAME = Late(
    r"\bflamb[eé]\w*|\bset (?:it |them |the \w+ )?(?:alight|aflame|ablaze)\b|\bset (?:it|them"
    r"|the \w+) on fire\b|\bignit\w+\b|\blight (?:it|the \w+) with a (?:match|lighter)\b|\bflames? (?:die|dies"
    r"|subside|go|goes|have died)\b|\bset (?:fire|light) to\b"
    r"|\blight (?:the )?(?:brandy|rum|cognac|alcohol|spirit|liqueur|whisk(?:e)?y)\b|\bcatch(?:es)? (?:the "
    r"|a )?(?:flame|fire|light)\b"
    r"|\b(?:brandy|rum|cognac|whisk(?:e)?y|kirsch|liqueur|spirit|vodka)\b[^.]{0,60}\blight it\b"
)
_GAS = Late(r"\b(?:burner|gas|charcoal|coals?|grill|barbecue|wood|fire pit|oven|stove|lighter fluid|briquettes)\b")
_COAL = Late(
    r"\b(?:charcoal|(?:live|hot|burning|glowing|lit|red[- ]hot) coals?|briquettes?|smoker|barbecue|bbq"
    r"|hibachi|wood chips"
    r"|smoking chips|tea[- ]smok\w+)\b"
)
_INDOORS = Late(
    r"\b(?:indoors?|inside the house|in the kitchen|garage|tent|balcony|conservatory|shed|under cover|caravan"
    r"|in a wok|in your wok|line (?:a|the) wok|stove[- ]?top smoker|on the stove|in the cent(?:re"
    r"|er) of the (?:pot|pan|dish|curry|meat)|dhungar)\b"
)
_COAL_POT = Late(r"\b(?:coal|charcoal)\b[^.]{0,80}\b(?:cover|lid|bowl|foil|ghee|oil)\b")
_INDOOR_GRILL = Late(
    r"\bindoor (?:electric )?grill\b|\bcharcoal or (?:indoor|broil)|\bnot\b|\bnever\b|\bor (?:under|in"
    r"|on) (?:the|a|your)\b"
)
_HEATED = Late(r"\b(?:bake|oven|boil\w*|simmer\w*|steam\w*|poach\w*|roast|boiling water|cook)\b")
_OFF_FIRST = Late(
    r"\b(?:remove|discard|unwrap|take off|peel off|fridge|refrigerat\w+|chill\w*|freez\w*|cool\w*|rise|double"
    r"|pound|rolling|before|rest|marinat\w*|overnight|store|microwave|knead|cold)\b"
)
_TIN = Late(
    r"\b(?:unopened|sealed|closed|whole|un-?pierced)\b[^.]{0,20}\b(?:can|cans|tin|tins|jar)\b"
    r"|\bcans?\b[^.]{0,30}\b(?:unopened|sealed)\b|\b(?:boil|simmer|submerge|immerse)\w*\s+(?:the\s+|a\s+"
    r"|your\s+|whole\s+|unopened\s+){0,3}(?:can|tin)s?\b"
    r"|\b(?:can|tin)s?\b[^.]{0,15}\b(?:of (?:sweetened )?condensed milk)\b[^.]{0,40}\b(?:in|into"
    r"|with) (?:a |the )?(?:\w+ )?(?:pot|pan|saucepan|pressure cooker|boiling|water)\b"
)
_OPENED = Late(r"\b(?:pour|open the|opened|empty|contents|do not|never|don't)\b")


def _hit(name: str, piece: Piece, match: re.Match[str]) -> Hit:
    return Hit(name, piece.step, piece.start + match.start(), piece.start + match.end())


def fat_hits(view: View) -> list[Hit]:
    """Deep fat; oil alone on the heat; water on hot fat."""
    hits: dict[str, Hit] = {}
    appliance = {"air"} if "air" in view.words and "fryer" in view.words else set()
    for piece in (*view.sentences, *view.lines):
        words = piece.words
        if words.isdisjoint(_FAT_WORDS):
            continue
        if "deep-fat" not in hits:
            match = _DEEP.search(piece.text) if not words.isdisjoint(_DEEP_WORDS) else None
            if match and not _NOT_DEEP.search(piece.text[: match.start()]) and not (appliance and "fryer" in match[0]):
                hits["deep-fat"] = _hit("deep-fat", piece, match)
            elif (
                piece.step
                and temperatures(piece.text)
                and _OIL.search(piece.text)
                and _FRY.search(piece.text)
                and "oven" not in words
            ):
                for start, end, low, _, written in temperatures(piece.text):
                    if (
                        written
                        and 145 <= low <= 210
                        and not words & {"bake", "roast", "preheat", "smoke", "syrup", "sugar"}
                    ):
                        hits["deep-fat"] = Hit("deep-fat", piece.step, piece.start + start, piece.start + end)
                        break
        water = _WATER_FAT.search(piece.text) if "water" in words or "ice" in words else None
        if water and _MEANT_HOT.search(water[0]):
            hits.setdefault("water-on-fat", _hit("water-on-fat", piece, water))
    if "deep-fat" not in hits:
        hits.update(_alone(view))
    if "deep-fat" not in hits and re.search(r"\bdeep[- ]fried\b", view.title) and "fry" in view.low:
        hits["deep-fat"] = Hit("deep-fat", 0, 0, 0)
    if "deep-fat" in hits and hits["deep-fat"].step == 0:
        hits["deep-fat"] = _at_the_pan(view, hits["deep-fat"])
    return list(hits.values())


_FAT_WORDS = frozenset(
    {
        "oil",
        "fat",
        "fry",
        "fried",
        "frying",
        "fryer",
        "deep",
        "lard",
        "grease",
        "caramel",
        "shortening",
        "ghee",
        "deepfry",
    }
)


def _at_the_pan(view: View, hit: Hit) -> Hit:
    """Move a caution that only the ingredients gave to where the method fries."""
    for piece in view.sentences:
        match = re.search(r"\bfr(?:y|ied|ying)\b(?![- ]pan)|\bhot oil\b", piece.text)
        if match and piece.step:
            return _hit(hit.name, piece, match)
    return hit if hit.end > hit.start else Hit(hit.name, 0, 0, len(view.title))


def _alone(view: View) -> dict[str, Hit]:
    pieces = view.sentences
    for index, piece in enumerate(pieces):
        if piece.words.isdisjoint(_FAT_WORDS):
            continue
        smoke = _SMOKING.search(piece.text) if "smok" in piece.text else None
        if smoke and not _NO_SMOKE.search(piece.text, 0, smoke.end()) and _OIL.search(piece.text):
            return {"oil-alone": _hit("oil-alone", piece, smoke)}
        wait = _MEANWHILE.search(piece.text) if "while" in piece.words or "as" in piece.words else None
        if wait:
            return {"oil-alone": _hit("oil-alone", piece, wait)}
        match = _ALONE.search(piece.text) if "heat" in piece.text else None
        if not match or not _HOT_PAN.search(piece.text) or index + 1 >= len(pieces):
            continue
        rest = piece.text[match.end() :]
        follows = pieces[index + 1]
        first = re.match(r"\W*(?:meanwhile,?\s+|while\b[^,]*,\s*)?([^\W\d_]+)", follows.text)
        ends = not re.search(r"\b(?:add|fry|cook|saut[eé]|brown|stir|place|drop|and)\b", rest)
        if ends and first and first[1] in singles("prep-verb") and piece.step and follows.step >= piece.step:
            return {"oil-alone": _hit("oil-alone", piece, match)}
    return {}


def sugar_hits(view: View) -> list[Hit]:
    """Boiling sugar, boiling jam."""
    hits: dict[str, Hit] = {}
    jam = re.search(r"\b(?:jam|marmalade|jelly|preserves?|conserve)\b", view.title)
    for piece in view.sentences:
        if piece.words.isdisjoint(_SUGAR_WORDS):
            continue
        match = _STAGE.search(piece.text)
        if match and not _NOT_SUGAR.search(piece.text):
            hits.setdefault("sugar-burn", _hit("sugar-burn", piece, match))
        elif "syrup" in piece.words or "sugar" in piece.words:
            for start, end, low, _, written in temperatures(piece.text):
                if written and 109 <= low <= 175 and "oven" not in piece.words and "bake" not in piece.words:
                    hits.setdefault("sugar-burn", Hit("sugar-burn", piece.step, piece.start + start, piece.start + end))
        boil = _ROLLING.search(piece.text) if jam else None
        if jam and boil and "sugar" in view.words:
            hits.setdefault("jam-boil-over", _hit("jam-boil-over", piece, boil))
    return list(hits.values())


_SUGAR_WORDS = frozenset({
    "sugar", "syrup", "caramel", "caramelize", "caramelise", "caramelizes", "caramelized", "caramelised", "amber",
    "ball", "crack", "candy", "thread", "boil", "boiling",
})  # fmt: skip


_FLAME_WORDS = frozenset({
    "flambé", "flambe", "flambéed", "flambeed", "flame", "flames", "light", "alight", "aflame", "ablaze", "ignite",
    "ignited", "fire", "match", "lighter", "charcoal", "coal", "coals", "briquettes", "briquette", "smoker", "barbecue",
    "bbq", "hibachi", "chips", "tea", "smoked",
})  # fmt: skip


def flame_hits(view: View) -> list[Hit]:
    """Spirit set alight; charcoal or smoke under a roof."""
    hits: dict[str, Hit] = {}
    for piece in view.with_word(_FLAME_WORDS):
        flame = _FLAME.search(piece.text)
        if flame and not _GAS.search(piece.text):
            hits.setdefault("flambe", _hit("flambe", piece, flame))
        coal = _COAL.search(piece.text)
        if coal and not _INDOOR_GRILL.search(piece.text):
            inside = _INDOORS.search(piece.text) or (
                "coal" in coal[0] and _COAL_POT.search(piece.text) and "grill" not in view.words
            )
            if inside:
                hits.setdefault("charcoal-indoors", _hit("charcoal-indoors", piece, coal))
    return list(hits.values())


def container_hits(view: View) -> list[Hit]:
    """Plastic wrap in heat; closed tins in boiling water."""
    hits: dict[str, Hit] = {}
    wrap = pattern("<no-heat-wrap>")
    for piece in view.sentences:
        match = (
            wrap.search(piece.text)
            if "wrap" in piece.text
            or "film" in piece.text
            or "bag" in piece.text
            or "paper" in piece.text
            or "zip" in piece.text
            else None
        )
        if match and _HEATED.search(piece.text) and not _OFF_FIRST.search(piece.text):
            hits.setdefault("plastic-heated", _hit("plastic-heated", piece, match))
        tin = _TIN.search(piece.text) if not piece.words.isdisjoint(("can", "cans", "tin", "tins", "jar")) else None
        if (
            tin
            and _HEATED.search(piece.text)
            and not _OPENED.search(piece.text)
            and not re.search(r"\bcan be\b", tin[0])
        ):
            hits.setdefault("closed-tin", _hit("closed-tin", piece, tin))
    return list(hits.values())
