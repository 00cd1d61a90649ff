"""However a file is written, it tells the same days."""

from __future__ import annotations

import csv
import io
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from hypothesis import given
from hypothesis import strategies as st

from tests.flows.imports.files import LISBON, days, read

START = datetime(2026, 1, 1, tzinfo=ZoneInfo("UTC"))

rows = st.lists(
    st.tuples(st.integers(0, 200 * 1440), st.integers(-20, 450)), min_size=1, max_size=30,
    unique_by=lambda row: row[0],
)  # fmt: skip

STAMPS = ("%Y-%m-%dT%H:%M:%SZ", "%d %b %Y %H:%M +00:00", "%Y/%m/%d %I:%M:%S %p UTC")
JUNK = ("RSSI", "Battery", "Note", "Serial")


def written(
    table: list[tuple[int, int]],
    delimiter: str,
    comma: bool,
    stamp: str,
    order: list[str],
    quote: bool,
    preamble: list[str],
) -> str:
    out = io.StringIO()
    for line in preamble:
        out.write(line + "\n")
    writer = csv.writer(
        out, delimiter=delimiter, quoting=csv.QUOTE_ALL if quote else csv.QUOTE_MINIMAL
    )
    writer.writerow(order)
    for minute, tenths in table:
        degrees = f"{tenths / 10:.1f}"
        cells = {
            "Timestamp": (START + timedelta(minutes=minute)).strftime(stamp),
            "Water temp (°C)": degrees.replace(".", ",") if comma else degrees,
        }
        writer.writerow([cells.get(name, "7") for name in order])
    return out.getvalue()


@given(
    rows,
    st.sampled_from([",", ";", "\t", "|"]),
    st.booleans(),
    st.sampled_from(STAMPS),
    st.permutations(["Timestamp", "Water temp (°C)", *JUNK]),
    st.booleans(),
    st.sampled_from([[], ["Logger 7", ""], ["Name: pond", "Start: 10:00, end: never", ";;;"]]),
)
def test_columns_delimiters_and_wording_do_not_matter(
    table: list[tuple[int, int]],
    delimiter: str,
    comma: bool,
    stamp: str,
    order: list[str],
    quote: bool,
    preamble: list[str],
) -> None:
    plain = written(table, ",", False, STAMPS[0], ["Timestamp", "Water temp (°C)"], False, [])
    other = written(table, delimiter, comma, stamp, order, quote, preamble)
    assert days(read(other)) == days(read(plain))


@given(rows)
def test_days_are_those_of_the_rows_one_by_one(table: list[tuple[int, int]]) -> None:
    plain = written(table, ",", False, STAMPS[0], ["Timestamp", "Water temp (°C)"], False, [])
    expected: dict[str, list[float]] = {}
    for minute, tenths in table:
        local = (START + timedelta(minutes=minute)).astimezone(LISBON)
        expected.setdefault(f"{local:%Y-%m-%d}", []).append(tenths / 10)
    found = {d.day.isoformat(): (d.low_c, d.high_c, d.rows) for d in read(plain).days}
    assert found == {k: (min(v), max(v), len(v)) for k, v in expected.items()}
