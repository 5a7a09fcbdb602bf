"""Trying a change without writing it, keeping it as a way of a choice, and taking a way."""

import pytest

from sixwright.storage.folder import read
from sixwright.topics.money.topic import MONEY
from sixwright.web.app import make_app
from sixwright.workflows.review import review
from sixwright.workflows.shown import shown_choice
from web.asking import Client, asks, clock
from web.demo import demo_without_heads

CAPE = {"table": "parts", "id": "cape", "column": "way", "was": "cape-wool", "value": "cape-stock"}
PRICE = {"table": "editions", "id": "muster-watch", "column": "price", "was": "289 USD",
         "value": "299 USD"}  # fmt: skip


@pytest.fixture
def folder(tmp_path):
    """The demo line, which has three open choices."""
    return demo_without_heads(tmp_path)


@pytest.fixture
def client(folder):
    return Client(make_app(folder, clock, who="Ines"))


def contents(folder):
    return {p.relative_to(folder): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


def tried(client, *steps, page="/money"):
    """The answer after trying these edits one after the other."""
    changes, answer = [], None
    for step in steps:
        answer = client.post(
            "/try", page=page, changes=changes, step={"path": "/edit", "body": step}
        )
        assert answer.status_code == 200, answer.text
        changes = answer.json()["changes"]
    return answer.json()


def test_a_try_shows_the_page_as_it_would_be_and_writes_nothing(client, folder):
    before = contents(folder)
    answer = tried(client, PRICE)
    assert "299.00" in answer["page"]
    assert "As you try it" in answer["page"]
    assert [each["value"] for each in answer["changes"]] == ["299 USD"]
    assert contents(folder) == before
    assert "299.00" not in client.get("/money").text


def test_a_try_adds_up_and_forgets_what_came_back(client):
    answer = tried(client, CAPE, PRICE)
    assert {each["id"] for each in answer["changes"]} == {"cape", "muster-watch"}
    back = {**PRICE, "was": "299 USD", "value": "289 USD"}
    assert {each["id"] for each in tried(client, CAPE, PRICE, back)["changes"]} == {"cape"}


def test_what_a_try_does_is_what_the_written_change_does(client, folder):
    """The profit beside the try is the profit that the folder has once the change is written."""
    shown = tried(client, CAPE)["page"]
    orders = folder / "parts.csv"
    orders.write_text(orders.read_text("utf-8").replace("cape-wool", "cape-stock"), "utf-8")
    written = review(read(folder).project, today=clock().date(), only=("money",))
    profit = f"{round(written.of(MONEY).profit):,}"
    assert len(profit) >= 5
    assert profit in shown


def test_a_wrong_value_is_refused_in_a_try_too(client):
    step = {"path": "/edit", "body": {**PRICE, "value": "many"}}
    answer = client.post("/try", page="/money", changes=[], step=step)
    assert answer.status_code == 422
    assert "many" in answer.json()["said"]


def test_a_fix_can_be_tried(client, folder):
    before = contents(folder)
    step = {"path": "/fix", "body": asks(client.get("/").text, "fix")[0]}
    answer = client.post("/try", page="/", changes=[], step=step)
    assert len(answer.json()["changes"]) == 1
    assert contents(folder) == before


@pytest.mark.parametrize("path", ["/accept", "/undo", "/restore", "/keep", "/take", "/nothing"])
def test_what_somebody_decides_cannot_be_tried(client, path):
    answer = client.post("/try", page="/", changes=[], step={"path": path, "body": {}})
    assert answer.status_code == 422


def test_a_try_says_where_the_folder_moved_from_under_it(client, folder):
    changes = tried(client, PRICE)["changes"]
    client.edit("editions", "muster-watch", "price", "289 USD", "315 USD")
    answer = client.post("/try", page="/money", changes=changes, step=None)
    assert answer.status_code == 422
    assert "315 USD" in answer.json()["said"]


def test_a_try_that_does_not_say_what_it_found_is_not_written(client, folder):
    """Two windows: what the second wrote is not lost under a change that never saw it."""
    (change,) = tried(client, PRICE)["changes"]
    client.edit("editions", "muster-watch", "price", "289 USD", "315 USD")
    unseen = {name: value for name, value in change.items() if name != "was"}
    answer = client.post("/write-tried", changes=[unseen])
    assert answer.status_code == 422
    assert answer.json()["said"] == (
        "The change of editions/muster-watch/price must say what stood there when it was tried; "
        "nothing was written."
    )
    seen = client.post("/write-tried", changes=[change])
    assert seen.status_code in {409, 422}
    assert read(folder).records["editions"]["muster-watch"].cells["price"] == "315 USD"


def test_a_try_is_written_as_one_edit(client, folder):
    changes = tried(client, CAPE, PRICE)["changes"]
    assert client.post("/write-tried", changes=changes).status_code == 200
    records = read(folder).records
    assert records["parts"]["cape"].cells["way"] == "cape-stock"
    assert records["editions"]["muster-watch"].cells["price"] == "299 USD"
    undo = asks(client.get("/").text, "undo")[0]
    assert client.post("/undo", **undo).status_code == 200
    assert read(folder).records["parts"]["cape"].cells["way"] == "cape-wool"


def test_a_try_is_kept_as_a_way_of_a_new_choice(client, folder):
    tables = {path: text for path, text in contents(folder).items() if "choices" not in str(path)}
    changes = tried(client, PRICE)["changes"]
    said = {"name": "Ten dearer", "question": "What should Muster Watch cost?"}
    assert client.post("/keep", changes=changes, **said).status_code == 200
    choice = read(folder).project.choices["what-should-muster-watch-cost"]
    assert [each.name for each in choice.alternatives] == ["As it stands", "Ten dearer"]
    assert [each.value for each in choice.alternatives[1].changes] == ["299 USD"]
    after = contents(folder)
    assert {path: after[path] for path in tables} == tables
    assert "What should Muster Watch cost?" in client.get("/choices").text


def test_a_try_is_kept_as_one_more_way_of_a_choice(client, folder):
    changes = tried(client, CAPE)["changes"]
    said = {"name": "Stock, again", "choice": "cape-cloth"}
    assert client.post("/keep", changes=changes, **said).status_code == 200
    choice = read(folder).project.choices["cape-cloth"]
    assert [each.name for each in choice.alternatives][-1] == "Stock, again"


@pytest.mark.parametrize(
    "said",
    [{"name": "x"}, {"name": "", "question": "Why?"}, {"name": "x", "choice": "nothing"}],
    ids=str,
)
def test_a_way_needs_a_name_and_a_question(client, folder, said):
    changes = tried(client, CAPE)["changes"]
    before = contents(folder)
    assert client.post("/keep", changes=changes, **said).status_code == 422
    assert contents(folder) == before


def test_a_way_is_taken_with_a_reason_and_the_numbers_it_rested_on(client, folder):
    said = {"alternative": "stock", "by": "Ines", "reason": "it hangs well"}
    said |= {"choice": "cape-cloth", "seen": shown_cape(folder)}
    assert said["seen"] in client.get("/choices").text
    assert client.post("/take", page="/choices", **said).status_code == 200
    line = read(folder).project
    taken = line.choices["cape-cloth"].taken
    assert (taken.alternative, taken.by, taken.reason) == ("stock", "Ines", "it hangs well")
    assert taken.numbers
    assert line.parts["cape"].way == "cape-stock"
    page = client.get("/choices").text
    assert "it hangs well" in page
    assert client.post("/reopen", **asks(page, "reopen")[0]).status_code == 200
    assert read(folder).project.choices["cape-cloth"].taken is None


def shown_cape(folder):
    """What the page of choices shows of this one."""
    return shown_choice(read(folder).project.choices["cape-cloth"])


def test_an_option_that_changed_before_the_click_is_not_taken(client, folder):
    said = {"alternative": "stock", "by": "Ines", "reason": "it hangs well"}
    said |= {"choice": "cape-cloth", "seen": shown_cape(folder)}
    file = folder / "choices/cape-cloth.toml"
    file.write_text(file.read_text("utf-8").replace("Stock cloth", "Other cloth"), "utf-8")
    before = contents(folder)
    refused = client.post("/take", page="/choices", **said)
    assert (refused.status_code, contents(folder)) == (422, before)
    assert "has moved since this page showed it" in refused.json()["said"]


@pytest.mark.parametrize("lacks", ["by", "reason", "alternative"])
def test_a_way_is_not_taken_without_a_name_a_reason_or_a_way(client, folder, lacks):
    said = {"choice": "cape-cloth", "alternative": "stock", "by": "Ines", "reason": "so"}
    said["seen"] = shown_cape(folder)
    before = contents(folder)
    assert client.post("/take", **{**said, lacks: ""}).status_code == 422
    assert contents(folder) == before


def test_a_try_reaches_no_file_but_the_tables(client, folder):
    """A choice is written by keeping and taking alone, never by a try that names its file."""
    outside = contents(folder.parent)
    text = (folder / "choices/cape-cloth.toml").read_text("utf-8")
    for table, id_ in (("choices", "another"), ("choices", "../../x"), ("../x", "x")):
        change = {"table": table, "id": id_, "add": {"text": text}}
        for path, more in (("/write-tried", {}), ("/keep", {"name": "x", "question": "y"})):
            assert client.post(path, changes=[change], **more).status_code == 422
    assert contents(folder.parent) == outside
