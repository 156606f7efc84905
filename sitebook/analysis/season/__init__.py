"""When a taxon fruits at a place."""
