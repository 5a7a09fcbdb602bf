"""Which mark a locale writes before the decimals."""

# Unicode CLDR 46, numbers/symbols/decimal. Held against a general-purpose library's copy of it in
# tests/kernel/test_against_cldr.py.
COMMA_LANGUAGES = frozenset(
    """
    af agq ast az bas be bg blo br bs ca cs cv da de dsb dua dyo el eo es et eu ewo ff fi fo fr
    fy gl hr hsb ht hu hy ia id ie is it jgo jv ka kab kea kgp kk kkj kl ksf ku ky lb lij lld
    ln lo lt lu lv mgh mk mua nb nl nmg nn nnh no nr pl ps pt rn ro ru rw sah sc se seh sg shi
    sk sl smn sq sr ss su sv tg tk tok tr ts tt tzm uk uz ve vec vi wo yav yrl zgh
    """.split()
)
# Territories that differ from their language.
POINT_LOCALES = frozenset(
    """
    de-CH de-LI es-419 es-BR es-BZ es-CU es-DO es-GT es-HN es-MX es-NI es-PA es-PE es-PR es-SV
    es-US it-CH
    """.split()
)
COMMA_LOCALES = frozenset(
    """
    ar-DZ ar-LB ar-LY ar-MA ar-MR ar-TN en-AT en-BE en-CZ en-DE en-DK en-ES en-FI en-FR en-HU en-ID
    en-IT en-NL en-NO en-PL en-PT en-RO en-SE en-SI en-SK en-ZA ms-BN ms-ID qu-BO sw-CD
    """.split()
)


def has_decimal_comma(locale: str) -> bool:
    """Whether numbers of a locale have a decimal comma; one that is not known has a point.

    Parameters
    ----------
    locale
        As in line.toml: ``en-GB``.

    Source
    ------
    Unicode CLDR, numbers/symbols/decimal.
    """
    if locale in COMMA_LOCALES:
        return True
    return locale.partition("-")[0] in COMMA_LANGUAGES and locale not in POINT_LOCALES
