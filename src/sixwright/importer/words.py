"""The words by which a producer's own spreadsheet names its columns and its parts."""

import re
import unicodedata
from collections.abc import Mapping

from sixwright.importer.words_abroad import meaning_abroad
from sixwright.kernel.currency import CURRENCIES

# What a column can be read as, and how that is said. `--column NAME=MEANING` takes these.
MEANINGS = {
    "id": "the code of each part",
    "name": "the name of each part",
    "kind": "the kind of each part",
    "look": "the look each part belongs to",
    "group": "what the public counts each part as",
    "fits": "the joint each part fits",
    "takes": "the joints each part takes",
    "grips": "what each hand can hold",
    "held": "what kind of thing each part is to a hand",
    "hazards": "what of each part can hurt somebody",
    "note": "a note on each part",
    "maker": "the maker who quotes for each part",
    "process": "the way each part is made",
    "currency": "the currency of each part’s quote",
    "tool": "the tool that each part comes out of",
    "tooling": "the cost of each part’s tooling",
    "minimum": "the least that can be ordered of each part",
    "price": "the price of one piece of each part",
    "minutes": "the minutes of assembly or painting for one piece",
    "yield": "the share of good pieces of each part",
    "lead_days": "the days from order to delivery",
    "lead_weeks": "the weeks from order to delivery",
    "valid_until": "the last day of each part’s quote",
    "mass_g": "the mass of each part in grams",
    "mass_kg": "the mass of each part in kilograms",
    "box": "the pieces of each part in one box",
    "keep": "a column of your own, kept in parts.csv as it is",
    "ignore": "nothing, and left out",
}
for _what in ("size", "length", "width", "height"):
    for _unit, _units in (("mm", "millimetres"), ("cm", "centimetres"), ("in", "inches")):
        MEANINGS[f"{_what}_{_unit}"] = f"the {_what} of each part in {_units}"

# Column names, after `plain`; the first that fits the whole name counts.
HEADERS = tuple(
    (meaning, re.compile(pattern))
    for meaning, pattern in (
        ("keep", r"(grand |sub ?|line )?(total|sum)\b.*|.*\btotal|extended.*|amount|stock|on hand"),
        ("keep", r"rrp|retail.*|sell(ing)? price|ordered|inventory|status|owner|page|year"),
        ("keep", r"rev(ision)?|version|pos(ition)?|row|line|index|colou?rs?|materials?|pictures?"),
        ("id", r"id|sku|code|((part|item|article) )?(code|id|no|nr|number)|ref(erence)?( no)?"),
        ("name", r"(part |item )?(name|description|title)|parts?|items?|components?|desc|what"),
        ("kind", r"(part )?(kind|type|category|class)"),
        ("look", r"looks?|design|outfit|costume"),
        ("group", r"group|counts as"),
        ("fits", r"fits"),
        ("takes", r"takes"),
        ("grips", r"grips"),
        ("held", r"held( as)?"),
        ("hazards", r"hazards?|dangers?|cautions?"),
        ("note", r"notes?|remarks?|comments?|memo"),
        ("maker", r"makers?|suppliers?|vendors?|factory|manufacturer|made by|workshop"),
        ("process", r"way|process|method|technique|how( it is)? made"),
        ("currency", r"currency|ccy|curr?"),
        ("tool", r"tool|tool (id|no|name)"),
        ("tooling", r"(tooling|mou?lds?)( costs?| fee| price)?|tool (costs?|fee|price)"),
        ("minimum", r"moq|min(imum)?( order)?( qty| quantity)?|least order"),
        ("price", r"(unit|piece|part|factory|ex ?works|exw) (price|cost)|price|cost|quote|each"),
        ("price", r"(unit )?(price|cost|quote) (a |per |an? )?(unit|piece|pc|pcs|part|each|ea)"),
        ("minutes", r"((assembly|paint(ing)?|labou?r|work|handling) )?(minutes|mins?)( .*)?"),
        ("time", r"(assembly|paint(ing)?|labou?r|work)( time)?|time"),
        ("yield", r"yield|good share"),
        ("lead", r"lead( time)?( days| weeks)?|delivery (days|weeks)"),
        ("valid_until", r"((quote|price|offer)s? )?(valid( until| till| to)?|validity)( date)?"),
        ("valid_until", r"((quote|price|offer)s? )?expir(y|es|ation)( date)?"),
        ("valid_until", r"(quote|price|offer)s? (good |stands? )?(until|till|til|to|through)"),
        ("valid_until", r"(good|stands?) (until|till|til|to|through)"),
        ("mass", r"((net|unit|piece) )?(weight|mass|wt)( g| kg| grams?)?|grams?|g|kg"),
        ("size", r"(size|dim(ension)?s?)( mm| cm)?|measurements?|l ?x? ?w ?x? ?h|mm"),
        ("length", r"l|length( mm| cm)?"),
        ("width", r"w|width( mm| cm)?"),
        ("height", r"h|height( mm| cm)?"),
    )
)  # fmt: skip

_QUANTITY = r"\d{1,3}(?:[,.' ]?\d{3})+|\d+"
# “From”, as other languages say it before a quantity.
_FROM = "ab|dès|à partir de|desde|da"
BREAK = re.compile(
    r"(?:(?:unit |piece )?(?:price|cost|quote|preis|stückpreis|prix|precio|prezzo)s? ?"
    rf"(?:at|from|for|if|{_FROM})? ?@? ?(?:moq |qty )?"
    rf"(?P<a>{_QUANTITY}) ?\+?(?: ?pcs?| pieces)?"
    rf"|(?:@|from|at|≥|>=|qty|quantity|{_FROM}) ?(?P<b>{_QUANTITY}) ?\+?(?: ?pcs?| pieces)?"
    rf"|(?P<c>{_QUANTITY}) ?(?:\+|pcs?|pieces|off|up|and up|or more))"
)
# A column with one of these words in its name is no box, whatever its numbers are.
NO_BOX = re.compile(
    r"\b(prices?|costs?|amount|total|fee|tariff|weight|mass|rrp|msrp|moq|minutes|mins|percent|usd|"
    r"eur|cny|gbp|rmb)\b"
)
# What a merged cell above some columns says that they are.
ABOVE = {
    "box": re.compile(
        r"(pieces |pcs |qty |quantity )?(in |per |for )?(each |the )?(boxes|box|editions?|sets?|"
        r"versions?)|contents?( of (the )?box(es)?)?"
        r"|boxen|editionen|schachteln|coffrets?|boîtes?|éditions?|cajas?|ediciones|scatole|edizioni"
    ),
    "price": re.compile(
        r"((unit|piece|ex ?works|exw|factory) )?(prices?|costs?|quotes?)( (breaks?|tiers?|list))?"
        r"( (at|from|for|by|per|@))*( (moq|qty|quantity|volume))?"
        rf"|((stück|einzel)?preise?|prix( unitaires?)?|precios?( unitarios?)?|prezz[oi])( {_FROM})?"
    ),
}
QUANTITY_WORDS = re.compile(r"\b(qty|quantity|pcs|pieces|count|per box|in box|box)\b")

_KIND_WORDS = {
    "head": "head heads sculpt",
    "hand": "hand hands fist fists palm palms",
    "body": "body bodies torso",
    "garment": "garment garments suit coat cape cloak shirt trousers pants jacket belt harness "
    "skirt vest waistcoat collar scarf hat cap skullcap apron robe tunic strap straps glove gloves "
    "dress sock socks hood shawl sash tie poncho sleeve blouse gown stockings",
    "shoe": "shoe shoes boot boots sandal sandals sole soles slipper slippers",
    "prop": "prop props lantern book staff rope bag crank slate sword axe oar umbrella bottle cup "
    "satchel pouch tool hammer pipe letter map basket bucket stick cane pistol rifle knife bell",
    "metal": "metal key keys buckle buckles coin coins chain chains medal medals ring rings badge "
    "badges rivet rivets stud studs",
    "mask": "mask masks visor",
    "joint": "joint joints peg pegs",
    "base": "base bases plinth diorama dial magnet magnets backdrop",
    "light": "light lights led leds lamp",
    "stand": "stand stands",
    "packing": "packing packaging box boxes tray trays carton cartons mailer blister insert "
    "polybag shipper wrap",
}
KIND_OF_WORD = {word: kind for kind, words in _KIND_WORDS.items() for word in words.split()}

TOTAL = re.compile(
    r"((grand|sub)[ -]?)?totals?\b.*|sums?|subtotals?|overall"
    r"|summe|gesamt|somme|suma|totale?s?|合[计計]|总计",
    re.IGNORECASE,
)


def plain(header: str) -> str:
    """A column's name in lower case, without brackets, currencies and marks."""
    codes = re.sub(r"\b[A-Z]{3}\b", lambda word: "" if word[0] in CURRENCIES else word[0], header)
    text = unicodedata.normalize("NFKC", codes).casefold()
    text = re.sub(r"[(\[]\s*([@≥]?\s*\d[\d.,' ]*\+?)\s*(?:pcs?|pieces)?\s*[)\]]", r" \1 ", text)
    text = re.sub(r"\([^)]*\)|\[[^\]]*\]", " ", text)
    text = re.sub(r"[€£$¥]|\b(us\$|rmb)\b", " ", text)
    text = re.sub(r"(?<=\d)[.,'](?=\d{3}\b)", "", text)
    return re.sub(r"[^\w@+≥]+|_", " ", text).strip()


def meaning_of(header: str) -> str | None:
    """What a column's name says it is; None where it is none that parts lists use."""
    name = plain(header)
    known = (meaning for meaning, pattern in HEADERS if pattern.fullmatch(name))
    return next(known, None) or meaning_abroad(name)


def kind_in(text: str) -> str | None:
    """The kind that a part's name states: of its words that name one, the last."""
    words = re.split(r"[^a-z]+", text.casefold().split(",")[0].split("(")[0])
    named = [KIND_OF_WORD[word] for word in words if word in KIND_OF_WORD]
    if named:
        return named[-1]
    words = re.split(r"[^a-z]+", text.casefold())
    named = [KIND_OF_WORD[word] for word in words if word in KIND_OF_WORD]
    return named[0] if named else None


def kind_by(text: str, told: Mapping[str, str], *, ours: bool = True) -> str | None:
    """The kind that a text names: by what the producer says its words mean, else by ours.

    Parameters
    ----------
    told
        Word, or several words, in lower case to kind.
    ours
        Whether the words that we know count, too.
    """
    lower = " ".join(text.casefold().split())
    if not lower:
        return None
    known = (
        kind for word, kind in told.items() if re.search(rf"(?<!\w){re.escape(word)}(?!\w)", lower)
    )
    own = told.get(lower) or next(known, None)
    return own or (kind_in(text) if ours else None)
