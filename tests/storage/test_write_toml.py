"""line.toml keeps its comments, its order, its unknown keys and every byte that no change names."""

import tempfile
import tomllib
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sixwright.project.records import Change
from sixwright.project.tables import BY_NAME, CellType, ColumnSchema
from sixwright.storage.edits.write import write
from sixwright.storage.folder import read
from sixwright.storage.history.log import history
from sixwright.storage.history.undo import undo
from sixwright.storage.tables.toml_text import parse_toml, value_text
from sixwright.storage.tables.toml_value import literal
from storage.small_line import CountingClock, small_line

CLOCK = CountingClock()
SLOW_DISK = settings(max_examples=50, deadline=None, suppress_health_check=[HealthCheck.too_slow])
TEXT = st.text(st.characters(codec="utf-8", exclude_characters="\0"), max_size=14)
NUMBER = st.one_of(
    st.integers(0, 10**6).map(str),
    st.decimals(0, 10**6, places=3, allow_nan=False).map(str),
    st.sampled_from(["0", "007", "-0", "1.20", "1e3", "1_000", "+5", "11 1/2 in", "8 %", "inf"]),
)
WORD = st.from_regex(r"[a-z][a-z0-9-]{0,6}", fullmatch=True)
TEXTS = {
    CellType.TEXT: TEXT,
    CellType.MONEY: st.one_of(NUMBER, NUMBER.map(lambda n: f"{n} USD")),
    CellType.COUNT: NUMBER,
    CellType.NUMBER: NUMBER,
    CellType.SHARE: NUMBER,
    CellType.WORDS: st.lists(WORD, min_size=1, max_size=4).map(" ".join),
    CellType.SIZE3: st.one_of(
        st.lists(NUMBER, min_size=3, max_size=3).map(" ".join), st.just("35cm x 26cm x 9cm")
    ),
    CellType.PUBLIC: st.one_of(
        st.lists(st.tuples(WORD, st.integers(0, 99)), min_size=1, max_size=3).map(
            lambda pairs: " ".join(f"{group}={count}" for group, count in pairs)
        ),
        st.just("keys=06"),
    ),
}


@pytest.mark.parametrize("cell", TEXTS, ids=lambda cell: cell.name)
@settings(max_examples=150, deadline=None)
@given(data=st.data())
def test_a_text_reads_back_as_it_was_put(cell, data):
    text = data.draw(TEXTS[cell])
    old = data.draw(st.sampled_from(["", '"text"', "12", "1.5", "[1, 2, 3]", "true", "2026-01-02"]))
    column = data.draw(st.sampled_from([ColumnSchema("x", cell), None]))
    written = literal(text, column, old)
    stated = parse_toml(f"x = {written}".encode())
    assert list(stated) == ["x"]
    assert value_text(stated["x"], column) == text


@pytest.mark.parametrize(
    ("cell", "text", "kind"),
    [
        (CellType.MONEY, "289 USD", str),
        (CellType.MONEY, "289", str),
        (CellType.COUNT, "400", int),
        (CellType.NUMBER, "7.20", float),
        (CellType.SHARE, "0.03", float),
        (CellType.SHARE, "8 %", str),
        (CellType.WORDS, "a b", list),
        (CellType.SIZE3, "352 257 90", list),
        (CellType.SIZE3, "35cm 26cm 9cm", str),
        (CellType.PUBLIC, "keys=6", list),
        (CellType.TEXT, "5", str),
    ],
)
def test_a_new_value_has_its_columns_type(cell, text, kind):
    value = tomllib.loads(f"x = {literal(text, ColumnSchema('x', cell))}")["x"]
    assert type(value) is kind


@pytest.mark.parametrize(
    ("old", "new"), [("289", "299"), ('"289"', '"299"'), ("'289'", '"299"'), ("289.5", "299")]
)
def test_a_value_keeps_the_type_that_stood_there(old, new):
    assert literal("299", ColumnSchema("price", CellType.MONEY), old) == new
    assert literal("299", ColumnSchema("cap", CellType.COUNT), old) == new


# Parts of a line.toml in many manners; each is known to be read. The first of each is as we write.
HEADS = (
    """\
format = 1
id = "small"
name = "Small"
scale = "1:6"
currency = "USD"
locale = "en-GB"
seed = 3
""",
    """\
# The line.
format   = 1 # only one

  id = 'small'  # mine
"name" = "Sm#all"
scale = "1:6"
mine = {a = 1, b = "#"}
currency="USD"
words = ["x", # one
  "y"]
""",
)
MONEYS = (
    """\
[money]
development = "100 USD"
spares = 0.03

[money.fees]
share = 0.03
each = "0.30 USD"
""",
    '''\
[money.fees] # of payment
  share = 0.03 # most
  each = "1 USD"
# and
[money]
mine = """a
# no comment
[[looks]]"""
development = 100
''',
    """\
[money]
fees = { share = 0.03, each = "1 USD" } # inline
development = 1_00
labour.rate = "84 CNY/h"
""",
    """\
[money]
fees.share = 0.03
fees."each" = '1 USD'
spares = 0.5 # 50 %
""",
    "",
)
EDITIONS = (
    """\
[[editions]]
id = "crossing"
look = "rain"
price = "169 USD"
cap = 400
box_mm = [340, 240, 90]

[[editions]]
id = "night-crossing"
price = "199 USD"
public = [{group = "hands", quantity = 4}]
""",
    """\
# Sold first.
[[editions]] # the small one
  look = 'rain'
  id = 'crossing' # id
  own = 1979-05-27 07:32:00
  price = 169 # low
  # what was said
  [[editions.public]]
  group = 'hands'
  quantity = 4 # four
  since = 'May'

# Sold last.

[[editions]]
id = "night-crossing"
box_mm = [
  340, # long
  260,
  110,
]
[editions.mine]
x = [[1], ["]"]]
""",
    """\
editions = [
  {id = "crossing", price = "169 USD"}, # small
  { id = "night-crossing", look = "rain" },
]
""",
)
LOOKS = (
    """\
[[looks]]
id = "rain"
name = "In the rain"
""",
    """\
[[looks]]
"id" = "rain"
name = '''In
the rain'''
# end of looks
""",
)
CHANGES = st.sampled_from(
    [("line", "line", name) for name in (
        "name", "seed", "locale", "money.development", "money.spares", "money.duty",
        "money.fees.each", "money.fees.share", "money.labour.rate", "money.freight.each",
        "money.freight.volume_factor")]
    + [("editions", id_, name) for id_ in ("crossing", "night-crossing") for name in (
        "name", "look", "price", "cap", "assembly_minutes", "box_mm", "figures", "public")]
    + [("looks", "rain", "name")]
)  # fmt: skip
VALUES = {
    CellType.TEXT: TEXT.filter(lambda text: text.strip() == text),
    CellType.COUNT: st.sampled_from(["12", "400"]),
    CellType.NUMBER: st.sampled_from(["1", "7.20", "0.5"]),
    CellType.SHARE: st.sampled_from(["0.1", "0.030", "5 %"]),
    CellType.MONEY: st.sampled_from(["12 USD", "12", "0.10 USD"]),
    CellType.RATE_H: st.just("84 CNY/h"),
    CellType.LOCALE: st.just("de-DE"),
    CellType.ID: st.just("rain"),
    CellType.SIZE3: st.sampled_from(["1 2 3", "1.50 2 3", "1cm 2cm 3cm"]),
    CellType.PUBLIC: st.sampled_from(["hands=4", "hands=2 heads=1", "heads=1"]),
}


@st.composite
def documents(draw):
    """A line.toml: which line end, which mark, whether it ends in a line end, and its text."""
    looks, editions, money = (draw(st.sampled_from(part)) for part in (LOOKS, EDITIONS, MONEYS))
    head = draw(st.sampled_from(HEADS))
    inline = editions.startswith("editions =")
    tables = draw(st.permutations([looks, money] + ([] if inline else [editions])))
    text = "\n".join([head, *([editions] if inline else []), *tables])
    if not draw(st.booleans()):
        text = text.removesuffix("\n")
    newline = draw(st.sampled_from(["\n", "\r\n"]))
    mark = draw(st.sampled_from([b"", b"\xef\xbb\xbf"]))
    return mark + text.replace("\n", newline).encode()


def lay(path: Path, document: bytes) -> None:
    small_line(path)
    (path / "choices/coat.toml").unlink()
    (path / "line.toml").write_bytes(document)


def text_of(content: bytes) -> str:
    return content.removeprefix(b"\xef\xbb\xbf").decode()


def plain(content: bytes) -> dict:
    """What TOML says that a file holds; numbers as they are written."""
    return tomllib.loads(text_of(content), parse_float=str)


def without(stated: dict, change: Change) -> dict:
    """The document without the key that a change names, and without what held it alone."""
    if change.table == "line":
        outer = stated
        *names, last = (change.column or "").split(".")
        for name in names:
            outer = outer.get(name, {})
        outer.pop(last, None)
        for name in ("fees", "labour", "freight"):
            if stated.get("money", {}).get(name) == {}:
                del stated["money"][name]
        if stated.get("money") == {}:
            del stated["money"]
    else:
        for entry in stated[change.table]:
            if entry["id"] == change.id:
                entry.pop(change.column, None)
    return stated


def comments_in(content: bytes) -> list[str]:
    """The comments of the documents above: none of their strings hold what looks like one of them.

    Found by words of their own, so that it rests on no reading of TOML.
    """
    known = ("# The line.", "# only one", "# mine", "# one", "# of payment", "# most", "# and",
             "# inline", "# 50 %", "# Sold first.", "# the small one", "# id", "# low",
             "# what was said", "# four", "# Sold last.", "# long", "# small", "# end of looks",
             "# no comment")  # fmt: skip
    return sorted(word for word in known if word.encode() in content)


@SLOW_DISK
@given(documents(), CHANGES, st.data())
def test_one_key_changes_and_all_else_stays(document, cell, data):
    table, id_, name = cell
    column = next(column for column in BY_NAME[table].columns if column.name == name)
    empty = st.just("") if not column.required else st.nothing()
    value = data.draw(VALUES[column.cell] | empty)
    if name == "name" and table == "line":
        value = value or "Named"
    with tempfile.TemporaryDirectory() as place:
        path = Path(place) / "line"
        lay(path, document)
        folder = read(path)
        change = Change(table, id_, name, value=value)
        before = folder.records[table][id_].cells.get(name, "")
        after = write(folder, [change], who="Ann", clock=CLOCK)
        now = (path / "line.toml").read_bytes()
        assert after.records[table][id_].cells.get(name, "").split() == value.split()
        assert without(plain(now), change) == without(plain(document), change)
        check_bytes(document, now, key=name.rpartition(".")[2])
        edits = history(path)
        if not edits:
            assert before.split() == value.split()
            assert now == document
            return
        back = write(after, undo(after, edits[-1]), who="A", clock=CLOCK, undoes=edits[-1].id)
        assert {id_: cells(row) for id_, row in back.records[table].items()} == {
            id_: cells(row) for id_, row in folder.records[table].items()
        }


def cells(row) -> dict:
    return {name: text for name, text in row.cells.items() if text}


def check_bytes(document: bytes, now: bytes, *, key: str) -> None:
    """Lines that do not state the key are as they were, in their order; marks and ends stay."""
    assert now.startswith(b"\xef\xbb\xbf") == document.startswith(b"\xef\xbb\xbf")
    assert now.endswith(b"\n") == document.endswith(b"\n")
    assert comments_in(now) == comments_in(document)
    if b"\r\n" in document:
        assert b"\n" not in now.replace(b"\r\n", b"")
    else:
        assert b"\r" not in now
    old, new = (text_of(content).splitlines() for content in (document, now))
    kept = [line for line in old if line in new]
    lost = [line for line in old if line not in new]
    assert in_order(kept, new)
    inside = ("]", "340", "260", "110", "group", "quantity", "since", "[[editions.public")
    for line in lost:  # the key's own line, or one of a value of several lines
        own = key in line or line.strip().startswith(inside) or "the rain'''" in line
        assert own or line.strip().startswith("{"), line


def in_order(some: list[str], lines: list[str]) -> bool:
    rest = iter(lines)
    return all(line in rest for line in some)


def test_a_document_written_as_we_write_comes_back_byte_for_byte(tmp_path):
    document = "\n".join([HEADS[0], MONEYS[0], LOOKS[0], EDITIONS[0]]).encode()
    lay(tmp_path / "line", document)
    path = tmp_path / "line"
    for change in (
        Change("line", "line", "money.fees.each", value=""),
        Change("line", "line", "money.spares", value="0.05"),
        Change("line", "line", "seed", value=""),
        Change("editions", "crossing", "box_mm", value=""),
        Change("editions", "night-crossing", "price", value="12 USD"),
        Change("editions", "night-crossing", "cap", value="12"),
        Change("editions", "night-crossing", "public", value="hands=4 heads=2"),
        Change("editions", "third", add={"name": "Third", "price": "3 USD"}),
        Change("editions", "third", add={"name": "Third"}, behind="crossing"),
        Change("editions", "third", add={"name": "Third"}, behind=""),
        Change("looks", "sun", add={"name": "Sun"}),
    ):
        after = write(read(path), [change], who="Ann", clock=CLOCK)
        edit = history(path)[-1]
        write(after, undo(after, edit), who="Ann", clock=CLOCK, undoes=edit.id)
        assert (path / "line.toml").read_bytes() == document, change


def entries(*texts: str) -> str:
    return "\n".join([HEADS[0], LOOKS[0], *texts])


@pytest.mark.parametrize("newline", ["\n", "\r\n"])
def test_an_entry_goes_and_the_comment_above_the_next_stays(tmp_path, newline):
    first = '[[editions]]\nid = "crossing"\n'
    rest = '# This one sells best.\n[[editions]]\nid = "night-crossing"'
    path = tmp_path / "line"
    lay(path, entries(first, rest).replace("\n", newline).encode())
    for name, text in (("contents.csv", "sells,part"), ("orders.csv", "sells,quantity")):
        (path / name).write_text(text + "\n", encoding="utf-8")
    write(read(path), [Change("editions", "crossing", remove=True)], who="Ann", clock=CLOCK)
    assert (path / "line.toml").read_bytes() == entries(rest).replace("\n", newline).encode()


@pytest.mark.parametrize("behind", ["", "crossing", "night-crossing", None])
@pytest.mark.parametrize("editions", EDITIONS)
def test_an_entry_comes_where_it_is_wanted_and_goes_again(tmp_path, behind, editions):
    path = tmp_path / "line"
    inline = editions.startswith("editions =")
    text = f"{HEADS[1]}{editions}\n{LOOKS[0]}" if inline else f"{HEADS[1]}{LOOKS[0]}\n{editions}"
    lay(path, text.encode())
    change = Change("editions", "third", add={"name": "A “b” \\ 'c'", "cap": "3"}, behind=behind)
    after = write(read(path), [change], who="Ann", clock=CLOCK)
    order = [entry["id"] for entry in plain((path / "line.toml").read_bytes())["editions"]]
    expected = ["crossing", "night-crossing"]
    at = 0 if behind == "" else 1 if behind == "crossing" else 2
    assert order == [*expected[:at], "third", *expected[at:]]
    assert comments_in((path / "line.toml").read_bytes()) == comments_in(text.encode())
    edit = history(path)[-1]
    write(after, undo(after, edit), who="Ann", clock=CLOCK, undoes=edit.id)
    now = (path / "line.toml").read_bytes()
    assert plain(now) == plain(text.encode())
    assert now == text.encode() or inline


@pytest.mark.parametrize(
    ("table", "id_", "name", "value", "old", "new"),
    [
        ("line", "line", "money.spares", "", "spares = 0.5 # 50 %\n", "# 50 %\n"),
        ("editions", "crossing", "price", "", "  price = 169 # low\n", "  # low\n"),
        ("editions", "crossing", "price", "170", "price = 169 # low", "price = 170 # low"),
        ("editions", "night-crossing", "box_mm", "1 2 3",
         "box_mm = [\n  340, # long\n  260,\n  110,\n]\n", "# long\nbox_mm = [1, 2, 3]\n"),
        ("editions", "crossing", "public", "",
         "  [[editions.public]]\n  group = 'hands'\n  quantity = 4 # four\n  since = 'May'\n",
         "  # four\n"),
    ],
)  # fmt: skip
def test_the_comments_of_a_value_stay(tmp_path, table, id_, name, value, old, new):
    path = tmp_path / "line"
    document = "\n".join([HEADS[1], LOOKS[1], MONEYS[3], EDITIONS[1]])
    lay(path, document.encode())
    assert document.count(old) == 1
    write(read(path), [Change(table, id_, name, value=value)], who="Ann", clock=CLOCK)
    assert (path / "line.toml").read_text("utf-8") == document.replace(old, new)


def test_keys_of_the_users_own_in_an_announced_count_stay(tmp_path):
    path = tmp_path / "line"
    lay(path, entries(EDITIONS[1]).encode())
    write(read(path), [Change("editions", "crossing", "public", value="hands=5 heads=1")],
          who="Ann", clock=CLOCK)  # fmt: skip
    stated = plain((path / "line.toml").read_bytes())["editions"][0]["public"]
    assert stated == [{"group": "hands", "quantity": 5, "since": "May"},
                      {"group": "heads", "quantity": 1}]  # fmt: skip


def test_a_key_of_the_users_own_is_changed_and_emptied(tmp_path):
    path = tmp_path / "line"
    lay(path, entries(EDITIONS[1]).encode())
    folder = read(path)
    own = folder.records["editions"]["crossing"].cells["own"]
    folder = write(folder, [Change("editions", "crossing", "own", was=own, value="2026-01-02")],
                   who="Ann", clock=CLOCK)  # fmt: skip
    assert b"own = 2026-01-02" in (path / "line.toml").read_bytes()
    folder = write(folder, [Change("editions", "crossing", "own", value="")], who="A", clock=CLOCK)
    assert b'own = ""' in (path / "line.toml").read_bytes()


@pytest.mark.parametrize(
    ("table", "id_", "name"),
    [
        ("editions", "crossing", "price"),
        ("editions", "crossing", "name"),
        ("editions", "crossing", "figures"),
        ("line", "line", "locale"),
        ("line", "line", "money.spares"),
        ("line", "line", "money.development"),
    ],
)
def test_an_emptied_key_comes_back_where_it_stood(tmp_path, table, id_, name):
    document = (
        b'format = 1\nid = "ferry"\nname = "Ferry"\nscale = "1:6"\ncurrency = "USD"\n'
        b'locale = "en-GB"\nseed = 7\n\n[money]\ndevelopment = "900 USD"\nspares = 0.02\n'
        b'# agreed in May\nduty = 0.04\n\n[[looks]]\nid = "plain"\n\n[[looks]]\nid = "rain"\n\n'
        b'[[editions]]\nid = "crossing"\nlook = "plain"\nname = "Crossing"\nprice = "169 USD"\n'
        b"# all that fit the mould\ncap = 300\nfigures = 1\n"
    )
    path = tmp_path / "line"
    lay(path, document)
    for file, text in (("contents.csv", "sells,part"), ("orders.csv", "sells,quantity")):
        (path / file).write_text(text + "\n", encoding="utf-8")
    folder = write(read(path), [Change(table, id_, name, value="")], who="Ann", clock=CLOCK)
    assert (path / "line.toml").read_bytes() != document
    edit = history(path)[-1]
    write(folder, undo(folder, edit), who="Ann", clock=CLOCK, undoes=edit.id)
    assert (path / "line.toml").read_bytes() == document
