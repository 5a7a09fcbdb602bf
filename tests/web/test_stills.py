"""Stills come in through the server, are shown within limits, and are marked by its addresses."""

import hashlib
import struct
import zlib
from io import BytesIO
from urllib.parse import quote

import pytest
from PIL import Image, ImageOps

from sixwright.storage.bring_still import arrived
from sixwright.storage.edits.write import write
from sixwright.storage.folder import read
from sixwright.storage.pictures import MOST_FILE
from sixwright.web.app import make_app
from storage.small_line import small_line
from web.asking import Client, asks, clock

ORIENTATION = 0x0112


@pytest.fixture
def line(tmp_path):
    return small_line(tmp_path / "line")


@pytest.fixture
def client(line):
    return Client(make_app(line, clock, who="Ines"))


def encoded(kind="JPEG", size=(60, 40), mode="RGB", **more) -> bytes:
    made = BytesIO()
    Image.new(mode, size).save(made, kind, **more)
    return made.getvalue()


def same_pixels(first: bytes, second: bytes) -> bool:
    """Whether two files decode, upright, to the same points."""
    made = [ImageOps.exif_transpose(Image.open(BytesIO(each))) for each in (first, second)]
    return made[0].mode == made[1].mode and made[0].tobytes() == made[1].tobytes()


def bring(client, name, content, person="keeper", **headers):
    base = {"content-type": "application/octet-stream", "x-sixwright-token": client.token(),
            "x-sixwright-name": quote(name), "x-sixwright-person": person}  # fmt: skip
    return client.raw("POST", "/still", content, **(base | headers))


def huge_png(width, height) -> bytes:
    """A whole PNG by the standard that states so many pixels, in a few bytes."""

    def chunk(kind, data):
        return (
            struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
        )

    head = struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)
    return (b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head)
            + chunk(b"IDAT", zlib.compress(bytes(1000))) + chunk(b"IEND", b""))  # fmt: skip


def turned() -> bytes:
    exif = Image.Exif()
    exif[ORIENTATION] = 6
    return encoded(exif=exif)


@pytest.mark.parametrize(
    ("name", "content", "file", "size"),
    [
        ("Quay at night.JPG", encoded(), "quay-at-night.jpg", (60, 40)),
        ("phone.jpg", turned(), "phone.jpg", (40, 60)),
        ("frame.jpeg", encoded(mode="CMYK"), "frame.jpg", (60, 40)),
        ("deep.png", encoded("PNG", mode="I;16"), "deep.png", (60, 40)),
        ("../../x.webp", encoded("WEBP"), "x.webp", (60, 40)),
        ("C:\\con.tif", encoded("TIFF"), "p-con.tif", (60, 40)),
        ("lies.png", encoded("JPEG"), "lies.jpg", (60, 40)),
        (
            "both eyes.jpg",
            encoded("MPO", save_all=True, append_images=[Image.new("RGB", (60, 40))]),
            "both-eyes.jpg",
            (60, 40),
        ),
    ],
)
def test_a_picture_comes_in_with_its_row_and_can_be_looked_at(
    client, line, name, content, file, size
):
    answer = bring(client, name, content)
    assert (answer.status_code, answer.json()["kind"]) == (200, "written"), answer.text
    laid = (line / "stills" / file).read_bytes()
    assert same_pixels(laid, content)
    (still,) = read(line).project.stills.values()
    assert still.file == f"stills/{file}"
    assert still.sha256 == hashlib.sha256(laid).hexdigest()
    assert (still.width_px, still.height_px, still.person) == (*size, "keeper")
    asked = client.get(f"/stills/{still.id}").text
    assert "data-marking" not in asked
    (squeeze, _) = asks(asked, "edit")
    assert client.post("/edit", page=f"/stills/{still.id}", **squeeze).status_code == 200
    page = client.get(f"/stills/{still.id}")
    assert page.status_code == 200
    assert 'data-landmark="pronasale"' in page.text
    shown = client.get(f"/stills/{still.id}/picture")
    assert (shown.status_code, shown.headers["content-type"]) == (200, "image/jpeg")
    with Image.open(BytesIO(shown.content)) as image:
        assert image.size == size
        assert image.mode == "RGB"
        assert not image.getexif()
    tag = {"if-none-match": shown.headers["etag"]}
    assert client.get(f"/stills/{still.id}/picture", **tag).status_code == 304


@pytest.mark.parametrize(
    ("name", "content", "said"),
    [
        ("notes.jpg", b"Six heads, please.\n", "no JPEG, PNG, WebP or TIFF"),
        ("empty.jpg", b"", "an empty file"),
        ("cut.jpg", encoded(size=(600, 400))[:2000], "broken, or was cut short"),
        ("huge.png", huge_png(50_000, 50_000), "more than 100000000 pixels"),
        ("film.gif", encoded("GIF"), "no JPEG, PNG, WebP or TIFF"),
    ],
)
def test_what_is_no_still_is_refused_with_the_reason_and_nothing_written(
    client, line, name, content, said
):
    before = {path.name: path.read_bytes() for path in line.glob("*.csv")}
    answer = bring(client, name, content)
    assert answer.status_code == 422
    assert said in answer.json()["said"]
    assert name in answer.json()["said"]
    assert {path.name: path.read_bytes() for path in line.glob("*.csv")} == before
    assert not (line / "stills").exists()


def test_a_file_beyond_the_limit_is_refused_while_it_arrives(client, line):
    answer = bring(client, "large.jpg", bytes(MOST_FILE + 1))
    assert answer.status_code == 413
    assert "256 MB" in answer.json()["said"]
    assert not (line / "stills").exists()


def test_no_file_is_written_over_and_the_same_picture_comes_once(client, line):
    (line / "stills").mkdir()
    (line / "stills/quay.jpg").write_bytes(b"somebody's own")
    assert bring(client, "quay.jpg", encoded()).status_code == 200
    assert (line / "stills/quay.jpg").read_bytes() == b"somebody's own"
    assert same_pixels((line / "stills/quay-2.jpg").read_bytes(), encoded())
    again = bring(client, "other.jpg", encoded())
    assert (again.status_code, "already" in again.json()["said"]) == (422, True)
    assert sorted(path.name for path in (line / "stills").iterdir()) == ["quay-2.jpg", "quay.jpg"]


def test_undo_takes_the_row_and_the_picture_can_come_again(client, line):
    assert bring(client, "quay.jpg", encoded()).status_code == 200
    (undo, *_) = asks(client.get("/stills").text, "undo")
    assert client.post("/undo", page="/stills", **undo).status_code == 200
    assert read(line).project.stills == {}
    assert bring(client, "quay.jpg", encoded()).status_code == 200
    assert [path.name for path in (line / "stills").iterdir()] == ["quay.jpg"]
    assert list(read(line).project.stills) == ["quay"]


def test_a_row_that_cannot_be_leaves_no_copy(client, line):
    answer = bring(client, "quay.jpg", encoded(), person="The Keeper!")
    assert answer.status_code == 422, answer.text
    assert list((line / "stills").iterdir()) == []
    assert read(line).project.stills == {}


def test_a_copy_stays_where_another_window_made_a_row_of_it(client, line):
    came = arrived("quay.jpg", encoded())
    came.laid_in(read(line), "keeper")
    assert bring(client, "quay.jpg", encoded()).status_code == 200, "the same picture, elsewhere"
    came.take_away(line)  # its own row came too late
    assert (line / "stills/quay.jpg").read_bytes() == encoded()


def test_a_copy_that_another_window_took_away_is_laid_again(line):
    first, second = arrived("quay.jpg", encoded()), arrived("quay.jpg", encoded())
    first.laid_in(read(line), "keeper")
    change = second.laid_in(read(line), "keeper")
    first.take_away(line)
    assert not (line / "stills/quay.jpg").exists()
    write(read(line), [change], who="Ines", clock=clock)
    second.stays(line)
    assert (line / "stills/quay.jpg").read_bytes() == encoded()


def test_what_another_program_laid_over_a_copy_stays(line):
    came = arrived("quay.jpg", encoded())
    came.laid_in(read(line), "keeper")
    (line / "stills/quay.jpg").write_bytes(b"saved there meanwhile")
    came.take_away(line)
    assert (line / "stills/quay.jpg").read_bytes() == b"saved there meanwhile"


def test_an_odd_tiff_whose_place_lies_among_its_pixels_is_refused(client, line):
    made = bytearray(encoded("TIFF"))
    at = struct.unpack_from("<I", made, 4)[0]
    count = struct.unpack_from("<H", made, at)[0]
    entries = [bytes(made[at + 2 + 12 * i : at + 14 + 12 * i]) for i in range(count)]
    strip = next(struct.unpack("<HHII", each)[3] for each in entries if each[:2] == b"\x11\x01")
    laid = struct.pack("<HHHIHHII", 1, 1, 2, 4_000, 0, 0, 0, 0)  # read as a directory
    made[strip : strip + len(laid)] = laid
    end = len(made)
    entries.append(struct.pack("<HHII", 0x8825, 4, 1, strip))
    made += struct.pack("<H", len(entries)) + b"".join(sorted(entries)) + bytes(4)
    struct.pack_into("<I", made, 4, end)
    answer = bring(client, "quay.tif", bytes(made))
    assert answer.status_code == 422, answer.text
    assert "cannot be taken out" in answer.json()["said"]
    assert read(line).project.stills == {}


def test_a_name_that_turns_or_breaks_the_sentence_is_told_in_one_line(client):
    said = bring(client, "a\nb\u202egnp.exe\x07", b"no picture").json()["said"]
    assert said.startswith("a b?gnp.exe ")


@pytest.mark.parametrize(
    "headers",
    [{"x-sixwright-token": "none"}, {"origin": "http://elsewhere.example"},
     {"content-type": "application/json"}],
)  # fmt: skip
def test_a_file_from_another_site_or_without_the_token_is_refused(client, line, headers):
    assert bring(client, "quay.jpg", encoded(), **headers).status_code in {403, 415}
    assert not (line / "stills").exists()


def test_a_link_out_of_the_folder_is_not_written_through(client, line, tmp_path):
    outside = tmp_path / "outside"
    outside.mkdir()
    (line / "stills").symlink_to(outside, target_is_directory=True)
    assert bring(client, "quay.jpg", encoded()).status_code in {423, 507}
    assert list(outside.iterdir()) == []


def test_a_mark_is_one_edit_and_two_windows_do_not_overwrite_each_other(client, line):
    bring(client, "quay.jpg", encoded())
    edits = len(edits_of(line))
    mark = {"still": "quay", "landmark": "pronasale", "side": "mid", "x_px": "30.1", "y_px": "20",
            "sure": "soft", "state": "seen", "was": ""}  # fmt: skip
    answer = client.post("/mark", page="/stills/quay", **mark)
    assert answer.status_code == 200, answer.text
    (row,) = read(line).project.sightings
    assert (row.place_px, row.sd_px, row.state) == ((30.0, 20.0), 4.0, "seen")
    assert len(edits_of(line)) == edits + 1
    other = client.post("/mark", page="/stills/quay", window="two", **{**mark, "x_px": "9"})
    assert (other.status_code, "elsewhere meanwhile" in other.json()["said"]) == (422, True)
    (row,) = read(line).project.sightings
    assert row.place_px == (30.0, 20.0)
    assert client.post("/edit", page="/stills/quay", table="stills", id="quay", column="squeeze",
                       was="", value="1").status_code == 200  # fmt: skip
    assert "1 landmark is marked" in client.get("/stills/quay").text.replace("<b>", "").replace(
        "</b>", ""
    )


def test_a_still_without_its_file_says_what_to_put_right(client, line):
    bring(client, "quay.jpg", encoded())
    (line / "stills/quay.jpg").unlink()
    page = client.get("/stills/quay")
    assert page.status_code == 200
    assert "there is no file of that name in the folder" in page.text
    assert client.get("/stills/quay/picture").status_code == 404
    assert client.get("/stills/nowhere").status_code == 404
    assert client.get("/stills").status_code == 200


def test_a_frame_s_black_bars_are_left_out_said_and_brought_back(client, line):
    frame = Image.new("RGB", (120, 90), "black")
    frame.paste(Image.effect_noise((120, 60), 60).convert("RGB"), (0, 14))
    made = BytesIO()
    frame.save(made, "PNG")
    assert bring(client, "film.png", made.getvalue()).status_code == 200
    (still,) = read(line).project.stills.values()
    assert still.bars_px == (0, 14, 0, 16)
    assert (still.width_px, still.height_px) == (120, 90)
    with Image.open(BytesIO(client.get("/stills/film/picture").content)) as shown:
        assert shown.size == (120, 60)
    edit = {"table": "stills", "id": "film", "was": "", "column": "squeeze", "value": "1"}
    assert client.post("/edit", page="/stills/film", **edit).status_code == 200
    page = client.get("/stills/film").text
    assert 'data-top="14" data-width="120" data-height="60"' in page
    assert "Black bars are left out: 14 px above and 16 px below" in page
    for column, was in (("bar_top_px", "14"), ("bar_bottom_px", "16")):
        edit |= {"column": column, "was": was, "value": ""}
        assert client.post("/edit", page="/stills/film", **edit).status_code == 200
    with Image.open(BytesIO(client.get("/stills/film/picture").content)) as shown:
        assert shown.size == (120, 90)
    assert "Black bars" not in client.get("/stills/film").text


def test_a_better_picture_keeps_the_marks_that_lie_true(client, line):
    small = Image.effect_noise((300, 200), 70).resize((600, 400)).convert("RGB")
    changed = small.resize((1200, 800), Image.Resampling.BICUBIC)
    changed.paste((90, 90, 90), (800, 0, 1200, 800))
    changed.paste(Image.effect_noise((100, 100), 90).resize((400, 800)).convert("RGB"), (800, 0))
    contents = []
    for image in (small, changed):
        made = BytesIO()
        image.save(made, "PNG")
        contents.append(made.getvalue())
    assert bring(client, "quay.png", contents[0]).status_code == 200
    marks = {"pronasale": "150", "stomion": "500"}
    for landmark, x in marks.items():
        mark = {"still": "quay", "landmark": landmark, "side": "mid", "x_px": x, "y_px": "200",
                "sure": "sharp", "state": "seen", "was": ""}  # fmt: skip
        assert client.post("/mark", page="/stills/quay", **mark).status_code == 200
    before = len(edits_of(line))
    answer = bring(client, "better.png", contents[1], **{"x-sixwright-replaces": "quay"})
    assert answer.status_code == 200, answer.text
    assert len(edits_of(line)) == before + 1
    project = read(line).project
    (still,) = project.stills.values()
    assert (still.id, still.file, still.width_px) == ("quay", "stills/better.png", 1200)
    found = {row.landmark: (row.place_px, row.state) for row in project.sightings}
    assert found == {
        "pronasale": ((300.5, 400.5), "seen"),
        "stomion": ((1000.5, 400.5), "proposed"),
    }
    (undo, *_) = asks(client.get("/stills").text, "undo")
    assert client.post("/undo", page="/stills", **undo).status_code == 200
    assert {row.place_px for row in read(line).project.sightings} == {(150, 200), (500, 200)}
    gone = bring(client, "x.png", encoded("PNG"), **{"x-sixwright-replaces": "nowhere"})
    assert gone.status_code in {404, 422}


@pytest.mark.slow
def test_a_still_of_two_hundred_megabytes_comes_in(client, line):
    """A scan: 69 million pixels, not packed."""
    made = BytesIO()
    Image.effect_noise((900, 770), 60).convert("RGB").resize((9000, 7700)).save(made, "TIFF")
    content = made.getvalue()
    assert 200e6 < len(content) < MOST_FILE
    assert bring(client, "scan.tif", content).status_code == 200
    (still,) = read(line).project.stills.values()
    assert (still.width_px, still.height_px) == (9000, 7700)
    with Image.open(BytesIO(client.get("/stills/scan/picture").content)) as shown:
        assert max(shown.size) == 4096


def edits_of(line):
    from sixwright.storage.history.log import read_history

    return read_history(line).edits
