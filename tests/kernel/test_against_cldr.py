"""Decimal marks against Babel's copy of Unicode CLDR (test only)."""

from babel import Locale, localedata

from sixwright.kernel.locales import has_decimal_comma

NAMES = sorted(localedata.locale_identifiers())


def plain(name):
    """As line.toml writes it: language and territory; None for scripts and variants."""
    locale = Locale.parse(name)
    return None if locale.script or locale.variant else name.replace("_", "-")


def test_the_marks_are_those_of_unicode_cldr():
    marks = {plain(name): Locale.parse(name).number_symbols["latn"]["decimal"] for name in NAMES}
    marks.pop(None)
    assert len(marks) > 500
    assert {name: mark for name, mark in marks.items()
            if has_decimal_comma(name) != (mark == ",")} == {}  # fmt: skip


def test_a_locale_that_is_not_known_has_a_point():
    assert not has_decimal_comma("xx-YY")
