"""``manage.py credits``."""

import io

import pytest
from django.core.management import call_command

from tests.factories.paper import episode_with_music

pytestmark = pytest.mark.django_db


@pytest.fixture
def episode():
    return episode_with_music()


def run(*args):
    out, err = io.StringIO(), io.StringIO()
    try:
        call_command("credits", *args, stdout=out, stderr=err)
    except SystemExit as ended:
        return ended.code, err.getvalue()
    return 0, err.getvalue()


def test_episode_and_season_as_text(episode, tmp_path):
    season = f"{episode.season.production.code}/1"
    for number, who in enumerate((["WEIR-101"], ["--season", season])):
        path = tmp_path / f"{number}.txt"
        code, told = run(*who, "--output", str(path), "--joiner", "and")
        assert (code, "“Evening Tide”\nWritten by Ida Reed\n" in path.read_text()) == (0, True)
        assert "WEIR-101, Evening Tide: Not cleared" in told


def test_label_copy_as_csv(episode, tmp_path):
    season, path = f"{episode.season.production.code}/1", tmp_path / "copy.csv"
    assert run("--season", season, "--label-copy", "--format", "csv", "--output", str(path))[0] == 0
    assert path.read_text("utf-8-sig").startswith("track,title")


@pytest.mark.parametrize(
    ("args", "told"),
    [
        ([], "Give an episode’s code, or --season."),
        (["WEIR-101", "--season", "X/1"], "Give an episode’s code, or --season."),
        (["WEIR-999"], "There is no episode WEIR-999."),
        (["--season", "WEIR"], "There is no season WEIR."),
        (["--season", "NOBODY/1"], "There is no season NOBODY/1."),
        (["WEIR-101", "--label-copy"], "Label copy is a season’s."),
        (["WEIR-101", "--line-length", "3"], "A line has 20 to 200 characters."),
        (["WEIR-101", "--format", "csv"], "There are no credits as csv."),
    ],
)
def test_what_is_refused_is_told_in_one_line(episode, tmp_path, args, told):
    path = tmp_path / "out"
    code, said = run(*args, "--output", str(path))
    assert code == 2
    assert said.splitlines()[-1].startswith(told)
    assert not path.exists()
