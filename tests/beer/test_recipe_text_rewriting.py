"""Rewriting an author's text: lines of a text stay lines, a comment stays above its row, dotted keys stay whole."""

from __future__ import annotations

import tomllib

from gyle.beer.writing import rewrite


def test_a_text_of_several_lines_keeps_its_lines() -> None:
    notes = 'Mash warm.\n\n"""Pitch\\ cold""".\n# no comment\n'
    done = rewrite('gyle = 1\nnotes = "old"   # mine\n\n[boil]\ntime = "60 min"\n', {("notes",): notes})
    assert tomllib.loads(done)["notes"] == notes
    assert done.startswith('gyle = 1\nnotes = """\nMash warm.\n\n')
    assert '"""   # mine\n' in done


def test_the_comment_above_the_next_row_stays_when_a_row_is_taken_away() -> None:
    text = "[[row]]\na = 1  # one\n\n# two is the better one\n[[row]]\na = 2\n\n# apart\n\n[t]\nx = 1\n"
    done = rewrite(text, {("row", 0): None})
    assert done == "# two is the better one\n[[row]]\na = 2\n\n# apart\n\n[t]\nx = 1\n"
    assert "# apart" in rewrite(text, {("row", 1): None})


def test_a_dotted_key_is_taken_away_without_moving_its_neighbours() -> None:
    text = '[aim]\nkettle.end.volume = "25 L" # c\nfinal_gravity = "1.010"\n\n[boil]\ntime = "60 min"\n'
    data = tomllib.loads(rewrite(text, {("aim", "kettle", "end", "volume"): None}))
    assert data["aim"]["final_gravity"] == "1.010"
    assert not data["aim"].get("kettle", {}).get("end")
    assert data["boil"] == {"time": "60 min"}
