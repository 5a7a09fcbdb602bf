"""Words of other languages by which spreadsheets name columns and kinds of part.

Common practice, no source: words of the trade in German, French, Spanish and Italian. Kinds count
only in a sheet whose columns are named in that language: “main” is a hand in French alone.
"""

import re
from collections.abc import Iterable, Mapping
from functools import lru_cache

# Language, then meaning as `words.HEADERS` has it, to names of columns after `words.plain`.
_NAMES: Mapping[str, Mapping[str, str]] = {
    "de": {
        "name": r"(teile)?bezeichnung|benennung|bauteil|teil|teilename|artikel(bezeichnung)?",
        "kind": r"art|typ|teileart|teiletyp|kategorie",
        "maker": r"lieferant(en)?|hersteller|fertiger",
        "minimum": r"mindest(bestell)?menge|mindestabnahme",
        "price": r"(stück|einzel|einkaufs)?preis( (je|pro) stück)?|stückkosten",
        "tooling": r"werkzeug(kosten)?|formkosten",
        "currency": r"währung",
        "valid_until": r"(angebot )?gültig bis|angebot bis|gültigkeit",
        "mass": r"gewicht( g| kg)?",
        "size": r"abmessung(en)?( mm| cm)?|grösse( mm| cm)?",
        "time": r"montagezeit|arbeitszeit|malzeit",
        "minutes": r"(montage|arbeits|mal)?minuten",
        "lead": r"lieferzeit( tage| wochen)?",
        "process": r"verfahren|fertigung",
        "hazards": r"gefahr(en)?",
        "note": r"bemerkung(en)?|anmerkung(en)?|notiz(en)?|hinweise?",
    },
    "fr": {
        "name": r"nom|désignation|libellé|pièces?|nom de la pièce",
        "kind": r"catégorie|type de pièce|genre",
        "maker": r"fournisseur|fabricant",
        "minimum": r"(qté|quantité) (min|mini|minimum|minimale)|commande minimale",
        "price": r"prix( unitaire| à la pièce)?|coût unitaire",
        "tooling": r"outillage|coût d outillage|moule",
        "currency": r"devise|monnaie",
        "valid_until": r"(date de )?validité|valable jusqu au",
        "mass": r"(masse|poids)( g| kg)?",
        "size": r"taille|dimensions",
        "lead": r"délai( de livraison)?( jours| semaines)?",
        "process": r"procédé",
        "hazards": r"risques?",
        "note": r"remarques?|commentaires?",
    },
    "es": {
        "name": r"nombre|pieza|descripción|denominación",
        "kind": r"tipo|categoría",
        "maker": r"proveedor|fabricante",
        "minimum": r"(cantidad|pedido) mínim[oa]",
        "price": r"precio( unitario)?|coste unitario",
        "tooling": r"utillaje|moldes?",
        "currency": r"moneda|divisa",
        "valid_until": r"válid[oa] hasta|validez",
        "mass": r"peso( g| kg)?",
        "size": r"tamaño|dimensiones",
        "lead": r"plazo( de entrega)?( días| semanas)?",
        "note": r"notas|observaciones",
    },
    "it": {
        "name": r"nome|pezzo|descrizione|denominazione",
        "kind": r"tipo|categoria",
        "maker": r"fornitore|produttore",
        "minimum": r"(quantità|ordine) minim[oa]",
        "price": r"prezzo( unitario)?|costo unitario",
        "tooling": r"stampo|attrezzatura",
        "currency": r"valuta",
        "valid_until": r"valid[oa] fino al?|validità",
        "mass": r"peso( g| kg)?",
        "size": r"misure|dimensioni",
        "lead": r"(tempo|termine) di consegna( giorni| settimane)?",
        "note": r"osservazioni|annotazioni",
    },
}
_COLUMNS = {
    language: {meaning: re.compile(pattern) for meaning, pattern in names.items()}
    for language, names in _NAMES.items()
}
_KINDS: Mapping[str, Mapping[str, str]] = {
    "de": {
        "head": "kopf köpfe",
        "hand": "hand hände faust fäuste",
        "body": "körper rumpf",
        "garment": "kleidung mantel hemd hose jacke weste mütze hut schal umhang kleid gürtel "
        "schürze handschuh handschuhe",
        "shoe": "schuh schuhe stiefel",
        "prop": "zubehör requisite requisiten",
        "metal": "metall schlüssel schlüsselbund kette münze schnalle",
        "mask": "maske masken",
        "joint": "gelenk gelenke",
        "base": "sockel grundplatte",
        "light": "licht lampe laterne leuchte",
        "stand": "ständer",
        "packing": "verpackung schachtel karton einleger",
    },
    "fr": {
        "head": "tête têtes",
        "hand": "main mains poing",
        "body": "corps",
        "garment": "vêtement vêtements manteau chemise pantalon veste gilet bonnet chapeau écharpe "
        "cape robe ceinture tablier gant gants",
        "shoe": "chaussure chaussures botte bottes",
        "prop": "accessoire accessoires épée",
        "metal": "métal clé clef chaîne boucle pièce",
        "mask": "masque masques",
        "joint": "articulation articulations",
        "base": "socle",
        "light": "lumière lampe lanterne",
        "stand": "support",
        "packing": "emballage boîte carton",
    },
    "es": {
        "head": "cabeza cabezas",
        "hand": "mano manos puño",
        "body": "cuerpo",
        "garment": "ropa abrigo camisa pantalón chaqueta chaleco gorro sombrero bufanda capa "
        "vestido cinturón delantal guante guantes",
        "shoe": "zapato zapatos bota botas",
        "prop": "accesorio accesorios espada",
        "metal": "metal llave cadena hebilla moneda",
        "mask": "máscara máscaras",
        "joint": "articulación",
        "base": "peana",
        "light": "luz lámpara farol linterna",
        "stand": "soporte",
        "packing": "embalaje caja",
    },
    "it": {
        "head": "testa teste",
        "hand": "mano mani pugno",
        "body": "corpo",
        "garment": "abito cappotto camicia pantaloni giacca gilet berretto cappello sciarpa "
        "mantello cintura grembiule guanto guanti",
        "shoe": "scarpa scarpe stivale stivali",
        "prop": "accessorio accessori spada",
        "metal": "metallo chiave catena fibbia moneta",
        "mask": "maschera maschere",
        "joint": "giunto giunti",
        "base": "piedistallo",
        "light": "luce lampada lanterna",
        "stand": "supporto",
        "packing": "imballaggio scatola",
    },
}
# So many columns must be named in a language before its words count as kinds.
LEAST_NAMES = 2


@lru_cache
def meaning_abroad(name: str) -> str | None:
    """What a column's name says in one of the other languages, after `words.plain`."""
    return next(
        (meaning for names in _COLUMNS.values() for meaning, pattern in names.items()
         if pattern.fullmatch(name)),
        None,
    )  # fmt: skip


def kinds_abroad(names: Iterable[str]) -> dict[str, str]:
    """Word to kind in the language that most of the columns are named in; empty where none is.

    Parameters
    ----------
    names
        Of the sheet's columns, after `words.plain`.
    """
    stated = list(names)
    found = {
        language: sum(any(pattern.fullmatch(name) for pattern in known.values()) for name in stated)
        for language, known in _COLUMNS.items()
    }
    best = max(found, key=lambda language: found[language])
    if found[best] < LEAST_NAMES:
        return {}
    return {word: kind for kind, words in _KINDS[best].items() for word in words.split()}
