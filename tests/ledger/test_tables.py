"""The ledger's own tables: where they lie, and how they are counted."""

from __future__ import annotations

from pathlib import Path

import pytest

from gyle.errors import StoreError
from gyle.ledger import checked, own_tables, tally

HERE = Path(__file__).parents[1] / "check_values"


def test_a_checkout_finds_the_tables_the_tests_use() -> None:
    assert {path.resolve() for path in own_tables()} == {path.resolve() for path in HERE.glob("*.csv")}


def test_an_installation_finds_the_tables_packed_with_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    room = tmp_path / "site-packages" / "gyle" / "ledger"
    (room / "check_values").mkdir(parents=True)
    (room / "check_values" / "b.csv").touch()
    (room / "check_values" / "a.csv").touch()
    monkeypatch.setattr("gyle.ledger.tables.__file__", str(room / "tables.py"))
    assert [path.name for path in own_tables()] == ["a.csv", "b.csv"]


@pytest.mark.faults
def test_tables_that_were_not_installed_are_missed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("gyle.ledger.tables.__file__", str(tmp_path / "a" / "b" / "c" / "tables.py"))
    with pytest.raises(StoreError, match="not installed"):
        own_tables()


def test_rows_of_our_own_choices_are_counted_apart(tmp_path: Path) -> None:
    head = "id,quantity,inputs,expected,tolerance,source,provenance\n"
    row = 'A{n},extract.{f},"{{""gravity_sg"": 1.040}}",9.99,{t},"ASBC, Methods of Analysis, Table 1",{p}\n'
    rows = [
        row.format(n=1, f="degrees_plato", t="0.05", p="memory"),
        row.format(n=2, f="degrees_plato", t="1 %", p="computed-with-numpy"),
        row.format(n=3, f="degrees_plato", t="0.05", p="ours"),
        row.format(n=4, f="no_such_function", t="0.05", p="retrieved"),
    ]
    (tmp_path / "rows.csv").write_text(head + "".join(rows), encoding="utf-8")
    table = checked(tmp_path / "rows.csv")
    counts = tally([table])
    assert (counts.rows, counts.counted, counts.own, counts.outside, counts.functions) == (4, 3, 1, 1, 2)
    assert dict(counts.by_provenance) == {
        "retrieved": 1,
        "computed-with": 1,
        "memory": 1,
        "common-practice": 0,
        "ours": 1,
    }
    assert [outcome.row.id for outcome in table.outside] == ["A4"]
    assert not counts.agrees
