"""Follows the food through the clauses: which pan, which oven, at which setting, until when.

One pass, one state. A phase is opened where heating starts, takes its time
from the clause that gives one and is closed when the heat, the pan or the
cover changes, when the food comes out, or when food with a time of its own
goes in.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from converter.model import Mention, Range, Span
from converter.read.clauses import Draft
from converter.read.places import Place

_FAT = re.compile(r"\b(?:oil|butter|fat|ghee|lard|drippings?|margarine|shortening|bacon grease|grease)\b")
_LIQUID = re.compile(r"\b(?:water|stock|broth|milk|wine|liquid|sauce|soup|syrup|cream|juices?|cider|beer|brine|gravy|tomatoes|passata|coconut milk|marinade|custard|bouillon)\b")
_PLAIN_WATER = re.compile(r"\b(?:water|kettle)\b")
_NOT_PLAIN = re.compile(r"\b(?:sugar|syrup|rice|potato\w*|pasta|beans?|lentils?|chicken|meat|vegetables?|mixture|stock|milk|eggs?|vinegar|honey|tea|ginger|bones|oats|everything|ingredients|fruits?|spaghetti|noodles?|cornmeal|butter)\b")
_QUANTIFIER = r"(?:(?:the|a|an|some|your|about|enough|remaining|little|more|of|other|rest|half|\S*\d\S*|[½¼¾⅓⅔⅛]|two|three|four|one|tablespoons?|tbsps?\.?|tbs|teaspoons?|tsps?\.?|cups?|ml|inch(?:es)?|cm|splash|drizzle|vegetable|olive|cooking|frying|sesame|peanut|groundnut|sunflower|canola|palm|corn|coconut|extra[- ]virgin|extra|virgin|neutral|red|mustard|deep|large|small|medium|heavy|non-?stick|nonstick|cast[- ]iron|good|quantity|amount|big|wide|deep-fat|lightly|oiled|greased|and|with|l|litres?|liters?|g|clarified|salted|unsalted|up|bottomed|heavy-bottomed|thick-bottomed|your|dry|empty|separate|another|same|first|well-seasoned|seasoned|ridged|splash|knob|most|least|at)\W+){0,12}?"
_OIL_ONLY = re.compile(
    r"^\W*(?:[^.;]*?\b)?(?:heat|warm|preheat|pre-heat|heating|preheating|warming)\W+" + _QUANTIFIER + r"(?:oil|butter|fat|ghee|lard|drippings?|margarine|shortening|grease|pan|skillet|wok|griddle|pot|saucepan|frying pan|kadai|kadhai|karahi|casserole|dutch oven|tawa|kettle|grill pan|frypan|fryer|iron)\b(?! (?:mixture|and sugar|and milk|milk|sauce))"
)
_LID_WORDS = re.compile(r"\b(?:lid|foil|cover|cloth|plastic|wrap|paper|parchment)\b")
_KEEP = re.compile(r"\b(?:bay|skin|bones?|seeds?|stems?|scum|foam|froth|string|twine|toothpicks?|skewers?|excess|peel|core|shells?|rind|pits?|stones?|stalks?|leaves|leaf|cinnamon stick|cloves|outer|membrane|tops?|ends|lumps|bouquet|sachet|pod|air bubbles|weights?|beans and paper|stick|fat from)\b")
_FROM_HEAT = re.compile(r"\b(?:from|off) (?:the |its |direct )*(?:heat|stove|hob|burner|fire|flame|oven|stovetop|grill|broiler|smoker|microwave)\b")
_FROM_PAN = re.compile(r"\b(?:from|out of) (?:the |your )?(?:\w+ )?(?:pan|pot|skillet|oil|water|wok|saucepan|fryer|casserole|liquid|broth|stock|tin|mold|mould|fat|kettle|dutch oven|griddle)\b|\bto (?:an? |the )?(?:\w+ ){0,3}(?:plate|bowl|platter|rack|paper towels?|dish|board|tray)\b")
_HOT_LIQUID = re.compile(r"\b(?:in|into|to|with)\W+(?:[^.;,]{0,30}\W)?(?:boiling|simmering|bubbling|hot|salted boiling)\W+(?:\w+\W+)?(?:water|stock|broth|oil|milk|fat|liquid|syrup|sauce|soup|pan|skillet|wok|griddle|butter)\b|\binto boiling\b")
_SEPARATE = re.compile(r"\b(?:separate|another|second|different|clean|fresh|other)\W+(?:\w+\W+){0,3}?(?:pan|pot|saucepan|skillet|wok|casserole|frying pan|sauté pan|stockpot|kettle|kadai|dutch oven)\b|\bmeanwhile\b|\bin the meantime\b|\bat the same time\b")
_NEW_VESSEL = re.compile(r"\bin (?:an? |your |another )(?:\S+ ){0,5}?(?:pan|pot|saucepan|skillet|wok|casserole|stockpot|kettle|kadai|dutch oven|griddle|double boiler|boiler)\b")
_TURN_OVER = re.compile(r"\b(?:turn|flip|other side|second side|both sides|rotate|reverse)\b")
_MORE_HEAT = ("at", "oven", "rack")
_EACH_SIDE = re.compile(r"\bsides?\b")
_SET_OVEN = re.compile(r"\b(?:set|turn(?: on)?|switch on|light|heat|start|put|get|warm|bring|fire up|have|turning|prepare)\b[^.;,]*\b(?:oven)\b")
_STARCH = re.compile(r"\b(?:pasta|spaghetti|macaroni|noodles?|rice|quinoa|couscous|lasagn[ae]|fettuccine|linguine|penne|orzo|tagliatelle|bulgur|eggs?|potatoes|beans|lentils|vermicelli|ramen|udon|soba|ravioli|dumplings|barley)\b")


@dataclass(slots=True)
class Open:
    """A phase while it is open."""

    step: int
    start: int
    end: int
    method: str
    environment: str
    celsius: Range | None = None
    seconds: Range | None = None
    heat: str | None = None
    height: str | None = None
    lid: str | None = None
    appliance: str | None = None
    weak: bool = False
    boiling: bool = False
    signed: bool = False
    general: bool = False
    fat_only: bool = False
    attended: bool = False
    drafts: list[Draft] = field(default_factory=list)
    marks: set[str] = field(default_factory=set)
    words: list[str] = field(default_factory=list)
    core: Range | None = None


@dataclass(slots=True)
class Pan:
    """What is known of the hob."""

    hot: bool = False
    heat: str | None = None
    holds: str = ""
    vessel: bool = False
    oil_c: Range | None = None
    filled: bool = False
    draft: Draft | None = None


class Tracker:
    """The state of one recipe while its clauses are read."""

    def __init__(self, *, outdoor: bool) -> None:
        self.phases: list[Open] = []
        self.current: Open | None = None
        self.oven_c: Range | None = None
        self.oven_draft: Draft | None = None
        self.pan = Pan()
        self.lid: str | None = None
        self.pending_lid: str | None = None
        self.changed = False
        self.added = False
        self.outdoor = outdoor
        self.device: str | None = None
        self.device_c: Range | None = None
        self.in_oven_dish = False
        self.grill_ready = False
        self.others: list[tuple[Draft, str]] = []

    # ------------------------------------------------------------ helpers

    def _close(self, *, cold: bool = False) -> None:
        self.current = None
        self.changed = False
        self.added = False
        self.lid = None
        if cold:
            self.pan = Pan()

    @staticmethod
    def _time(draft: Draft) -> Range | None:
        for mention in draft.times:
            if mention.role == "cook" and not mention.conditional:
                return mention.seconds
        for mention in draft.times:
            if mention.role == "each" and mention.seconds:
                low, high = mention.seconds
                return (low * 2, high * 2) if _EACH_SIDE.search(draft.words) else (low, high)
        return None

    @staticmethod
    def _oven_c(draft: Draft) -> Range | None:
        for mention in draft.temperatures:
            if mention.role == "oven":
                return mention.celsius
        return None

    @staticmethod
    def _heat(draft: Draft) -> str | None:
        for place in draft.places:
            if place.kind in ("hob", "change", "grill") and place.heat and place.heat != "simmer":
                return place.heat
        return None

    @staticmethod
    def _height(draft: Draft) -> str | None:
        for place in draft.places:
            if place.height:
                return place.height
        return None

    def _start(self, draft: Draft, method: str, environment: str, *, weak: bool = False) -> Open:
        phase = Open(draft.step, draft.start, draft.end, method, environment, weak=weak)
        phase.lid = self.pending_lid or self.lid
        self.phases.append(phase)
        self.current = phase
        self.changed = False
        self.added = False
        self._take(phase, draft)
        return phase

    def _take(self, phase: Open, draft: Draft) -> None:
        """Let the clause give the phase what it has: time, heat, height, lid, words."""
        seconds = self._time(draft)
        if seconds is not None:
            if phase.seconds is None:
                phase.seconds = seconds
                phase.step = draft.step
                if phase.start > draft.start or phase.weak or phase.fat_only:
                    phase.start = draft.start
            elif any(m.more for m in draft.times) or _TURN_OVER.search(draft.words):
                phase.seconds = (phase.seconds[0] + seconds[0], phase.seconds[1] + seconds[1])
        phase.end = max(phase.end, draft.end)
        phase.heat = self._heat(draft) or phase.heat
        phase.height = self._height(draft) or phase.height
        if draft.lid is not None:
            phase.lid = draft.lid
        elif self.pending_lid is not None:
            phase.lid = self.pending_lid
        if phase.lid is not None:
            self.lid = phase.lid
        self.pending_lid = None
        phase.attended = phase.attended or draft.attended
        phase.signed = phase.signed or draft.sign is not None
        phase.drafts.append(draft)
        phase.words.append(draft.words)
        for mention in draft.temperatures:
            if mention.role == "core" and phase.core is None:
                phase.core = mention.celsius

    def finish(self) -> list[Open]:
        """Return the phases, general verbs named, empty ones left out."""
        kept: list[Open] = []
        for n, phase in enumerate(self.phases):
            words = " ".join(phase.words)
            if phase.weak and phase.environment == "hob" and phase.seconds is None and not phase.signed and not phase.method:
                continue
            if phase.environment == "oven" and phase.weak and phase.seconds is None and not phase.signed and re.search(r"\bstone|\bempty\b", words):
                continue
            if not phase.method or (phase.general and phase.method == "other"):
                phase.method = self._name(phase, words)
            if phase.general and phase.method in ("fry", "simmer", "other") and phase.environment == "hob" and _BROWN.search(words) and _MEATS.search(words):
                phase.method = "brown"
            if phase.method == "fry" and re.search(r"\bdeep\b", words):
                phase.method = "deep-fry"
            if phase.method in ("fry", "other", "deep-fry") and phase.environment == "hob":
                oil = [m.celsius for d in phase.drafts for m in d.temperatures if m.role == "liquid" and m.celsius and 140 <= m.celsius[0] <= 230]
                if oil:
                    phase.method, phase.celsius = "deep-fry", oil[0]
                elif re.search(r"\b(?:oil for (?:deep|frying)|hot (?:oil|fat)\b.*\bfloat|deep fat)\b", words):
                    phase.method = "deep-fry"
            if phase.method == "bake" and re.search(r"\b(?:crust|pastry|shell|case|pie dough|tart)\b", words) and re.search(r"\b(?:blind|weights|baking beans|empty|prick|lined)\b", words):
                phase.method = "blind-bake"
            kept.append(phase)
        return kept

    @staticmethod
    def _name(phase: Open, words: str) -> str:
        if phase.environment == "oven":
            return "roast" if _MEAT.search(words) else "bake"
        if phase.environment == "grill":
            return "grill"
        if phase.environment == "none":
            return phase.appliance or "other"
        if _STARCH.search(words) and not _FAT.search(words):
            return "boil"
        if re.search(r"\bboil", words):
            return "boil"
        if _LIQUID.search(words) and not re.search(r"\bonions?\b", words):
            return "simmer"
        if _FAT.search(words):
            return "fry"
        return "fry" if re.search(r"\b(?:bacon|sausages?|eggs?|steaks?|patty|patties|fish|shrimps?|prawns?|onions?|garlic|meat|beef|chicken|mushrooms?|peppers?|until (?:golden|brown|browned|soft|translucent|fragrant))\b", words) else "simmer"

    # ------------------------------------------------------------ clauses

    def read(self, draft: Draft) -> None:
        """Take one clause."""
        words = draft.words
        if draft.conditional and draft.act != "preheat":
            if draft.act == "heat" and draft.places and not draft.alternative:
                return
            if not draft.alternative:
                return
        device = next((hit.word.key for hit in draft.hits if hit.word.kind == "appliance"), None)
        if device and self._device(draft, device):
            return
        changes = [p for p in draft.places if p.kind == "change" and p.span.start <= draft.verb.end + 2]
        if draft.act == "preheat" or (draft.act in ("put", "begin", "heat", "turn") and self._sets_oven(draft)):
            self._preheat(draft)
            return
        if changes and draft.boil is None or (changes and draft.act in ("less", "more")):
            self._change(draft, changes[0])
            return
        if draft.hold and not (draft.act == "heat" and draft.method != "warm"):
            self._hold(draft)
            return
        handler = getattr(self, f"_on_{draft.act}", None)
        if handler is not None:
            handler(draft)
        if draft.act not in ("heat", "begin", "time") and draft.has("oven", "rack") and draft.act in ("put", "add", "back", "turn"):
            return
        if _PLAIN_WATER.search(words) is None and draft.act in ("put", "add") and self.current is None:
            self.pan.filled = self.pan.filled or any(h.word.kind == "vessel" and h.word.key == "hob" for h in draft.hits)

    def _sets_oven(self, draft: Draft) -> bool:
        words = draft.words
        if "oven" not in words or draft.has("oven", "rack", "out") and not self._oven_c(draft):
            return False
        if re.search(r"\b(?:turn|switch)\w*\s+(?:the )?(?:oven )?off|off the oven", words):
            return False
        match = _SET_OVEN.search(words)
        return bool(match) and not re.search(r"\b(?:in|into|to|from|dutch) (?:an? |the |your )?(?:\S+ )?oven\b", words)

    def _device(self, draft: Draft, device: str) -> bool:
        words = draft.words
        if device in ("smoker", "barbecue", "open-fire", "dehydrator"):
            if draft.has("oven", "rack"):
                return False
            heat = self._oven_c(draft)
            if heat:
                self.device_c = heat
            self.device = device
            if draft.act in ("preheat",) or (draft.act in ("mix", "cool", "cut", "serve", "out", "time", "cover")):
                if draft.act == "out":
                    self._close()
                return draft.act != "out"
            foodless = re.match(r"\W*(?:\w+\W+){0,5}?(?:chunks|chips|wood|coals?|charcoal|firebox|fire|ash)\b", words) and self._time(draft) is None and draft.sign is None
            if foodless or (draft.act == "put" and heat and self._time(draft) is None and "chunks" in words):
                return True
            if draft.act == "begin" and self._time(draft) is None and draft.sign is None:
                return True
            if draft.act in ("put", "add", "heat", "turn", "back", "begin", "more"):
                self._event(draft, "barbecue" if device == "barbecue" else device, "none")
                return True
            return True
        if device == "microwave" and (draft.has("oven") or "oven" in words.replace("microwave oven", "")):
            return False
        if device == "sandwich-grill" and draft.act == "heat" and draft.method == "toast":
            self._event(draft, "toast", "none")
            return True
        if draft.act in ("cut", "serve", "cool", "out"):
            if draft.act == "out":
                self._close()
            return False
        if draft.act == "time" and self._time(draft) is None:
            return False
        if re.search(r"-safe|\bsafe\b|\bor (?:in )?(?:the |a )?microwave", words):
            return False
        self._event(draft, device, "none")
        return True

    def _preheat(self, draft: Draft) -> None:
        words = draft.words
        if re.search(r"\b(?:broiler|grill|barbecue|bbq|smoker)\b", words) and "oven" not in words:
            self.others.append((draft, "preheat-grill"))
            self.grill_ready = True
            return
        heat = self._oven_c(draft)
        if "oven" in words and "dutch oven" not in words or heat is not None:
            if self.current is not None and self.current.environment == "oven" and heat and heat != self.oven_c:
                self._close()
            self.oven_c = heat
            self.grill_ready = False
            self.oven_draft = draft
            self.others.append((draft, "preheat-oven"))
            return
        self._heat_pan(draft)

    def _heat_pan(self, draft: Draft) -> None:
        """Oil, fat or an empty pan is heated: what follows is fried in it."""
        if self.current is not None and self.current.environment == "hob" and not self.current.weak and self.current.drafts[-1].sentence != draft.sentence:
            self._close()
        heat = self._heat(draft)
        if self.current is not None and self.current.environment == "hob":
            self._close()
        oil = next((m.celsius for m in draft.temperatures if m.role in ("liquid", "surface") and m.celsius and 140 <= m.celsius[0] <= 230), None)
        self.pan = Pan(hot=True, heat=heat, holds="fat" if _FAT.search(draft.words) or oil else "", vessel=True, oil_c=oil, draft=draft)
        self.others.append((draft, "preheat-pan"))

    def _change(self, draft: Draft, place: Place) -> None:
        """The heat is turned up or down, or down to a simmer."""
        current = self.current
        heat = self._oven_c(draft)
        oven = heat is not None or place.noun in ("oven",) or (place.noun in ("temperature", "temp") and current is not None and current.environment == "oven") or (
            current is not None and current.environment == "oven" and place.noun == "heat" and place.heat is None
        )
        seconds = self._time(draft)
        if oven:
            if heat:
                self.oven_c = heat
            self.oven_draft = draft
            self.changed = True
            if current is not None and current.environment == "grill":
                self._close()
            if seconds is not None or draft.sign is not None:
                self._event(draft, current.method if current else "bake", "oven")
            else:
                self.others.append((draft, "change-oven"))
            return
        self.pan.heat = place.heat if place.heat != "simmer" else self.pan.heat or "low"
        if place.heat is None and place.direction == "down":
            self.pan.heat = "low"
        if place.heat == "simmer" or seconds is not None or draft.sign is not None:
            method = "simmer" if place.heat == "simmer" or (current is not None and current.method in ("boil", "simmer")) else (current.method if current else "other")
            if current is None or current.environment not in ("hob", "none"):
                if self.pan.hot or place.heat == "simmer" or self.pan.vessel:
                    self._event(draft, method, "hob")
                return
            self.changed = self.changed or place.heat != "simmer" or not current.boiling
            self._event(draft, method, current.environment)
            return
        self.changed = True
        self.others.append((draft, "change-hob"))
        if current is not None:
            current.drafts.append(draft)

    def _hold(self, draft: Draft) -> None:
        if draft.has("oven", "rack") or self._oven_c(draft):
            self._close()
            phase = self._start(draft, "warm", "oven")
            phase.celsius = self._oven_c(draft)
            phase.marks.add("hold")
            self._close()
        else:
            self.others.append((draft, "hold"))
            if draft.act in ("out", "put") or draft.method == "warm":
                self._close()

    # ------------------------------------------------------------ acts

    def _on_put(self, draft: Draft) -> None:
        words = draft.words
        if re.match(r"\W*\w+\W+(?:an?\W+|the\W+|your\W+|one\W+|another\W+)?(?:\w+\W+){0,2}(?:racks?|shelf|shelves)\b|.*\b(?:tray|sheet|piece|pan|bowl|tin|dish|layer) of (?:alumini?um |tin |hot |boiling |cold )?(?:foil|water|ice)|.*\b(?:baking|pizza) stone\b|.*\bdrip pan\b|.*\bempty\b", words):
            return
        if draft.has("oven", "rack") and not draft.has("hob"):
            if self.grill_ready and not draft.has("oven"):
                self._event(draft, "grill", "grill", weak=True)
            else:
                self._event(draft, "", "oven", weak=True)
            return
        if draft.has("grill"):
            self._grill(draft)
            return
        if draft.has("hob"):
            self._on_stove(draft)
            return
        if draft.has("at") and self._oven_c(draft) and self._time(draft):
            self._event(draft, "", "oven", weak=True)
            return
        vessels = [h.word.key for h in draft.hits if h.word.kind == "vessel"]
        if _HOT_LIQUID.search(words):
            self._hot(draft)
            return
        if "hob" in vessels:
            if self.current is not None and (self.current.environment != "hob" or _NEW_VESSEL.search(words) or _SEPARATE.search(words)):
                self._close()
            if self.pan.hot and not _NEW_VESSEL.search(words):
                self._hot(draft)
                return
            self.pan = Pan(hot=False, vessel=True, filled=True, draft=draft)
            return
        if "either" in vessels or "oven" in vessels:
            self.in_oven_dish = True
        if self.current is not None and self.current.environment in ("hob", "grill") and ("cold" in vessels) and draft.end - draft.start > 8:
            self._close()
            return
        if self.current is not None and self.current.environment == "oven" and ("cold" in vessels or "rack" in words):
            self._close()
            return
        if self.pan.hot and self.current is None and not vessels and self.pan.draft is not None and draft.step - self.pan.draft.step <= 1 and "set aside" not in words:
            if self._time(draft) is not None or draft.sign is not None or self.pan.holds == "water":
                self._hot(draft)
            return
        if self._time(draft) is not None and self.current is not None:
            self._event(draft, "", self.current.environment, weak=True)

    def _grill(self, draft: Draft) -> None:
        if self.outdoor and "grill" in draft.words:
            self._event(draft, "barbecue", "none", weak=True)
        else:
            self._event(draft, "grill", "grill", weak=True)

    def _on_stove(self, draft: Draft) -> None:
        """A pan goes over heat."""
        if self.current is not None and (self.current.environment != "hob" or re.search(r"\b(?:another|separate|a|an) ", draft.words[:40])):
            self._close()
        filled = self.pan.filled or bool(_LIQUID.search(draft.words)) or re.search(r"\b(?:mixture|ingredients|sugar|meat|chicken|onions?|vegetables|all|everything|it|them|butter|beans)\b", draft.words) is not None
        self.pan = Pan(hot=True, heat=self._heat(draft), vessel=True, filled=filled, draft=draft, holds="fat" if _FAT.search(draft.words) else "")
        if self._time(draft) is not None or draft.sign is not None or (filled and draft.sign is not None):
            self._event(draft, "", "hob", weak=True)
        else:
            self.others.append((draft, "preheat-pan"))

    def _hot(self, draft: Draft) -> None:
        """Food goes into something hot."""
        words = draft.words
        method = "boil" if re.search(r"\b(?:boiling|simmering)\b", words) or self.pan.holds == "water" else ("fry" if self.pan.holds == "fat" or "oil" in words else "")
        self._event(draft, method, "hob", weak=True)

    def _on_add(self, draft: Draft) -> None:
        words = draft.words
        if draft.has("oven", "rack"):
            self._event(draft, "", "oven", weak=True)
            return
        if draft.has("grill"):
            self._grill(draft)
            return
        vessels = [h.word.key for h in draft.hits if h.word.kind == "vessel"]
        if draft.has("hob") and not re.search(r"\bbowl\b", words):
            if self.current is None or self.current.environment != "hob":
                self._on_stove(draft)
                if self.current is None and re.search(r"\breturn|put back|back (?:in|on|to)", words):
                    self._event(draft, "", "hob", weak=True)
                return
        if self.current is not None and self.current.environment == "hob" and re.search(r"\b(?:in|into|to) (?:an|a) (?:\w+ ){0,3}(?:pan|pot|saucepan|skillet|wok|stockpot|casserole|dutch oven)\b", words):
            self._close(cold=True)
            self.pan = Pan(vessel=True, filled=True, draft=draft)
            return
        if self.current is not None and self.current.environment == "hob":
            if "cold" in vessels and re.search(r"\b(?:in|into|to) (?:an? |the )?(?:\w+ ){0,2}(?:bowl|jug|jar|glass|cup|container|plate|tureen|dish)\b", words) or "oven" in vessels:
                self._close(cold=True)
                return
            if re.search(r"\b(?:pour|tip)\w*\b.*\b(?:over|onto) (?:the |an? )", words) and not re.search(r"pan|pot|skillet", words):
                self._close()
                return
            self.added = True
            if self._time(draft) is not None or (draft.sign is not None and self.current.signed):
                self._event(draft, "", "hob", weak=True)
            else:
                self.current.words.append(words)
                if draft.sign is not None or draft.lid is not None:
                    self._take(self.current, draft)
            return
        if self.current is not None and self.current.environment in ("oven", "none"):
            self.added = True
            if self._time(draft) is not None:
                self._event(draft, "", self.current.environment, weak=True)
            elif "oven" in vessels or "cold" in vessels:
                self._close()
            return
        if _HOT_LIQUID.search(words):
            self._hot(draft)
            return
        if self.pan.hot and self.pan.draft is not None and "cold" not in vessels and "oven" not in vessels and draft.step - self.pan.draft.step <= 2:
            self._hot(draft)
            return
        if "hob" in vessels:
            self.pan = Pan(hot=self.pan.hot, heat=self.pan.heat, vessel=True, filled=True, draft=draft)

    _on_back = _on_add

    def _on_turn(self, draft: Draft) -> None:
        if draft.has("oven", "rack"):
            self._event(draft, "", "oven", weak=True)
            return
        words = draft.words
        if re.search(r"\b(?:out|onto|into) (?:an? |the |onto |to )*(?:\w+ )?(?:plate|board|bowl|rack|surface|dish)\b|\bturn out\b", words):
            self._close()
            return
        current = self.current
        if draft.boil:
            self._boil(draft)
            return
        seconds = self._time(draft)
        if re.search(r"\bbowl\b", words) and not draft.has("hob"):
            return
        if current is None:
            if (self.pan.hot or draft.has("hob")) and (seconds is not None or draft.sign is not None or draft.has("hob")):
                self._event(draft, "", "hob", weak=True)
            return
        if draft.has("hob") and current.environment != "hob":
            self._event(draft, "", "hob", weak=True)
            return
        if seconds is not None or draft.has("hob"):
            self._event(draft, "", current.environment, weak=True)
            return
        if draft.sign is not None and current.environment == "hob" and not current.signed and current.seconds is None:
            self._take(current, draft)

    def _on_out(self, draft: Draft) -> None:
        words = draft.words
        if _LID_WORDS.search(words) and not _FROM_HEAT.search(words) and re.match(r"\W*\w+\W+(?:off\W+)?(?:the\W+|any\W+)?(?:\w+\W+)?(?:lid|foil|cover|paper|cloth|weights|parchment)", words):
            if draft.lid == "off":
                self._lid("off")
            return
        if _FROM_HEAT.search(words):
            self.others.append((draft, "remove"))
            self._close(cold=True)
            return
        if re.match(r"\W*(?:drain|strain)", words):
            self._close(cold="fat" not in words and "grease" not in words)
            return
        if _FROM_PAN.search(words):
            if not (_KEEP.search(words) or re.search(r"\bhalf\b", words)):
                self._close()
            return
        if _KEEP.search(words):
            return
        if re.match(r"\W*(?:remove|take|set aside|lift|pull|discard)", words) or "set aside" in words:
            if draft.lemma in ("press", "scoop"):
                return
            self._close()

    def _on_off(self, draft: Draft) -> None:
        self.others.append((draft, "off"))
        if self.current is not None:
            self.current.drafts.append(draft)
        elif self.phases:
            self.phases[-1].marks.add("off")
        self._close(cold=True)

    def _on_cover(self, draft: Draft) -> None:
        if draft.lid in ("on", "foil"):
            self._lid(draft.lid)
            if self._time(draft) is not None and self.current is not None:
                self._event(draft, "", self.current.environment, weak=True)

    def _on_uncover(self, draft: Draft) -> None:
        self._lid("off")
        if self._time(draft) is not None and self.current is not None:
            self._event(draft, "", self.current.environment, weak=True)

    def _lid(self, lid: str) -> None:
        self.pending_lid = lid

    def _on_cool(self, draft: Draft) -> None:
        if draft.lemma in ("sit", "stand", "rest") and self.current is not None and draft.lid is None and self._time(draft) is not None:
            return
        self.pending_lid = None
        self._close()

    def _on_mix(self, draft: Draft) -> None:
        words = draft.words
        if draft.boil:
            self._boil(draft)
            return
        if draft.has("oven") and (self._time(draft) is not None or draft.has("at")):
            self._event(draft, "", "oven", weak=True)
            return
        if draft.has("hob") and re.search(r"\b(?:pan|pot|saucepan|skillet|stove|boiler|wok)\b", words) and not re.search(r"\bbowl\b", words):
            self._on_stove(draft)
            return
        if re.search(r"\bin (?:an? |the )?(?:\w+ ){0,4}bowl\b", words):
            if self.current is not None and self.current.environment == "oven" and self.current.seconds is not None:
                pass
            return
        vessels = [h.word.key for h in draft.hits if h.word.kind == "vessel"]
        if "hob" in vessels and re.search(r"\bin (?:an? |the |your )", words):
            if self.current is not None and _NEW_VESSEL.search(words):
                self._close()
            if self.current is None:
                self.pan = Pan(hot=False, vessel=True, filled=True, draft=draft)

    def _on_serve(self, draft: Draft) -> None:
        self._close()

    def _on_begin(self, draft: Draft) -> None:
        if draft.boil:
            self._boil(draft)
            return
        words = draft.words
        if draft.has("oven", "rack"):
            if re.search(r"\b(?:cool|turned[- ]off|off)\b", words):
                self.others.append((draft, "off-inside"))
                return
            self._event(draft, "", "oven", weak=True)
            return
        if draft.has("hob"):
            self._event(draft, "", "hob", weak=True)
            return
        if self.current is not None and self.current.environment != "oven" and (self._time(draft) is not None or (draft.sign is not None and not self.current.signed)):
            if re.search(r"\b(?:rest|cool|stand|sit|soak|absorb|steep)\b", words):
                return
            self._event(draft, "", self.current.environment, weak=True)

    def _on_time(self, draft: Draft) -> None:
        """A sentence that only gives a time: it belongs to what is cooking."""
        if draft.has("hob") and not draft.times and any(h.word.kind == "vessel" and h.word.key == "hob" for h in draft.hits):
            self._heat_pan(draft)
            return
        current = self.current or (self.phases[-1] if self.phases and draft.step - self.phases[-1].drafts[-1].step <= 1 else None)
        seconds = self._time(draft)
        if current is None or seconds is None or current.seconds is not None:
            return
        current.seconds = seconds
        current.step = draft.step
        current.drafts.append(draft)

    def _boil(self, draft: Draft) -> None:
        words = draft.words
        if _PLAIN_WATER.search(words) and not _NOT_PLAIN.search(words) and self._time(draft) is None and not (self.current is not None and self.current.environment == "hob" and not _SEPARATE.search(words) and not _NEW_VESSEL.search(words) and "a pot" not in words):
            if self.current is not None:
                self._close()
            self.pan = Pan(hot=True, heat="high", holds="water", vessel=True, draft=draft)
            self.others.append((draft, "water"))
            return
        if self.pan.filled and self.pan.holds == "water" and self.current is None:
            self.pan.holds = ""
        phase = self._event(draft, "simmer" if draft.boil == "simmer" else "boil", "hob")
        if phase is not None:
            phase.marks.add("from-boil")
        if phase is not None and self._time(draft) is None and draft.sign is None:
            phase.boiling = True

    # ------------------------------------------------------------ heating verbs

    def _on_heat(self, draft: Draft) -> None:
        words, method = draft.words, draft.method
        environment = draft.environment
        if draft.hold and method == "warm":
            self._hold(draft)
            return
        if method == "warm" and draft.lemma in ("heat", "warm", "reheat") or method == "melt":
            if self._sets_oven(draft) or re.match(r"\W*(?:\w+ly )?heat\w*\W+(?:up )?(?:the |your |an? )?(?:\w+ )?oven\b", words):
                self._preheat(draft)
                return
            if re.search(r"\bheat\w*\W+(?:up )?(?:the |your |an? )?(?:\w+[ -])?(?:grill|broiler|barbecue|coals|griddle pan)\b", words):
                self.others.append((draft, "preheat-grill"))
                return
            if method == "warm" and not draft.has("oven") and _OIL_ONLY.match(words) and not (draft.boil and not _FAT.search(words)):
                self._heat_pan(draft)
                return
            if _PLAIN_WATER.search(words) and not _NOT_PLAIN.search(words) and self._time(draft) is None:
                self.pan = Pan(hot=True, holds="water", vessel=True, draft=draft)
                self.others.append((draft, "water"))
                return
        if draft.boil and method in ("warm", "other") or (method == "warm" and re.search(r"\buntil (?:it )?(?:boil|simmer)", words)):
            self._boil(draft)
            return
        if method == "boil" and self._time(draft) is None and re.match(r"(?:.*\b)?boil\w*\W+(?:up\W+)?(?:(?:a|an|some|the|enough|large|big|small|pan|pot|kettle|saucepan|of|plenty|lots|salted|lightly|cold|fresh|\S*\d\S*|[½¼¾⅓⅔]|cups?|litres?|liters?|quarts?|pints?|l|ml|two|three|four)\W+){0,8}(?:water|kettle)\b", words) and not _NOT_PLAIN.search(words):
            if self.current is not None:
                self._close()
            self.pan = Pan(hot=True, heat="high", holds="water", vessel=True, draft=draft)
            self.others.append((draft, "water"))
            return
        if draft.lemma == "deglaze" and self.current is not None and self.current.environment == "hob" and (self.current.signed or self.current.seconds is not None):
            self._close()
        if draft.needs == "hob" and not ((self.current is not None and self.current.environment == "hob") or self.pan.hot or draft.has("hob") or any(h.word.kind == "vessel" and h.word.key == "hob" for h in draft.hits)):
            return
        if method == "reduce" and re.match(r"\W*reduc\w+\W+(?:the |your )?(?:\w+ )?(?:mixer|speed|amount|quantity|number|cooking|time|baking|salt|sugar|to (?:a )?(?:crumbs|puree|powder))", words):
            return
        if draft.needs == "liquid" and not (self.current is not None and self.current.environment == "hob" or self.pan.hot or draft.has("hob")):
            return
        if draft.needs == "place" and not draft.places:
            return
        if environment == "none":
            if method == "microwave" and draft.has("oven"):
                return
            self._event(draft, method, "none")
            return
        if environment == "grill":
            outdoor = self.outdoor
            if outdoor and draft.lemma in ("grill",):
                self._event(draft, "barbecue", "none")
            elif draft.has("oven") and self._oven_c(draft):
                self._event(draft, method, "oven")
            else:
                self._event(draft, method, "grill")
            return
        resolved = self._where(draft, environment)
        if resolved is None:
            return
        if resolved == "none" and self.device:
            method = self.device
        elif resolved == "hob" and method == "roast":
            method = "toast"
        elif resolved == "grill" and method not in ("toast",):
            method = "grill"
        self._event(draft, "" if draft.general else method, resolved, general=draft.general)

    def _where(self, draft: Draft, environment: str) -> str | None:
        """Return the environment that a verb works in here, or ``None`` where nothing says so."""
        words = draft.words
        if draft.has("grill") and environment != "hob":
            return "grill"
        if draft.has("oven", "rack"):
            return "oven"
        vessels = [h.word.key for h in draft.hits if h.word.kind == "vessel"]
        hob_vessel = "hob" in vessels
        current = self.current
        if environment == "oven":
            if draft.method == "roast" and self._oven_c(draft) is None and self.oven_c is None and (hob_vessel or draft.has("hob") or (current is not None and current.environment == "hob" and self._time(draft) is None)):
                return "hob"
            if self.device in ("smoker", "barbecue") and self.oven_c is None and current is not None and current.environment == "none":
                return "none"
            return "oven"
        if environment == "hob":
            if current is not None and current.environment == "oven" and draft.method in ("brown", "simmer", "melt", "steam", "braise") and not hob_vessel and not draft.has("hob") and draft.lid is None and draft.method == "brown":
                return "oven"
            return "hob"
        if draft.has("hob"):
            return "hob" if not (current is not None and current.environment == "none" and current.method in ("slow-cooker", "pressure-cooker", "microwave", "smoker", "barbecue")) else "none"
        if self._oven_c(draft) is not None:
            return "oven"
        if draft.method == "toast":
            if current is not None and current.environment in ("oven", "hob"):
                return current.environment
            return "hob"
        if draft.method == "braise" and self.oven_c is not None:
            return "oven"
        if hob_vessel:
            return "hob"
        if current is not None and (current.environment != "oven" or draft.step - current.drafts[-1].step <= 2):
            return current.environment
        if self.pan.hot or (self.pan.vessel and self.pan.draft is not None and draft.step - self.pan.draft.step <= 4):
            return "hob"
        if draft.general:
            if "oven" in vessels or (self.oven_c is not None and self.in_oven_dish):
                return "oven"
            if _STARCH.search(words) and (draft.sign is not None or draft.times or _PLAIN_WATER.search(words) or re.search(r"\b(?:package|packet|instructions|directions|according)\b", words)):
                return "hob"
            if _PLAIN_WATER.search(words) or _FAT.search(words) and draft.sign is not None:
                return "hob"
            return None
        return "hob"

    # ------------------------------------------------------------ events

    def _event(self, draft: Draft, method: str, environment: str, *, weak: bool = False, general: bool = False) -> Open | None:
        """Heating is said: carry the open phase on or start a new one."""
        current = self.current
        if environment == "oven":
            heat = self._oven_c(draft)
            phase = self._oven_event(draft, method, heat, weak=weak, general=general)
        elif environment == "hob":
            phase = self._hob_event(draft, method, weak=weak, general=general)
        else:
            if current is not None and current.environment == environment and (not method or current.method == method) and not self.changed and self._joins(current, draft):
                self._take(current, draft)
                current.weak = current.weak and weak
                phase = current
            else:
                phase = self._start(draft, method or ("grill" if environment == "grill" else "other"), environment, weak=weak)
            if environment == "none":
                phase.celsius = self._oven_c(draft) or phase.celsius or self.device_c
                phase.appliance = phase.method
        if general:
            phase.general = True
        return phase

    def _joins(self, current: Open, draft: Draft) -> bool:
        """Tell whether a clause without a change of heat carries the open phase on."""
        seconds = self._time(draft)
        lid = draft.lid or self.pending_lid
        if lid is not None and lid != (current.lid or "off") and (current.seconds is not None or current.signed) and not current.weak and not (lid == "off" and current.lid is None):
            return False
        if seconds is None or current.seconds is None:
            return not (seconds is not None and self.added and current.signed and not current.weak)
        if self.added:
            return False
        return bool(_TURN_OVER.search(draft.words)) or (any(m.more for m in draft.times) and draft.step == current.step) or draft.sentence == current.drafts[-1].sentence

    def _oven_event(self, draft: Draft, method: str, heat: Range | None, *, weak: bool, general: bool) -> Open:
        current = self.current
        if heat is not None and self.oven_c is not None and current is not None and current.environment == "oven" and current.celsius is not None and not _near(heat, current.celsius):
            self.changed = True
        joins = (
            current is not None
            and current.environment == "oven"
            and not self.changed
            and self._joins(current, draft)
            and (draft.step - current.drafts[-1].step <= 1 or current.seconds is None)
            and not (draft.alternative and current.drafts)
        )
        if joins and current is not None:
            if method and (current.weak or current.general or not current.method):
                current.method = method
            current.weak = current.weak and weak
            self._take(current, draft)
            phase = current
        else:
            if current is not None:
                self._close()
            phase = self._start(draft, method, "oven", weak=weak)
        if heat is not None:
            self.oven_c = heat
        if phase.celsius is None:
            phase.celsius = heat or self.oven_c
        return phase

    def _hob_event(self, draft: Draft, method: str, *, weak: bool, general: bool) -> Open:
        current = self.current
        words = draft.words
        fresh = bool(_SEPARATE.search(words)) or draft.alternative
        if current is not None and (current.environment != "hob" or fresh):
            if current.environment == "oven" and not fresh and current.weak:
                current.weak = False
            self._close()
            current = None
        if current is not None and _NEW_VESSEL.search(words) and not current.weak and draft.act == "heat":
            self._close()
            current = None
        if current is not None:
            heat = self._heat(draft)
            family = _family(method)
            was = _family(current.method)
            boil_up = current.boiling and current.seconds is None
            done = current.seconds is not None or current.signed
            if draft.boil and was in ("dry", "reduce", "") and current.method and done:
                joins = False
            elif current.heat is None and heat is not None and done and not draft.words.startswith("cook"):
                joins = False
            elif boil_up and family in ("wet", ""):
                joins = True
            elif current.fat_only and not self.changed and not (heat and current.heat and heat != current.heat) and method != "melt":
                joins = True
            elif current.weak and (not self.changed or not done):
                joins = True
            elif method == "melt" or current.method == "melt":
                joins = method == "melt" or (not self.changed and not method)
            elif self.changed and (current.seconds is not None or current.signed or not boil_up):
                joins = False
            elif heat and current.heat and heat != current.heat and (current.seconds is not None or current.signed):
                joins = False
            elif family and was and family != was and not (current.weak or current.general and not current.signed):
                joins = method == "other" and not draft.times or (method == "reduce" and was == "wet" and self._time(draft) is None and current.seconds is None)
            elif method == "boil" and current.method in ("boil", "simmer") and current.seconds is not None and self._time(draft) is None and draft.boil == "boil":
                joins = not self.added
            else:
                joins = self._joins(current, draft)
            if joins:
                if method and (current.weak or current.general or boil_up or current.fat_only or not current.method or (method == "simmer" and current.method == "boil")):
                    current.method = method
                if current.fat_only and self._time(draft) is None and not current.signed:
                    current.step = draft.step if draft.act == "heat" and not draft.general else current.step
                if self._time(draft) is not None or method == "simmer":
                    current.boiling = False
                current.weak = current.weak and weak
                current.fat_only = current.fat_only and weak
                self._take(current, draft)
                return current
            self._close()
        phase = self._start(draft, method, "hob", weak=weak or draft.lemma == "deglaze")
        if phase.heat is None:
            phase.heat = self.pan.heat
        if self.pan.oil_c is not None and method in ("fry", "other", "", "deep-fry", "brown", "warm"):
            phase.celsius = self.pan.oil_c
            phase.method = "deep-fry"
        if phase.method == "melt" and _FAT.search(words) and not re.search(r"\b(?:chocolate|sugar|cheese|marshmallows?|syrup|honey|treacle|molasses|caramel|and)\b", words):
            phase.fat_only = True
        if not phase.method:
            phase.method = "boil" if self.pan.holds == "water" else ("fry" if self.pan.holds == "fat" else "")
        self.pan.hot = True
        if self.pan.draft is None:
            self.pan.draft = draft
        return phase


_BROWN = re.compile(r"\b(?:until|till)\b[^.;]{0,30}\bbrown(?:ed)?\b")
_MEATS = re.compile(r"\b(?:beef|lamb|pork|meat|meatballs?|balls|chicken|sausages?|mince|veal|turkey|chops?|steaks?|bacon)\b")
_MEAT = re.compile(r"\b(?:beef|lamb|pork|chicken|turkey|duck|goose|roast|joint|meat|ham|ribs?|venison|potatoes|vegetables|peppers|garlic|squash|beets?|carrots)\b")


def _near(a: Range, b: Range) -> bool:
    return max(a[0], b[0]) - min(a[1], b[1]) <= 3


def _family(method: str) -> str:
    if method in ("boil", "simmer", "poach", "braise", "steam"):
        return "wet"
    if method in ("fry", "saute", "sweat", "brown", "sear", "shallow-fry", "toast", "deep-fry"):
        return "dry"
    return "reduce" if method == "reduce" else ""


def mentions_of(mentions: tuple[Mention, ...], span: Span) -> list[Mention]:
    """Return the mentions inside a span."""
    return [m for m in mentions if span.start <= m.span.start < span.end]
