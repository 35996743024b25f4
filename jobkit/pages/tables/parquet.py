"""Tables as Parquet, written from the same lines as JSON Lines and with the same columns. Needs pyarrow."""

from __future__ import annotations

import io

import pyarrow as pa
import pyarrow.json as arrow_json
import pyarrow.parquet as arrow_parquet

from jobkit.pages.tables.engine_types import types_of


def _pairs(value: pa.DataType) -> pa.DataType:
    return pa.list_(pa.struct([("name", pa.string()), ("value", value)]))


_ARROW = {
    "text": pa.string(),
    "number": pa.float64(),
    "flag": pa.bool_(),
    "day": pa.date32(),
    "moment": pa.timestamp("us"),
    "texts": pa.list_(pa.string()),
    "named texts": _pairs(pa.string()),
    "named numbers": _pairs(pa.float64()),
    "count": pa.int64(),
}


def as_parquet(table: str, lines: bytes) -> bytes:
    """Make the file of one part of a table from its lines of JSON."""
    schema = pa.schema([(name, _ARROW[kind]) for name, kind in types_of(table).items()])
    # The reader of JSON knows no dates: they are read as text first.
    read = pa.schema([(one.name, pa.string() if pa.types.is_date(one.type) else one.type) for one in schema])
    found = arrow_json.read_json(
        io.BytesIO(lines),
        parse_options=arrow_json.ParseOptions(explicit_schema=read, unexpected_field_behavior="error"),
        read_options=arrow_json.ReadOptions(block_size=len(lines) + 1),
    )
    out = io.BytesIO()
    arrow_parquet.write_table(found.cast(schema), out, compression="zstd")
    return out.getvalue()
