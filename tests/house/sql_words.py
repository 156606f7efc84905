"""Words that no table or column may be called, since an engine reads them as its own."""

_SQLITE_KEYWORDS = """
abort action add after all alter always analyze and as asc attach autoincrement before begin
between by cascade case cast check collate column commit conflict constraint create cross
current current_date current_time current_timestamp database default deferrable deferred delete
desc detach distinct do drop each else end escape except exclude exclusive exists explain fail
filter first following for foreign from full generated glob group groups having if ignore
immediate in index indexed initially inner insert instead intersect into is isnull join key last
left like limit match materialized natural no not nothing notnull null nulls of offset on or
order others outer over partition plan pragma preceding primary query raise range recursive
references regexp reindex release rename replace restrict returning right rollback row rows
savepoint select set table temp temporary then ties to transaction trigger unbounded union
unique update using vacuum values view virtual when where window with without
"""
SQLITE_KEYWORDS = frozenset(_SQLITE_KEYWORDS.split())
"""Keywords of SQLite 3.40, as its own sqlite3_keyword_name gives them."""

_POSTGRESQL_RESERVED = """
all analyse analyze and any array as asc asymmetric authorization between binary both case cast
check collate collation column concurrently constraint create cross current_catalog current_date
current_role current_schema current_time current_timestamp current_user default deferrable desc
distinct do else end except false fetch for foreign freeze from full grant group having ilike in
initially inner intersect into is isnull join lateral leading left like limit localtime
localtimestamp natural not notnull null of offset on only or order outer over overlaps placing
primary references returning right select session_user similar some symmetric system_user table
tablesample then to trailing true union unique user using variadic verbose when where window
with
"""
POSTGRESQL_RESERVED = frozenset(_POSTGRESQL_RESERVED.split())
"""Reserved key words of PostgreSQL, those allowed as function or type names among them."""
