"""The database: engine, tables, migrations and the one writer."""
