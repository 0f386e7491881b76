"""Rows as blocks of lines: comments go with what they are about, and everything else stays to the letter."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from gyle.beer.row_blocks import row_gone, row_moved, row_put, table_put

EXAMPLES = Path(__file__).parents[2] / "examples" / "lantern-street"

TEXT = '''# a beer
name = "x"
notes = """
[[hops]]
# not a comment"""

# all the hops
[[hops]]
a = 1   # one

# the second
# one
[[hops]]
a = [
  2,  # two
  # [[hops]]
]

# apart

[t]
x = "# no [[row]]"
'''


def test_a_comment_right_above_a_row_goes_with_it() -> None:
    moved = row_moved(TEXT, "hops", 0, 1)
    assert (
        moved.index("# all the hops")
        < moved.index("# the second\n# one\n[[hops]]\na = [")
        < moved.index("a = 1   # one")
    )
    assert tomllib.loads(moved)["hops"] == [{"a": [2]}, {"a": 1}]
    assert sorted(moved.splitlines()) == sorted(TEXT.splitlines())


def test_what_is_taken_out_takes_only_its_own_comments() -> None:
    second = row_gone(TEXT, "hops", 1)
    assert "# the second" not in second
    assert all(words in second for words in ("# all the hops", "# apart", "a = 1   # one", "# a beer"))
    first = row_gone(TEXT, "hops", 0)
    assert "a = 1" not in first
    assert all(words in first for words in ("# all the hops", "# the second", "# apart"))
    assert tomllib.loads(first)["hops"] == [{"a": [2]}]
    assert "\n\n\n" not in first


def test_a_row_is_put_where_it_is_wanted() -> None:
    for row in range(3):
        done = row_put(TEXT, "hops", row, ["[[hops]]", "a = 9"])
        assert [one["a"] for one in tomllib.loads(done)["hops"]][row] == 9
        assert [line for line in done.splitlines() if line.startswith("#")] == [
            line for line in TEXT.splitlines() if line.startswith("#")
        ]


def test_a_single_table_becomes_the_first_row() -> None:
    done = row_put('[yeast]  # mine\nwhat = "a"\n', "yeast", 1, ["[[yeast]]", 'what = "b"'])
    assert done == '[[yeast]]  # mine\nwhat = "a"\n[[yeast]]\nwhat = "b"\n'


@pytest.mark.parametrize(
    "text", ["", "a = 1", "a = 1\n", "[boil]\nx = 1", "a = 1\n[printed]\nx = 1\n", "[x]\n[x.y]\nz = 1\n"]
)
def test_a_table_is_put_into_any_text(text: str) -> None:
    done = tomllib.loads(table_put(text, "hops", ["[[hops]]", "a = 1"]))
    assert done == {**tomllib.loads(text), "hops": [{"a": 1}]}


@pytest.mark.parametrize("card", [path.stem for path in sorted(EXAMPLES.glob("*.toml"))])
def test_moving_there_and_back_changes_nothing(card: str) -> None:
    text = (EXAMPLES / f"{card}.toml").read_text(encoding="utf-8")
    for name, rows in tomllib.loads(text).items():
        if isinstance(rows, list) and len(rows) > 1 and isinstance(rows[0], dict):
            assert row_moved(row_moved(text, name, 0, 1), name, 0, 1) == text
