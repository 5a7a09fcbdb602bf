"""Spreadsheets in German and French: every column and kind is read as its own language says it."""

import pytest

from importer.sheets import csv_file, xlsx_file
from sixwright.importer.guess import guess_parts
from sixwright.importer.words import MEANINGS, plain
from sixwright.importer.words_abroad import _KINDS, _NAMES, kinds_abroad, meaning_abroad
from sixwright.line.boxes import KINDS

GERMAN = [
    ["Bezeichnung", "Art", "Lieferant", "Mindestmenge", "Werkzeug", "Stückpreis ab 300",
     "Stückpreis ab 500", "Gültig bis", "Gewicht (g)", "Basis", "Deluxe", "Bemerkung"],
    ["Kopf ruhig", "Kopf", "Falk", 300, "1.850,00", "3,20", "2,95", "2027-03-31", 27, 1, 1, ""],
    ["Mantel, gewachst", "Kleidung", "Ost", 300, "210", "12,50", "11,80", "", 61, 1, 1, ""],
    ["Körper", "Körper", "Falk", 500, "17.500", "36,00", "35,20", "", 395, 1, 1, ""],
    ["Laterne", "Licht", "Lumen", 300, "1.450", "k.A.", "k.A.", "", 18, "", 1, "2 Knopfzellen"],
]  # fmt: skip
FRENCH = """\
Nom;Type;Fabricant;Qté min;Prix (EUR);Masse (kg);Coffret A;Coffret B;Délai (semaines);Validité
Tête sereine;tête;Moreau;300;3,20;0,027;1;1;6;2027-03-31
Manteau;vêtement;Couture;300;12,50;0,061;1;1;8;
Main ouverte;main;Moreau;500;36;0,395;1;2;10;
"""


def test_a_german_sheet_is_read_without_a_word_being_said(tmp_path):
    guess = guess_parts(xlsx_file(tmp_path, GERMAN), {}, currency="EUR")
    assert guess.problems == ()
    assert [part["kind"] for part in guess.tables.parts] == ["head", "garment", "body", "light"]
    ways = {way["part"]: way for way in guess.tables.ways}
    assert ways["kopf-ruhig"]["tooling"] == "1850"
    assert (ways["kopf-ruhig"]["maker"], ways["kopf-ruhig"]["minimum"]) == ("Falk", "300")
    assert ways["kopf-ruhig"]["valid_until"] == "2027-03-31"
    prices = {(row["way"], row["from_quantity"]): row["unit_price"] for row in guess.tables.prices}
    assert prices["kopf-ruhig-falk", "300"] == "3.2"
    assert prices["korper-falk", "500"] == "35.2"
    assert not any(way == "laterne-lumen" for way, _ in prices)
    assert (
        "2 cells say “k.A.” and stay unknown: row 5, “Stückpreis ab 300” and “Stückpreis ab 500”."
    ) in guess.remarks


def test_a_french_sheet_is_read_without_a_word_being_said(tmp_path):
    guess = guess_parts(csv_file(tmp_path, FRENCH), {})
    assert guess.problems == ()
    assert guess.currency == "EUR"
    assert [part["kind"] for part in guess.tables.parts] == ["head", "garment", "hand"]
    assert [part["mass_g"] for part in guess.tables.parts] == ["27", "61", "395"]
    assert [way["lead_days"] for way in guess.tables.ways] == ["42", "56", "70"]


def test_words_of_another_language_are_no_kinds_in_an_english_sheet(tmp_path):
    text = "Part,Type,Box A\nMain post,prop,1\nCape robe,garment,1\nCorps,,1\n"
    (problem,) = guess_parts(csv_file(tmp_path, text), {}, currency="USD").problems
    assert "“Corps”" in problem.found
    assert kinds_abroad(["part", "type", "box a"]) == {}


@pytest.mark.parametrize("language", sorted(_NAMES))
def test_each_language_says_what_columns_and_kinds_are_in_our_words(language):
    assert set(_KINDS[language]) <= set(KINDS)
    known = {*MEANINGS, "time", "lead", "mass", "size"}
    assert set(_NAMES[language]) <= known
    words = [word for each in _KINDS[language].values() for word in each.split()]
    assert len(words) == len(set(words))
    assert all(word == word.casefold() for word in words)


def test_a_name_of_a_column_is_found_as_it_is_written():
    assert meaning_abroad(plain("Stückpreis (EUR)")) == "price"
    assert meaning_abroad(plain("Date de validité")) == "valid_until"
    assert meaning_abroad(plain("Precio unitario")) == "price"
    assert meaning_abroad(plain("Fornitore")) == "maker"
    assert meaning_abroad(plain("Part")) is None
