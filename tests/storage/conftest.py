"""Writing locks a folder in the user's cache directory: the tests have one of their own."""

import os

import pytest


@pytest.fixture(autouse=True, scope="session")
def cache_of_the_tests(tmp_path_factory):
    kept = os.environ.get("SIXWRIGHT_CACHE")
    os.environ["SIXWRIGHT_CACHE"] = str(tmp_path_factory.mktemp("cache"))
    yield
    os.environ.pop("SIXWRIGHT_CACHE")
    if kept is not None:
        os.environ["SIXWRIGHT_CACHE"] = kept
