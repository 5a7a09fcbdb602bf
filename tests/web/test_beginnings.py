"""A question that a line has nothing of yet says how it begins, and leads there."""

import re

import pytest

from reports.folders import write_folder
from reports.lines import real_size
from sixwright.web.app import make_app
from sixwright.workflows.topics import BY_ID
from web.asking import Client, clock

NOTHING = "This line has nothing yet that this question is about."


@pytest.fixture
def client(tmp_path):
    return Client(make_app(write_folder(real_size(parts=3, boxes=1), tmp_path / "line"), clock))


@pytest.mark.parametrize("topic", ["likeness", "dates", "voices", "choices"])
def test_a_question_of_which_there_is_nothing_leads_to_where_it_begins(client, topic):
    page = client.get(f"/{topic}").text
    assert BY_ID[topic].question in page
    main = page[page.index(NOTHING) :]
    assert "It begins with " in main
    (link,) = re.findall(r'<a href="(/[^"]+)"', main[: main.index("</p>", main.index("It begins"))])
    assert client.get(link).status_code == 200


def test_a_dot_that_counts_as_something_is_said_to(client):
    told = "What an empty cell counts as is told under"
    assert told in client.get("/tables/ways").text  # a yield counts as 1
    assert told not in client.get("/tables/orders").text
