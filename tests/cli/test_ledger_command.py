"""`gyle ledger`: what agrees, what does not, and tables that mean harm."""

from __future__ import annotations

from pathlib import Path

import pytest

from gyle.ledger import own_tables

from .conftest import Run

HEADER = "id,quantity,inputs,expected,tolerance,source,provenance\n"
RIGHT = 'A1,extract.degrees_plato,"{""gravity_sg"": 1.040}",9.99,0.05,"ASBC Methods of Analysis, Table 1",memory\n'
WRONG = RIGHT.replace("A1,", "A2,").replace("9.99", "12")


def table(folder: Path, *rows: str) -> Path:
    path = folder / "rows.csv"
    path.write_text(HEADER + "".join(rows), encoding="utf-8")
    return path


def test_our_own_tables_agree(run: Run) -> None:
    ran = run("ledger")
    assert (ran.code, ran.err) == (0, "")
    document = run("ledger", "--json").json
    assert document["outside"] == 0
    assert document["functions"] >= 40
    assert document["provenance"]["retrieved"] >= 60
    assert document["counted"] + document["own"] == len(document["rows"])
    assert document["own"] == document["provenance"]["ours"]
    assert {row["table"] for row in document["rows"]} == {path.name for path in own_tables()}
    for row in document["rows"]:
        assert set(row) == {
            "table",
            "id",
            "quantity",
            "got",
            "expected",
            "tolerance",
            "source",
            "provenance",
            "agrees",
            "fault",
        }


def test_a_table_that_agrees(run: Run, tmp_path: Path) -> None:
    ran = run("ledger", "--table", table(tmp_path, RIGHT))
    assert ran.code == 0
    assert "1 of 1 rows agree" in ran.out


@pytest.mark.parametrize("provenance", ["memory", "ours"])
def test_a_row_outside_is_shown_and_is_exit_1(run: Run, tmp_path: Path, provenance: str) -> None:
    ran = run("ledger", "--table", table(tmp_path, RIGHT, WRONG.replace("memory", provenance)))
    assert ran.code == 1
    assert "1 of 2 rows agree" in ran.out
    outside = ran.out.split("Outside")[1]
    assert "A2 extract.degrees_plato" in outside
    assert "expected 12" in outside
    assert "A1" not in ran.out
    document = run("ledger", "--table", table(tmp_path, RIGHT, WRONG), "--json")
    assert document.code == 1
    assert [row["agrees"] for row in document.json["rows"]] == [True, False]


def test_all_lists_every_row(run: Run, tmp_path: Path) -> None:
    ran = run("ledger", "--all", "--table", table(tmp_path, RIGHT, WRONG), columns=60)
    assert "A1 extract.degrees_plato" in ran.out
    assert "A2 extract.degrees_plato" in ran.out
    assert "ASBC Methods of Analysis" in " ".join(ran.out.split())
    assert max(len(line) for line in ran.out.splitlines()) <= 60


@pytest.mark.parametrize(
    ("quantity", "inputs"),
    [
        ("os.system", '{""command"": ""echo harm""}'),
        ("extract.__import__", '{""name"": ""os""}'),
        ("extract.np", "{}"),
        ("extract", "{}"),
        ("", "{}"),
        ("..errors.BadInput", '{""faults"": ""x""}'),
        ("extract.degrees_plato.tofile", '{""gravity_sg"": 1.04}'),
        ("extract.degrees_plato.__class__", '{""gravity_sg"": 1.04}'),
        ("extract.degrees_plato", "{}"),
        ("extract.degrees_plato", '{""gravity_sg"": ""=cmd|calc""}'),
        ("extract.degrees_plato", '{""gravity_sg"": null}'),
        ("extract.degrees_plato", '{""gravity_sg"": [1.0, [1.0, 2.0]]}'),
        ("extract.degrees_plato", '{""gravity_sg"": 1e999}'),
        ("extract.degrees_plato", '{""gravity_sg"": ' + "9" * 400 + "}"),
        ("extract.degrees_plato\x1b[31m", '{""gravity_sg"": 1.04}'),
    ],
)
def test_a_hostile_cell_is_outside_and_does_nothing(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, quantity: str, inputs: str
) -> None:
    monkeypatch.chdir(tmp_path)
    path = table(tmp_path, f'H1,{quantity},"{inputs}",9.99,0.05,somewhere,memory\n')
    before = sorted(tmp_path.iterdir())
    ran = run("ledger", "--table", path)
    assert ran.code == 1
    assert ran.err == ""
    assert "0 of 1 rows agree" in ran.out
    assert "\x1b" not in ran.out
    assert run("ledger", "--table", path, "--json").json["rows"][0]["agrees"] is False
    assert sorted(tmp_path.iterdir()) == before


@pytest.mark.parametrize(
    "row",
    [
        "H1,extract.degrees_plato,not json,1,1,s,memory\n",
        "H1,extract.degrees_plato,[],1,1,s,memory\n",
        "H1,extract.degrees_plato,{},NaN,1,s,memory\n",
        "H1,extract.degrees_plato,{},1,inf,s,memory\n",
        "H1,extract.degrees_plato,{},1,much,s,memory\n",
        "H1,extract.degrees_plato,{},1,1,s,hearsay\n",
        "H1,extract.degrees_plato,{}\n",
        "H1,extract.degrees_plato," + "[" * 5000 + ",1,1,s,memory\n",
        "H1,extract.degrees_plato,{}," + "9" * 400 + ",1,s,memory\n",
        'H1,extract.degrees_plato,"' + "x" * 200_000 + '",1,1,s,memory\n',
    ],
)
def test_a_row_that_cannot_be_read_is_one_sentence(run: Run, tmp_path: Path, row: str) -> None:
    ran = run("ledger", "--table", table(tmp_path, RIGHT, row))
    assert (ran.code, ran.out) == (2, "")
    assert len(ran.faults) == 1
    assert "rows.csv" in ran.err


@pytest.mark.parametrize("content", [b"", b"\x00\x01\x02", b"\xff\xfe\xff", b"a,b,c\n1,2,3\n", b"x" * 2_000_000])
def test_a_file_that_is_no_table_is_one_sentence(run: Run, tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "rows.csv"
    path.write_bytes(content)
    ran = run("ledger", "--table", path)
    assert (ran.code, ran.out) == (2, "")
    assert len(ran.faults) == 1
    assert run("ledger", "--table", tmp_path).code == 2
    assert run("ledger", "--table", tmp_path / "none.csv").code == 2
