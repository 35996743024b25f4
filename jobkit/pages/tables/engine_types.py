"""The columns of the exported tables in the types of query engines, so that none has to guess them from samples."""

from __future__ import annotations

import json
from collections.abc import Iterable

from jobkit.pages.tables.export import every_column

_SQL = {
    "text": "VARCHAR",
    "number": "DOUBLE",
    "flag": "BOOLEAN",
    "day": "DATE",
    "moment": "TIMESTAMP",
    "texts": "VARCHAR[]",
    "named texts": "STRUCT(name VARCHAR, value VARCHAR)[]",
    "named numbers": "STRUCT(name VARCHAR, value DOUBLE)[]",
    "count": "BIGINT",
}
_DDL = {
    "text": "STRING",
    "number": "DOUBLE",
    "flag": "BOOLEAN",
    "day": "DATE",
    "moment": "TIMESTAMP_NTZ",
    "texts": "ARRAY<STRING>",
    "named texts": "ARRAY<STRUCT<name: STRING, value: STRING>>",
    "named numbers": "ARRAY<STRUCT<name: STRING, value: DOUBLE>>",
    "count": "BIGINT",
}


def types_of(table: str) -> dict[str, str]:
    """Return the type of each column of a table: a word of `columns.TYPES` without its "always"."""
    return {column.name: column.type.removeprefix("always ") for column in every_column(table)}


def views(tables: Iterable[str], suffix: str) -> str:
    """Write views of the tables for DuckDB, to be read in the folder itself; `year` comes from the folders' names."""
    lines = [f"create or replace view {table} as from {_scan(table, suffix)};" for table in tables]
    return "\n".join(
        ["-- The tables with their types, for DuckDB. In this folder: duckdb -init views.sql", *lines, ""]
    )


def _scan(table: str, suffix: str) -> str:
    files = f"'{table}/*/*.{suffix}', hive_partitioning = true, hive_types = {{'year': BIGINT}}"
    if suffix == "parquet":
        return f"read_parquet({files})"
    columns = ", ".join(f"'{name}': '{_SQL[kind]}'" for name, kind in types_of(table).items())
    return f"read_json({files}, format = 'newline_delimited', columns = {{{columns}}})"


def columns_json(tables: Iterable[str]) -> str:
    """Write the columns of each table with their types, in SQL and as the DDL that other engines take as a schema."""
    told = {
        table: {
            "columns": {name: _SQL[kind] for name, kind in types_of(table).items()},
            "ddl": ", ".join(f"`{name}` {_DDL[kind]}" for name, kind in types_of(table).items()),
        }
        for table in tables
    }
    return json.dumps(told, indent=1) + "\n"
