"""The patterns that the phases are read by; word lists come from lexicon/cues.yaml."""

from __future__ import annotations

import re
from functools import cache

from converter.data import DataError, Node, expect_keys, lexicon

LISTS = (
    "fat", "liquid", "with_water", "boiled", "fried", "roasted", "browned", "picked_out", "covers", "pans",
    "melted_with", "measures", "water_measures", "toasted", "wetting", "dry_sauces",
)  # fmt: skip


@cache
def lists() -> Node:
    """Return the word lists. Raises ``DataError`` for a list that is unknown, missing or empty."""
    root = expect_keys(lexicon("cues"), required=LISTS, where="lexicon/cues.yaml")
    for name in LISTS:
        if not root[name] or not all(isinstance(word, str) for word in root[name]):
            raise DataError(root.at(name), f"'{name}' must be a list of words")
    return root


def any_of(name: str) -> str:
    """Return the words of a list as a group of a pattern, the longest first."""
    words = sorted(lists()[name], key=lambda word: (-len(word), word))
    return "(?:" + "|".join(map(re.escape, words)) + ")"


def _word(name: str) -> re.Pattern[str]:
    return re.compile(rf"\b{any_of(name)}\b")


_NUMBER = r"\S*\d\S*|[½¼¾⅓⅔⅛]"
_PAN = any_of("pans")
_NOT_WET = "".join(rf"(?<!\b{word} )" for word in lists()["dry_sauces"])

FAT = _word("fat")
LIQUID = _word("liquid")
PLAIN_WATER = re.compile(r"\b(?:water|kettle)\b")
NOT_PLAIN = _word("with_water")
BOILED = _word("boiled")
ROASTED = _word("roasted")
BROWNED = _word("browned")
FRIED = re.compile(rf"\b(?:{any_of('fried')}|until (?:golden|brown|browned|soft|translucent|fragrant))\b")
PICKED_OUT = _word("picked_out")
COVERS = _word("covers")
MELTED_WITH = _word("melted_with")
NAKED_FIRE = re.compile(
    r"\b(?:open|naked|direct|gas|live|bare) (?:\w+ )?(?:flames?|fire)\b"
    r"|\b(?:over|on|in) (?:an? |the )?(?:\w+ )?(?:flames?|gas burner)\b"
)
TOASTED = _word("toasted")
WET = re.compile(rf"(?<!\bwithout )(?:\b{any_of('wetting')}|{_NOT_WET}\bsauce)\b(?! (?:chestnuts?|powder|chips))")
FOOD = re.compile(rf"\b(?:{any_of('fried')}|{any_of('boiled')}|{any_of('roasted')})\b")
ROUX = re.compile(
    r"\bflour\b.*\buntil\b[^.;]{0,40}\b(?:blond|blonde|golden|brown|nutty)\b|\bturns? (?:light )?blonde?\b"
)
SCRAPED = re.compile(r"\bscrap\w+\b|\bbrown(?:ed)? bits\b|\bdeglaz\w+")
SAUTEED = re.compile(r"\b(?:onions?|garlic|celery|leeks?|shallots?)\b")
FILLED = re.compile(r"\b(?:fill\w*|pour\w*|spread|spoon|filling|top with)\b")
PAN_OF = re.compile(r"\ban? (?:\w+ ){0,2}(?:pan|pot|saucepan|kettle|stockpot) of\b")
FAT_LEFT = re.compile(
    r"\W*(?:\w+ )?(?:allow|let|leave|wait for)\W+(?:the\W+|your\W+)?(?:oil|fat|pan|butter|ghee|skillet|wok|griddle|it)"
    r"\W+"
    r"(?:to\W+)?"
    r"(?:get|heat|become|warm|melt|preheat|come)"
)
OTHER_PART = re.compile(
    r"\b(?:cool|hot|low|high|indirect|medium|other)\w*\b.{0,20}\b(?:part|side|area|zone|section|heat)\b"
)
INTO_FAT = re.compile(r"\b(?:in|into|to) (?:the )?(?:hot |heated |sizzling )?(?:oil|fat|butter|ghee|lard|dripping)\b")
HOT_PAN = re.compile(
    r"\b(?:in|into|on|onto|to)\W+(?:an? |the |your )?(?:lightly )?"
    r"(?:hot|heated|preheated|pre-heated|warm|warmed|sizzling)"
    r"\W+(?:[\w-]+\W+){0,3}(?:pan|skillet|griddle|wok)\b"
)
STEEP = re.compile(r"\b(?:steep|soak|infuse|stand|sit|rest|cool)\w*\b")
HAD_BEEN = re.compile(r"\b(?:that|which) (?:have|has|had) been\b.*\boven\b")
LID_PUT = re.compile(r"\W*(?:put|place|pop|set|fit|clap)\w*\W+(?:on\W+)?(?:the|a|its)\W+(?:\w+\W+){0,2}(?:lid|cover)\b")
ROAST_NOUN = re.compile(r"\b(?:the|a|your|glazed|place|return|add|remove) roast\b")
BOILS = re.compile(r"(?<!without )(?<!not )(?<!n['’]t )(?<!before )\bboil")
BEANS_OUT = re.compile(r"\b(?:beans|paper|weights|parchment|foil|rice)\b")
REMAINING = re.compile(r"\b(?:remaining|rest|others?)\b")
IN_FAT = re.compile(r"\bin\W+(?:\w+\W+){0,5}?(?:ghee|oil|butter|fat|lard)\b")
LEFT_IN = re.compile(r"\bto (?:soak|steep|infuse|soften|bloom)\b")
HOT_ADDED = re.compile(
    r"\W*(?:\w+ly )?(?:add|pour|stir|mix|whisk|beat|tip)\w*(?: in| on| over)?\W+"
    r"(?:(?:the|some|about|a|cups?|little|of|enough|\S*\d\S*|[½¼¾⅓⅔])\W+)*"
    r"(?:boiling|hot|simmering)\b"
)
NOT_TEMPERED = re.compile(r"\b(?:eggs?|yolks?|roux|chocolate|custard|mixture)\b")
# "When the onion is soft, add ...": the stretch before had an end.
WHEN_DONE = re.compile(
    r"\W*(?:when|once|as soon as)\W+(?:the|they|it|all)\b[^,;.]*\b(?:is|are|has|have|turns?|begins?|starts?|"
    r"seems?|looks?)\b"
)
COOKED_SOFT = re.compile(
    r"\s+(?:the |all )?(?:[\w-]+ ){0,3}?(?:meats?|beef|goat|mutton|lamb|pork|chicken|turkey|tripe|offal|bones|beans"
    r"|peas|cocoyams?|yams?|cassava|plantains?|vegetables|stockfish)\b"
)
ONLY_HOT = re.compile(r"\b(?:hot|boil\w*|simmer\w*|smok\w*|melt\w*|warm\w*|bubbl\w*|sizzl\w*)\b")
AFTER_GOING_ON = re.compile(
    r"\bafter (?:it|they|the \w+)(?: \w+)? (?:has|have)(?: been)? \w+(?: for)?(?: about| around)?$"
)
IT_TAKES = re.compile(r"\W*(?:this|it|that|they|which)\b[^.;,]{0,40}\btakes?\W")
HEATED_EMPTY = re.compile(r"\bto (?:heat|preheat|pre-heat|get hot|warm)(?: up| through)?\W*$")
EMPTY_WARE = re.compile(r"\b(?:skillet|pan|tray|stone|sheet|dish|tin|casserole|griddle|pot)\b")
BATH = re.compile(
    r"\b(?:bowl|basin|top)\b[^.;]{0,50}\b(?:over|on top|atop|onto|above)\b[^.;]{0,40}"
    r"\b(?:pan|pot|saucepan|water|boiler)\b"
    r"|\bbowl\b[^.;]{0,60}\bon top\b|\bto (?:make|create|form) a (?:double boiler|bain[- ]marie)\b"
)
BOILS_OVER = re.compile(r"\s+over\b(?!\s+(?:an?|the|very|low|medium|moderate\w*|high|gentle|direct|full|hot|your)\b)")
BACK_IN = re.compile(r"\bback in(?:side)?\b(?! (?:the|a|your) (?!oven))|\bback (?:in|into|to) (?:the )?oven\b")
CANNING = re.compile(r"\b(?:water[- ]bath|canner|boiling water)\b")
TENDER = re.compile(r"\b(?:tender|soft|done|cooked)\b")
INTO_COLD = re.compile(
    r"\b(?:in|into|under) (?:an? |the |some |very )?(?:\w+ ){0,2}?"
    r"(?:ice[- ]?water|iced water|ice bath|(?:ice-?)?cold (?:running |tap )?water)\b"
)
SALT_ALONE = re.compile(r"(?!.*\band (?:\w+ ){0,2}salt\b)(?!.*\bsalt,? and [a-z]).*\bsalt\b")
ONLY_SALT = re.compile(
    r"\W*(?:then\W+)?(?:add|put|stir|throw|sprinkle)\w*(?: in)?\W+(?:(?!and\b)[\w½¼¾]+\s+){0,5}?salt\b"
    r"(?! (?:pork|cod|fish|beef|meat|and (?!bring|let|return|stir|wait|then)\w))"
)
POURED_OFF = re.compile(
    r"\W*(?:\w+ly )?pour\w*\W+(?:off|out|away)\b[^.;]{0,40}\b(?:fat|oil|grease|drippings?|liquid|water)\b"
)
ONLY_WARMED = re.compile(r"\b(?:until|till)\b[^.;]{0,40}\b(?:heated|warm(?:ed)?|hot)\b")
FILL_ONE = re.compile(r"\W*fill\w* (?:an?|your|another|one) ")
FILLED_WITH_FAT = re.compile(r"\W*fill\w* [^.;]{0,60}\b(?:with|of) (?:[^.;,]{0,30} )?(?:oil|fat|lard|shortening)\b")
OVER_WATER = re.compile(r"\b(?:over|above|on top of)\b[^.;]{0,30}\bwater\b")
ALSO = re.compile(r"\b(?:can|may|could) also\b")
TELLS = re.compile(r"[^.;,:]{0,40}\b(?:will|would|can|may|might|gives?|makes?|helps?|alters?|causes?)\b")
COULD = re.compile(r"\b(?:can|may|could|might) (?:also )?be\b")
OR = re.compile(r"\bor\b")
FAT_ADDED = re.compile(
    r"\W*(?:\w+ly )?(?:add|pour|melt|drop|put|place)\w*\W+(?:in\W+|into\W+|to\W+)?"
    rf"(?:(?:{any_of('measures')}|in|into|to|for|pan|skillet|wok|pot|{_NUMBER})\W+){{0,14}}?{any_of('fat')}"
    rf"(?:\W+(?:and|or)\W+(?:the\W+|some\W+|a\W+)?(?:little\W+)?{any_of('fat')})?"
    r"(?:\W+(?:in|into|to|on)\W+(?:[\w-]+\W+){0,5}?(?:pan|pot|skillet|wok|saucepan|casserole|griddle|kadai)\b)?"
    r"(?:\W+(?:in|into|to|for|until|and|then|the|a|your|large|hot|pan|skillet|wok|pot|it|is|deep|deep-fry|deep-frying|"
    r"shallow|frying|fry))*\W*$"
)
FAT_POURED = re.compile(
    rf"\W*(?:\w+ly )?(?:add|pour|put)\w*\W+(?:in\W+|into\W+)?(?:(?:{any_of('measures')}|{_NUMBER})\W+){{0,14}}?"
    rf"{any_of('fat')}\b(?:\W+(?:in|into|to)\W+(?:the|a)\W+(?:[\w-]+\W+){{1,3}})?\W*(?:and|then)?\W*$"
)
# "Heat the waffle iron": the appliance itself, not what is in it.
HEATS_DEVICE = re.compile(
    r"\W*(?:[\w-]+ly )?(?:heat|warm)\w*\W+(?:up\W+)?(?:the\W+|an?\W+|your\W+)?(?:[\w-]+\W+){0,2}?"
    r"(?:waffle|pizzelle|krumkake|sandwich|panini|contact|electric|george|smok\w+|air|deep|slow|pressure|rice)\b"
)
IRON = re.compile(r"(?<!cast )(?<!cast-)\biron\b(?! (?:skillet|pan|pot|griddle|casserole|wok))")
HEATED_ALONE = re.compile(
    r"\W*(?:\w+ly )?(?:heat|warm)\w*(?:\W+(?:it|up|well|the oil|the pan))*"
    r"(?:\W+(?:over|on|at|until|to|for|\x02+|\x01+|very|hot|shimmering|smoking|high|medium|low|heat|medium-high|a)\b)*[\W\x01\x02]*(?:and|then)?\W*$"
)
HEATED_WITH = re.compile(
    r"\boil\b[^.;]{0,20}\bwith\b(?! (?:an?|lid|the lid|the oil|the butter|butter|oil|ghee|some oil|medium|high|low)\b)"
)
SOME_OTHER = re.compile(
    r"\bto (?:the |this |your )(?!pan|pot|skillet|wok|hot|oil|butter|ghee|fat|boil|heated|sizzling)\w+"
)
OVENPROOF = re.compile(r"\boven-?\s?(?:proof|safe)\b|\b(?:baking (?:sheet|tray|pan|tin)|sheet pan)\b")
OWN_GRIDDLE = re.compile(r"\bgrill[- ]pan|griddle")
UNTIL_MELTED = re.compile(r"\b(?:until|till)\b[^.;]{0,40}\bmelt(?:s|ed)?\b")
UNTIL_REDUCED = re.compile(r"\b(?:until|till)\b[^.;]{0,40}\breduc(?:ed|es)\b")
UNTIL_THICK = re.compile(r"\b(?:until|till)\b[^.;]{0,40}\bthick(?:ens?|ened|er|)\b")
UNTIL_BROWN = re.compile(r"\b(?:until|till)\b[^.;]{0,30}\bbrown(?:ed)?\b")

OIL_ONLY = re.compile(
    r"^\W*(?:[^.;]*?\b)?(?:heat|warm|preheat|pre-heat|heating|preheating|warming)\W+"
    rf"(?:(?:{any_of('measures')}|{_NUMBER})\W+){{0,12}}?"
    r"(?:oil|butter|fat|ghee|lard|drippings?|margarine|shortening|grease|pan|skillet|wok|griddle|pot|saucepan|"
    r"frying pan|"
    r"kadai|kadhai|karahi|casserole|dutch oven|tawa|kettle|grill pan|frypan|fryer|iron)\b"
    r"(?! (?:mixture|and sugar|and milk|milk|sauce))"
    r"|^\W*(?:\w+ly )?(?:pre-?)?heat\w*\W+(?:up )?(?:an?|the|your|another)\W+(?:(?!in\b|of\b|with\b)[\w-]+\W+){0,6}?"
    r"(?:pan|skillet|wok|griddle|frypan|tawa)\b"
    r"|^\W*(?:[^.;,]{0,40}\band )?(?:\w+ly )?(?:pre-?)?heat\w*\W+(?:up )?(?:(?!in\b|with\b|and\b)[\w-]+\W+){0,6}?"
    r"(?:oil|ghee|lard|dripping|shortening|kibbeh)\b"
    r"(?! (?:mixture|and|with))"
)
WATER_BOILED = re.compile(
    rf"(?:.*\b)?boil\w*\W+(?:up\W+)?(?:(?:{any_of('water_measures')}|{_NUMBER})\W+){{0,8}}(?:water|kettle)\b"
)
HEAT_OVEN = re.compile(r"\W*(?:\w+ly )?heat\w*\W+(?:up )?(?:the |your |an? )?(?:\w+ )?oven\b")
HEAT_GRILL = re.compile(
    r"\bheat\w*\W+(?:up )?(?:the |your |an? )?(?:\w+[ -])?(?:grill|broiler|barbecue|coals|griddle pan)\b(?![ -]?pan)"
)
UNTIL_BOIL = re.compile(r"\buntil (?:it )?(?:boil|simmer)")
NOT_REDUCING = re.compile(
    r"\W*reduc\w+\W+(?:the |your )?(?:\w+ )?(?:mixer|speed|amount|quantity|number|flow|cooking|time|baking|salt|sugar|"
    r"to (?:a )?(?:crumbs|puree|powder))"
)
FROM_ONE_PAN = re.compile(r"\bfrom (?:the |its )?(?:double boiler|pan|pot|saucepan|skillet)\b[^.;]* to\b")
FROM_HEAT = re.compile(
    r"\b(?:from|off) (?:the |its |direct )*(?:heat|stove|hob|burner|fire|flame|oven|stovetop|grill|broiler|smoker|"
    r"microwave)\b"
)
FROM_PAN = re.compile(
    r"\b(?:from|out of) (?:the |your )?(?:\w+ )?(?:pan|pot|skillet|oil|water|wok|saucepan|fryer|casserole|liquid|broth|"
    r"stock|"
    r"tin|mold|mould|fat|kettle|dutch oven|griddle)\b"
    r"|\bto (?:an? |the )?(?:\w+ ){0,3}(?:plate|bowl|platter|rack|paper towels?|dish|board|tray)\b"
)
HOT_LIQUID = re.compile(
    r"\b(?:in|into|to|with)\W+(?:[^.;,]{0,30}\W)?(?:boiling|simmering|bubbling|hot|salted boiling)\W+(?:\w+\W+)?"
    r"(?:water|stock|broth|oil|milk|fat|liquid|syrup|sauce|soup|pan|skillet|wok|griddle|butter)\b|\binto boiling\b"
)
SEPARATE = re.compile(
    rf"\b(?:separate|another|second|different|clean|fresh|other)\W+(?:\w+\W+){{0,3}}?{_PAN}\b"
    r"|\bmeanwhile\b|\bin the meantime\b|\bat the same time\b"
    r"|\b(?:cook|boil|steam|fry)\b[^.;]*\bseparately\b"
)
NEW_VESSEL = re.compile(
    r"\bin (?:an? |your |another )(?:\S+ ){0,5}?(?:pan|pot|saucepan|skillet|wok|casserole|stockpot|kettle|kadai|"
    r"dutch oven|griddle|double boiler|boiler)\b"
)
INTO_A_PAN = re.compile(
    r"\b(?:in|into|to) (?:an|a) (?:\w+ ){0,3}(?:pan|pot|saucepan|skillet|wok|stockpot|casserole|dutch oven)\b"
)
INTO_A_BOWL = re.compile(
    r"\b(?:in|into|to) (?:an? |the )?(?:\w+ ){0,2}(?:bowl|jug|jar|glass|cup|container|plate|tureen|dish)\b"
)
IN_A_BOWL = re.compile(r"\bin (?:an? |the )?(?:\w+ ){0,4}bowl\b")
POUR_OVER = re.compile(r"\b(?:pour|tip)\w*\b.*\b(?:over|onto) (?:the |an? )")
PUT_BACK = re.compile(r"\breturn|put back|back (?:in|on|to)")
OUT_ONTO = re.compile(
    r"\b(?:out|onto|into) (?:an? |the |onto |to )*(?:\w+ )?(?:plate|board|bowl|rack|surface|dish)\b|\bturn out\b"
)
LID_TAKEN = re.compile(
    r"\W*\w+\W+(?:off\W+)?(?:the\W+|any\W+)?(?:\w+\W+)?(?:lid|foil|cover|paper|cloth|weights|parchment)"
)
NOT_FOOD = re.compile(
    r"\W*\w+\W+(?:an?\W+|the\W+|your\W+|one\W+|another\W+)?(?:\w+\W+){0,2}(?:racks?|shelf|shelves)\b"
    r"|.*\b(?:tray|sheet|piece|pan|bowl|tin|dish|layer) of (?:alumini?um |tin |hot |boiling |cold )?(?:foil|water|ice)"
    r"|.*\b(?:pan|tray|dish|tin) with (?:about )?(?:an?|some|\S*\d\S*|½)?\W*(?:inch|inches|cm)?\W*(?:of )?"
    r"(?:hot |boiling )?water\b"
    r"|.*\b(?:baking|pizza) stone\b|.*\bdrip pan\b|.*\bempty\b"
)
FILLED_PAN = re.compile(
    r"\b(?:mixture|ingredients|sugar|meat|chicken|onions?|vegetables|all|everything|it|them|butter|beans)\b"
)
OTHER_PAN = re.compile(r"\b(?:another|separate|a|an) ")
STOVE_PAN = re.compile(r"\b(?:pan|pot|saucepan|skillet|stove|boiler|wok)\b")
TURN_OVER = re.compile(r"\b(?:turn|flip|other side|second side|both sides|rotate|reverse)\b")
ONE_SIDE = re.compile(r"\b(?:each|per|both|either|(?:on|for) (?:the )?(?:one|first|other|second)) sides?\b")
EACH_SIDE = re.compile(r"\bsides?\b")
SET_OVEN = re.compile(
    r"\b(?:set|turn(?: on)?|switch on|light|heat|start|put|get|warm|bring|fire up|have|turning|prepare)\b"
    r"[^.;,]*\b(?:oven)\b"
)
OVEN_OFF = re.compile(r"\b(?:turn|switch)\w*\s+(?:the )?(?:oven )?off|off the oven")
INTO_OVEN = re.compile(r"\b(?:in|into|to|from|dutch) (?:an? |the |your )?(?:\S+ ){0,3}oven\b")
GRILL_NOUN = re.compile(r"\b(?:broiler|grill|barbecue|bbq|smoker)\b")
FUEL = re.compile(r"\W*(?:\w+\W+){0,9}?(?:chunks|chips|wood|coals?|charcoal|firebox|fire|ash)\b")
NOT_APPLIANCE = re.compile(
    r"\bcooker['’]?s? (?:directions|instructions)|fryer or (?:in )?an? (?:\w+ ){0,2}(?:pot|pan|wok)"
    r"|-safe|\bsafe\b|\bor (?:in )?(?:the |a )?microwave"
)
BY_PACKET = re.compile(r"\b(?:packag\w+|packet|pack|instructions|directions|directed|according)\b")
LEFT_TO_REST = re.compile(r"\b(?:rest|cool|infuse|prove|rise|stand|sit|soak|absorb|steep)\b")
LEFT_TO_COOL = re.compile(r"\W*(?:let|leave|allow|set)\b[^.;]{0,40}\bcool\b")
OVEN_COOLING = re.compile(r"\b(?:cool|turned[- ]off|off)\b")
BOILING_WORD = re.compile(r"\b(?:boiling|simmering)\b")
DEEP = re.compile(r"\bdeep\b")
DEEP_OIL = re.compile(
    r"\b(?:deep (?:pan|pot|saucepan)|deep[- ]?fry(?:ing)?|oil for (?:deep|frying)|hot (?:oil|fat)\b.*\bfloat|"
    r"deep fat)\b"
)
EMPTY_OVEN = re.compile(r"\bstone\b|\bempty\b")
CRUST = re.compile(r"\b(?:crust|pastry|shell|case|pie dough|tart|pie plate|pie dish|pie pan)\b")
BLIND = re.compile(r"\b(?:blind|weights|baking beans|empty|prick|lined)\b")

# "fry the garlic until golden": food of its own, not "it" or "until" or "over a low heat".
OTHER_FOOD = re.compile(
    r"\s+(?!(?:it|them|both|all|each|again|another|further|more|on|over|in|at|with|for|until|till|and|then|or"
    r"|gently|slowly|the (?:mixture|other|pan|rest|whole|food|meat|same)|everything|this|together|about"
    r"|uncovered|covered|stirring)\b)[a-zé]"
)
# "cook the peas" beside something that was fried: food of its own again.
THE_OTHER = re.compile(
    r"\s+(?:the|your|some)\s+(?!(?:mixture|other|rest|remaining|whole|food|same|second|first|top|bottom|pan|sauce)\b)[a-zé]"
)
PACKET = re.compile(r"\b(?:package|packet|box|pack|instructions?|directions?|al dente)\b")
BESIDE = re.compile(
    r"\W*(?:meanwhile|in the meantime|at the same time|during this(?: time)?|while\b[^,;.]{3,60}\b(?:is|are|"
    r"cooks?|simmers?|bakes?|\w+ing)\b[^,;.]{0,30},)"
)
MEANWHILE = re.compile(r"\W*(?:meanwhile|in the meantime|at the same time)\b")
STARCH_COOKED = re.compile(
    r"\s+(?:up )?(?:the |your |some |all the |\S*\d\S* \w+ (?:of )?)?(?:[\w-]+ ){0,2}?"
    r"(?:pasta|spaghetti|macaroni|noodles?|rice|lasagn[ae]|fettuccine|linguine|penne|orzo|couscous|quinoa|tagliatelle|"
    r"potatoes|eggs)\b"
)
STARCH = re.compile(
    r"\b(?:pasta|spaghetti|macaroni|noodles?|rice|lasagn[ae]|fettuccine|linguine|penne|orzo|couscous|quinoa|tagliatelle)\b"
)
# "knead until smooth and warm, about a minute": the dough is warm, nobody warms it.
WARM_ITSELF = re.compile(r"\W*warm\s*[,.;(—–-](?!\s*(?:but|and|then|stirring|until|over|without|not)\b)")
REDUCED_TO = re.compile(
    r"\s+(?:(?:it|this|the (?:\w+ )?(?:sauce|liquid|stock|mixture|juices?|cream|wine|marinade|gravy))\s+)?(?:down\s+)?"
    r"(?:to (?:the |your |a )?(?:desired|required|right|syrup\w*|glaze|sauce|thick\w*|half|third|quarter)"
    r"|by (?:about )?(?:half|a third|two[- ]thirds|three))\b"
)
# "until full of holes; turn over and cook for 5 seconds": the time is that of the second side only.
ONE_SIDE_ONLY = re.compile(r"\b(?:until|till)\b[^.;]{0,50}\b(?:top|surface|bottom|underside|edges?|bubbles?|holes)\b")
WITH_WATER = re.compile(
    r"\bwith (?:some |the |a little |enough |plenty of )?(?:[\w½¼¾]+ (?:cups?|ml|litres?|liters?) )?(?:of )?"
    r"(?:water|stock|broth)\b"
)
REPEATED = re.compile(
    r"\W*(?:and\W+)?repeat(?:ing)?\W*"
    r"(?:$|(?:(?:this|these|the|same|steps?|process) ){0,3}(?:on|for|with) (?:the|that) (?:other|second) side"
    r"|1 more time|once(?: more)?\W*$)"
)
PUT_IN_PAN = re.compile(
    r"(?!.*\b(?:water|stock|broth|oil|butter|ghee|fat|lard)\b)"
    r"\W*(?:[\w-]+\W+){1,8}?(?:in|into|on|onto)\W+(?:the\W+|an?\W+|your\W+)?"
    r"(?:(?!baking|roasting|cake|loaf|sheet|muffin|bundt|pie|tart|springform)[\w-]+\W+){0,3}?"
    r"(?:pan|skillet|griddle|wok)\b"
)
CAKE_PAN = re.compile(
    r"\b(?:greased|buttered|floured|parchment-lined|lined)(?:\W+(?:and(?:/or)?|or)\W+[\w-]+)*\W+"
    r"(?:(?!frying|in|into|on|onto|to|the|a|sauté|sauce)[\w-]+\W+){0,2}?pans?\b"
)
FRYING_WARE = re.compile(r"\b(?:skillet|frying pan|griddle|wok|frypan|tawa|sauté pan|saute pan)\b")
# "... 20 minutes. Then: 160 °C for an hour": a setting that opens its sentence.
SETTING_LEADS = re.compile(r"\W*(?:(?:then|next|after that|finally|and)\W+)*(?:at\W+)?\x01")
# "If you prefer a firmer tart, cook for 20 minutes": another time for the same stay.
PREFERS = re.compile(
    r"\W*(?:if you(?:['’]d)? (?:prefer|like|want|would like))\b[^,]{0,40}\b(?:more|less|firmer|softer|crispier|crisper|"
    r"thicker|darker|lighter|drier|chewier|crunchier)\b[^,]{0,30},"
)
MIXER = re.compile(r"\b(?:mixer|beaters?|blender|processor)\b")
